package window

import (
	"math"
	"reflect"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/session"
	"abut/ui/controls"
)

// content is the part of Details about what the one selected layer draws, as far
// as that can be edited: what is typed shows at once, and is one step when it is
// left.
type content struct {
	w      *Window
	object *fyne.Container
	id     job.LayerID
	// of is what the layer draws, scale how much larger that is on the board.
	of    job.Content
	scale geometry.Point
	// filling: fields are being set from the job, not by whoever types.
	filling bool

	radius, points, inner *numberField
	width                 *numberField
	sharp, filled         *controls.Check
	text                  *textPart

	parts map[string]*fyne.Container
}

// numberField is an entry with its name over it that tells what is typed.
type numberField struct {
	*lengthEntry
	name *controls.Line
	cell *fyne.Container
}

// numbers returns a field; typed is told of every number that makes sense,
// accept that the entry is left.
func numbers(id string, plain bool, typed, accept func()) *numberField {
	e := newLengthEntry(func(float64) {})
	e.plain, e.signed = plain, true
	e.onTyped, e.onLeft = typed, accept
	name := controls.NewLine(say(id), controls.Quiet)
	return &numberField{e, name, container.New(&controls.Stack{Gap: 2}, name, e)}
}

// now returns what is typed, or what was set when that is no number.
func (n *numberField) now() float64 {
	if v, ok := n.parse(); ok && n.Text != n.text(n.value) {
		return v
	}
	return n.value
}

func newContent(w *Window) *content {
	c := &content{w: w, parts: map[string]*fyne.Container{}}
	field := func(id string, plain bool) *numberField { return numbers(id, plain, c.preview, c.commit) }
	c.radius = field("ui-content-radius", false)
	c.points = field("ui-content-points", true)
	c.inner = field("ui-content-inner", true)
	c.width = field("ui-content-width", false)
	check := func(id string) *controls.Check { return controls.NewCheck(say(id), func(bool) { c.commit() }) }
	c.sharp, c.filled = check("ui-content-sharp"), check("ui-content-filled")
	c.text = newTextPart(c)
	c.object = container.New(&controls.Stack{Gap: 8})
	part := func(id string, o ...fyne.CanvasObject) {
		c.parts[id] = container.New(&controls.Stack{Gap: 8}, o...)
		c.parts[id].Hide()
		c.object.Add(c.parts[id])
	}
	part(job.Rectangle.String(), container.NewGridWithColumns(2, c.radius.cell))
	part("corners", container.NewGridWithColumns(2, c.points.cell, c.inner.cell))
	part("surround", container.NewGridWithColumns(2, c.width.cell), c.sharp, c.filled, controls.NewPara(say("ui-content-surround-why"), controls.Quiet))
	part("text", c.text.object)
	return c
}

// show fills the part from the selection; hidden when there is nothing to edit.
func (c *content) show(j job.Job, ids []job.LayerID) {
	var l job.Layer
	var it job.Item
	if len(ids) == 1 {
		l, it, _ = j.Layer(ids[0])
	}
	which := ""
	switch p := l.Content.(type) {
	case job.Primitive:
		which = p.Form.String()
		if p.Form == job.Polygon || p.Form == job.Star {
			which = "corners"
		}
	case job.Surround:
		which = "surround"
	case job.Text:
		which = "text"
	}
	if l.ID != c.id {
		c.text.forget()
	}
	c.id, c.of = l.ID, l.Content
	m := it.Placement.Mul(l.Transform)
	c.scale = geometry.Pt(math.Hypot(m.A, m.B), math.Hypot(m.C, m.D))
	c.object.Hidden = c.parts[which] == nil
	for id, part := range c.parts {
		part.Hidden = id != which
	}
	if c.object.Hidden {
		return
	}
	c.filling = true
	defer func() { c.filling = false }()
	fill := func(n *numberField, v float64) {
		n.units = j.Settings.Units
		n.set(v)
		enable(n, !l.Locked)
	}
	switch p := l.Content.(type) {
	case job.Primitive:
		fill(c.radius, p.Radius*c.mean())
		fill(c.points, float64(p.Points))
		c.inner.cell.Hidden = p.Form != job.Star
		c.points.name.SetText(say(map[bool]string{true: "ui-content-tips", false: "ui-content-points"}[p.Form == job.Star]))
		fill(c.inner, p.Inner*100)
	case job.Surround:
		fill(c.width, p.WidthMM)
		c.sharp.SetChecked(p.Sharp)
		c.filled.SetChecked(p.Filled)
		enable(c.sharp, !l.Locked)
		enable(c.filled, !l.Locked)
	case job.Text:
		c.text.show(p, j.Settings.Units, l.Locked)
	}
}

