package inspect

import (
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/lettering"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
)

// weights are offered for text; a font that lacks one has the nearest.
var weights = []int{300, 400, 700, 900}

// text is the part about lettering. Each of its controls changes one thing about
// the text as it is by then; what was typed before is on its way.
type text struct {
	c      *content
	object *fyne.Container

	entry         *Lines
	family        *controls.Press
	weight        *controls.Select
	italic        *controls.Check
	size, spacing *Field
	align, arc    *controls.Choice
	radius        *Field
	radiusCell    *fyne.Container
	notes         *controls.Para
	of            job.Text
	filling       bool
}

func newText(c *content) *text {
	t := &text{c: c}
	t.entry = newLines(c.h.Session, func(d *session.Draft, words string) {
		if strings.TrimSpace(words) == "" {
			d.Show(nil) // there is no layer of nothing
			return
		}
		t.draft(d, func(p *job.Text) { p.Text = words })
	})
	t.entry.left = c.h.Refocus
	t.family = controls.NewAction("text", "", say("ui-text-family-hint"), t.askFamily)
	t.family.Framed, t.family.IconSide, t.family.Fills = true, 18, true
	var names []string
	for _, w := range weights {
		names = append(names, say("ui-text-weight-"+strconv.Itoa(w)))
	}
	t.weight = controls.NewSelect(names, func(string) {
		if i := t.weight.SelectedIndex(); i >= 0 && i != nearest(t.of.Weight) {
			t.change(func(p *job.Text) { p.Weight = weights[i] })
		}
	})
	t.italic = controls.NewCheck(say("ui-text-italic"), func(on bool) { t.change(func(p *job.Text) { p.Italic = on }) })
	number := func(set func(p *job.Text, mm float64)) *Field {
		f := newField(c.h.Session, "ui-step-content", func(d *session.Draft, v float64) {
			mm := v / c.scale
			t.draft(d, func(p *job.Text) { set(p, mm) })
		})
		return f
	}
	t.size = number(func(p *job.Text, mm float64) { p.SizeMM = mm })
	t.spacing = number(func(p *job.Text, mm float64) { p.SpacingMM = mm })
	t.spacing.Fine, t.spacing.Signed = true, true
	t.radius = number(func(p *job.Text, mm float64) {
		if p.Arc != nil {
			arc := *p.Arc
			arc.RadiusMM = mm
			p.Arc = &arc
		}
	})
	choice := func(chosen func(i int), ids ...string) *controls.Choice {
		var words []string
		for _, id := range ids {
			words = append(words, say(id))
		}
		x := controls.NewChoice(chosen, words...)
		x.Fills = true
		return x
	}
	t.align = choice(func(i int) { t.change(func(p *job.Text) { p.Align = job.TextAlign(i) }) }, "ui-text-start", "ui-text-middle", "ui-text-end")
	t.arc = choice(func(i int) { t.change(func(p *job.Text) { p.Arc = arcLike(*p, i) }) }, "ui-text-straight", "ui-text-over", "ui-text-under")
	t.notes = controls.NewPara("", controls.Care)
	t.notes.Hide()
	t.radiusCell = container.NewGridWithColumns(2, named("ui-text-radius", t.radius))
	t.object = container.New(&controls.Stack{Gap: 8}, container.NewStack(t.entry, controls.NewWheel(c.p.wheel)), t.family,
		container.NewBorder(nil, nil, nil, t.italic, t.weight),
		container.NewGridWithColumns(2, named("ui-text-size", t.size), named("ui-text-spacing", t.spacing)),
		t.align, t.arc, t.radiusCell, t.notes)
	return t
}

// draft has a draft be a change of the text, which is set and shown.
func (t *text) draft(d *session.Draft, change func(*job.Text)) {
	var notes []message.Message
	id := t.c.id
	d.Work("ui-task-text", session.Lettering(id, change, &notes), func(err error) {
		if id == t.c.id {
			t.say(notes, err)
		}
	})
}

// askFamily asks for another font, which the board shows while one looks for it.
func (t *text) askFamily() {
	var d *session.Draft
	now := familyOf(t.of)
	t.c.h.AskFamily(now, func(name string) {
		if d == nil {
			d = t.c.h.Session.Begin("ui-step-content", func() { d = nil })
		}
		if name == now {
			d.Show(nil)
			return
		}
		t.draft(d, func(p *job.Text) { p.Family = name })
	}, func() { t.c.h.Session.Settle(func() {}) }, func() {
		if d != nil {
			d.Drop()
		}
	})
}

// change makes a change of the text a step once it is set.
func (t *text) change(change func(*job.Text)) {
	if t.filling {
		return
	}
	var notes []message.Message
	id := t.c.id
	t.c.h.Session.Later("ui-task-text", "ui-step-content", session.Lettering(id, change, &notes), func(err error) {
		if id == t.c.id && err == nil {
			t.say(notes, nil)
		}
	})
}

func (t *text) show(p job.Text, u job.Units, locked bool) {
	t.filling = true
	defer func() { t.filling = false }()
	t.of = p
	k := t.c.scale
	t.entry.show(p.Text)
	t.family.Label = say("ui-text-family", "font", familyOf(p))
	t.family.Refresh()
	t.weight.SetSelectedIndex(nearest(p.Weight))
	t.italic.SetChecked(p.Italic)
	for f, v := range map[*Field]float64{t.size: p.SizeMM * k, t.spacing: p.SpacingMM * k, t.radius: radiusOf(p) * k} {
		f.show(v, u)
		enable(f, !locked)
	}
	t.align.Choose(int(p.Align))
	t.arc.Choose(arcOf(p))
	t.radiusCell.Hidden = p.Arc == nil
	for _, d := range []fyne.Disableable{t.entry, t.weight, t.italic, t.family} {
		enable(d, !locked)
	}
}

// familyOf names a text's font.
func familyOf(p job.Text) string {
	if p.Family == "" {
		return lettering.OwnFamily
	}
	return p.Family
}

// nearest returns which of the weights is nearest.
func nearest(weight int) int {
	best := 0
	for i, w := range weights {
		if abs(w-weight) < abs(weights[best]-weight) {
			best = i
		}
	}
	return best
}

func abs(v int) int { return max(v, -v) }

func arcOf(p job.Text) int {
	switch {
	case p.Arc == nil:
		return 0
	case p.Arc.Inside:
		return 2
	}
	return 1
}

// arcLike is the arc of a choice: none, over or under.
func arcLike(p job.Text, i int) *job.Arc {
	if i == 0 {
		return nil
	}
	return &job.Arc{RadiusMM: radiusOf(p), Inside: i == 2}
}

// radiusOf is the text's radius or, for a straight one, what would suit it.
func radiusOf(p job.Text) float64 {
	if p.Arc != nil {
		return p.Arc.RadiusMM
	}
	r := 0.0
	for _, s := range p.Shapes {
		r = max(r, s.Path.Bounds().Width())
	}
	// Its length is a third of the circle.
	return max(r*3/6.283, p.SizeMM)
}

// say tells what is not as it was asked for.
func (t *text) say(notes []message.Message, err error) {
	var list []string
	for _, m := range notes {
		list = append(list, words.Chosen().Message(m))
	}
	if err != nil {
		what, remedy := workshop.Explain(err)
		list = append(list, what+" "+remedy)
	}
	t.notes.SetText(strings.Join(list, " "))
	if hidden := len(list) == 0; hidden != t.notes.Hidden {
		t.notes.Hidden = hidden
		t.c.p.relay()
	}
}

// edit takes whoever types to the words, all of them marked.
func (t *text) edit() { t.c.p.focus(t.entry, true) }
