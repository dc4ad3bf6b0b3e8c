package inspect

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/session"
	"abut/ui/controls"
)

// content is the part about what the one selected layer draws, as far as that can
// be edited: what is typed shows at once, and is one step when it is left.
type content struct {
	p      *Panel
	h      *Host
	object *fyne.Container
	id     job.LayerID
	// scale is how much larger what the layer draws is on the board.
	scale float64

	radius, points, inner *Field
	pointsName            *controls.Line
	innerCell             *fyne.Container
	width                 *Field
	sharp, filled         *controls.Check
	text                  *text

	parts map[string]*fyne.Container
}

func newContent(panel *Panel) *content {
	h := panel.h
	c := &content{p: panel, h: h, parts: map[string]*fyne.Container{}}
	primitive := func(change func(p *job.Primitive, v float64)) *Field {
		return c.field(func(now job.Content, v float64) (job.Content, error) {
			p, is := now.(job.Primitive)
			if !is {
				return now, nil
			}
			change(&p, v)
			return job.NewPrimitive(p)
		})
	}
	c.radius = primitive(func(p *job.Primitive, v float64) { p.Radius = v / c.scale })
	c.points = primitive(func(p *job.Primitive, v float64) { p.Points = int(math.Round(v)) })
	c.inner = primitive(func(p *job.Primitive, v float64) { p.Inner = v / 100 })
	c.points.Plain, c.inner.Plain, c.radius.Signed = true, true, true
	c.width = c.field(func(now job.Content, v float64) (job.Content, error) {
		s, is := now.(job.Surround)
		if !is {
			return now, nil
		}
		s.WidthMM = v
		return s, s.Check()
	})
	check := func(id string, is func(*job.Surround) *bool) *controls.Check {
		return controls.NewCheck(say(id), func(on bool) {
			l, _, _ := h.Session.Job().Layer(c.id)
			if s, ok := l.Content.(job.Surround); ok && *is(&s) != on {
				*is(&s) = on
				h.Session.Tried("ui-step-content", c.edit(func(job.Content) (job.Content, error) { return s, s.Check() }))
			}
		})
	}
	c.sharp = check("ui-content-sharp", func(s *job.Surround) *bool { return &s.Sharp })
	c.filled = check("ui-content-filled", func(s *job.Surround) *bool { return &s.Filled })
	c.text = newText(c)
	c.object = container.New(&controls.Stack{Gap: 8})
	part := func(id string, o ...fyne.CanvasObject) {
		c.parts[id] = container.New(&controls.Stack{Gap: 8}, o...)
		c.parts[id].Hide()
		c.object.Add(c.parts[id])
	}
	c.pointsName = controls.NewCaption("")
	points := container.New(&controls.Stack{Gap: 2}, c.pointsName, c.points)
	c.innerCell = named("ui-content-inner", c.inner)
	part(job.Rectangle.String(), container.NewGridWithColumns(2, named("ui-content-radius", c.radius)))
	part("corners", container.NewGridWithColumns(2, points, c.innerCell))
	part("surround", container.NewGridWithColumns(2, named("ui-content-width", c.width)), c.sharp, c.filled, controls.NewPara(say("ui-content-surround-why"), controls.Quiet))
	part("text", c.text.object)
	return c
}

// field returns a field whose number changes what the layer draws, and shows it.
func (c *content) field(change func(now job.Content, v float64) (job.Content, error)) *Field {
	return newField(c.h.Session, "ui-step-content", func(d *session.Draft, v float64) {
		d.Show(c.edit(func(now job.Content) (job.Content, error) { return change(now, v) }))
	})
}

// edit changes what the layer draws, whatever that is by then.
func (c *content) edit(change func(job.Content) (job.Content, error)) session.Edit {
	id := c.id
	return func(j job.Job) (job.Job, error) {
		l, _, _ := j.Layer(id)
		to, err := change(l.Content)
		if err != nil {
			return j, err
		}
		return job.SetContent(j, id, to)
	}
}

// show fills the part; hidden when there is nothing to edit.
func (c *content) show(st session.State) {
	l, it, _ := st.One()
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
		c.text.say(nil, nil)
	}
	c.id = l.ID
	m := it.Placement.Mul(l.Transform)
	c.scale = math.Sqrt(math.Hypot(m.A, m.B) * math.Hypot(m.C, m.D))
	c.object.Hidden = c.parts[which] == nil
	for id, part := range c.parts {
		part.Hidden = id != which
	}
	fill := func(f *Field, v float64) {
		f.show(v, st.Job.Settings.Units)
		enable(f, !l.Locked)
	}
	switch p := l.Content.(type) {
	case job.Primitive:
		fill(c.radius, p.Radius*c.scale)
		fill(c.points, float64(p.Points))
		fill(c.inner, p.Inner*100)
		c.innerCell.Hidden = p.Form != job.Star
		c.pointsName.SetText(say(map[bool]string{true: "ui-content-tips", false: "ui-content-points"}[p.Form == job.Star]))
	case job.Surround:
		fill(c.width, p.WidthMM)
		c.sharp.SetChecked(p.Sharp)
		c.filled.SetChecked(p.Filled)
		enable(c.sharp, !l.Locked)
		enable(c.filled, !l.Locked)
	case job.Text:
		c.text.show(p, st.Job.Settings.Units, l.Locked)
	}
}