// mean is how much larger the content is on the board where it is not the same
// both ways.
func (c *content) mean() float64 { return math.Sqrt(c.scale.X * c.scale.Y) }

// typed is the content with what is typed; false where that makes no sense.
func (c *content) typed() (job.Content, bool) {
	switch p := c.of.(type) {
	case job.Primitive:
		switch p.Form {
		case job.Rectangle:
			p.Radius = c.radius.now() / c.mean()
		case job.Polygon, job.Star:
			p.Points = int(math.Round(c.points.now()))
			p.Inner = c.inner.now() / 100
		}
		p, err := job.NewPrimitive(p)
		return p, err == nil
	case job.Surround:
		p.WidthMM, p.Sharp, p.Filled = c.width.now(), c.sharp.Checked, c.filled.Checked
		return p, p.Check() == nil
	}
	return nil, false
}

// preview shows what is typed.
func (c *content) preview() {
	if c.filling {
		return
	}
	if p, ok := c.typed(); ok {
		c.try(p)
	}
}

// try shows a content on the board and lets the plan follow, without a step.
func (c *content) try(p job.Content) {
	s, edit := c.w.session, c.edit(p)
	j, err := edit(s.Job())
	if err != nil {
		return
	}
	s.Preview(edit)
	plan, _ := s.Plan()
	c.w.board.SetJob(j, plan, false)
	c.w.chosen.place(j, []job.LayerID{c.id}, false)
}

// commit makes what is typed a step, or takes the preview back where it is
// nothing new.
func (c *content) commit() {
	if c.filling {
		return
	}
	p, ok := c.typed()
	if !ok || reflect.DeepEqual(p, c.of) {
		c.giveUp()
		return
	}
	c.set(p)
}

// set makes a content a step.
func (c *content) set(p job.Content) { c.w.do("ui-step-content", c.edit(p)) }

// edit is the edit that makes p the content. A layer that is called by its text
// is called by the new one; one that is bent differently stays where it is.
func (c *content) edit(p job.Content) session.Edit {
	id, was := c.id, c.of
	return func(j job.Job) (job.Job, error) {
		before := job.BoundsOf(j, []job.LayerID{id})
		j, err := job.SetContent(j, id, p)
		t, is := p.(job.Text)
		old, isToo := was.(job.Text)
		if err != nil || !is || !isToo {
			return j, err
		}
		if l, _, _ := j.Layer(id); l.Name == textName(old.Text) {
			if j, err = job.Rename(j, id, textName(t.Text)); err != nil {
				return j, err
			}
		}
		if !reflect.DeepEqual(t.Arc, old.Arc) && !before.Empty() {
			return job.CentreOn(j, []job.LayerID{id}, before)
		}
		return j, nil
	}
}

// giveUp takes the preview back.
func (c *content) giveUp() {
	s := c.w.session
	s.CancelPreview()
	plan, exact := s.Plan()
	c.w.board.SetJob(s.Job(), plan, exact)
	c.w.chosen.fill(s.Job(), s.Selection())
}

// split makes every part of the selected layer one of its own.
func (w *Window) split() {
	if l, _, ok := w.selected(); ok {
		w.session.Split(l.ID)
	}
}

// outline turns what the selected layer draws into outlines for good.
func (w *Window) outline() {
	l, _, ok := w.selected()
	if _, already := l.Content.(job.Outlines); ok && !already {
		w.session.Outline(l.ID)
	}
}
