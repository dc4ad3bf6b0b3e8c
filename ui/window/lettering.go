package window

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// weights are offered for text; a font that lacks one has the nearest.
var weights = []int{300, 400, 700, 900}

// textPart is the part of Details about a text.
type textPart struct {
	c      *content
	object *fyne.Container

	entry   *lines
	family  *controls.Press
	weight  *controls.Select
	italic  *controls.Check
	size    *numberField
	spacing *numberField
	align   *controls.Choice
	arc     *controls.Choice
	radius  *numberField
	radiusC *fyne.Container
	notes   *controls.Para

	// name is the family; of the text as it is in the job, set the one that was
	// set last, asked the number of the last request for one.
	name  string
	of    job.Text
	set   *job.Text
	asked int
}

// lines is an entry of several lines that is left by Escape, which gives up what
// was typed, and by Ctrl+Enter.
type lines struct {
	widget.Entry
	onLeft, onGivenUp func()
}

func newLines() *lines {
	e := &lines{}
	e.MultiLine, e.Wrapping = true, fyne.TextWrapOff
	e.ExtendBaseWidget(e)
	return e
}

// FocusLost implements fyne.Focusable.
func (e *lines) FocusLost() {
	e.Entry.FocusLost()
	e.onLeft()
}

// TypedKey implements fyne.Focusable.
func (e *lines) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.onGivenUp()
		return
	}
	e.Entry.TypedKey(k)
}

func newTextPart(c *content) *textPart {
	t := &textPart{c: c}
	t.entry = newLines()
	t.entry.SetMinRowsVisible(2)
	t.entry.OnChanged = func(string) { t.preview() }
	t.entry.onLeft = t.commit
	t.entry.onGivenUp = func() {
		t.asked++
		t.entry.SetText(t.of.Text)
		c.giveUp()
		c.w.focusBoard()
	}
	t.family = controls.NewAction("text", "", say("ui-text-family-hint"), t.askFamily)
	t.family.Framed, t.family.IconSide, t.family.Fills = true, 18, true
	var names []string
	for _, w := range weights {
		names = append(names, say("ui-text-weight-"+strconv.Itoa(w)))
	}
	t.weight = controls.NewSelect(names, func(string) { t.commit() })
	t.italic = controls.NewCheck(say("ui-text-italic"), func(bool) { t.commit() })
	t.size = numbers("ui-text-size", false, t.preview, t.commit)
	t.spacing = numbers("ui-text-spacing", false, t.preview, t.commit)
	t.spacing.fine = true
	t.radius = numbers("ui-text-radius", false, t.preview, t.commit)
	choice := func(ids ...string) *controls.Choice {
		var words []string
		for _, id := range ids {
			words = append(words, say(id))
		}
		x := controls.NewChoice(nil, words...)
		x.OnChosen = func(i int) {
			x.Choose(i)
			t.commit()
		}
		x.Fills = true
		return x
	}
	t.align = choice("ui-text-start", "ui-text-middle", "ui-text-end")
	t.arc = choice("ui-text-straight", "ui-text-over", "ui-text-under")
	t.notes = controls.NewPara("", controls.Care)
	t.radiusC = container.NewGridWithColumns(2, t.radius.cell)
	t.object = container.New(&controls.Stack{Gap: 8}, t.entry, t.family,
		container.NewBorder(nil, nil, nil, t.italic, t.weight),
		container.NewGridWithColumns(2, t.size.cell, t.spacing.cell),
		t.align, t.arc, t.radiusC, t.notes)
	return t
}

// forget drops what was set for another layer.
func (t *textPart) forget() {
	t.asked++
	t.set = nil
	t.notes.SetText("")
	t.notes.Hide()
}

func (t *textPart) show(p job.Text, u job.Units, locked bool) {
	k := t.c.mean()
	if c := fyne.CurrentApp().Driver().CanvasForObject(t.entry); c == nil || c.Focused() != t.entry || p.Text != t.of.Text {
		if t.entry.Text != p.Text {
			t.entry.SetText(p.Text)
		}
	}
	t.of, t.name = p, p.Family
	if t.name == "" {
		t.name = workshop.OwnFamily
	}
	t.family.Label = t.name
	t.family.Refresh()
	t.weight.SetSelectedIndex(nearest(p.Weight))
	t.italic.SetChecked(p.Italic)
	for n, v := range map[*numberField]float64{t.size: p.SizeMM * k, t.spacing: p.SpacingMM * k, t.radius: radiusOf(p) * k} {
		n.units = u
		n.set(v)
		enable(n, !locked)
	}
	t.align.Choose(int(p.Align))
	t.arc.Choose(arcOf(p))
	t.radiusC.Hidden = p.Arc == nil
	for _, d := range []fyne.Disableable{t.entry, t.weight, t.italic, t.family} {
		enable(d, !locked)
	}
	t.c.w.lastText = p
	t.c.w.lastText.Shapes = nil
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

// typed is the text as the fields say, without outlines.
func (t *textPart) typed() job.Text {
	p, k := t.of, t.c.mean()
	p.Shapes = nil
	p.Text = t.entry.Text
	if t.name != workshop.OwnFamily || p.Family != "" {
		p.Family = t.name
	}
	if i := t.weight.SelectedIndex(); i >= 0 && i != nearest(p.Weight) {
		p.Weight = weights[i]
	}
	p.Italic = t.italic.Checked
	changed := func(n *numberField, v *float64) {
		if x := n.now(); x != n.value {
			*v = x / k
		}
	}
	changed(t.size, &p.SizeMM)
	changed(t.spacing, &p.SpacingMM)
	p.Align = job.TextAlign(t.align.Chosen())
	switch i := t.arc.Chosen(); {
	case i == 0:
		p.Arc = nil
	default:
		arc := job.Arc{RadiusMM: radiusOf(t.of), Inside: i == 2}
		changed(t.radius, &arc.RadiusMM)
		p.Arc = &arc
	}
	return p
}

// sameText reports whether two texts say the same, set the same way.
func sameText(a, b job.Text) bool {
	a.Shapes, b.Shapes = nil, nil
	return reflect.DeepEqual(a, b)
}

// preview sets what is typed in the background and shows it.
func (t *textPart) preview() {
	if t.c.filling {
		return
	}
	t.ask(t.typed(), t.c.try)
}

// commit makes what is typed a step.
func (t *textPart) commit() {
	if t.c.filling {
		return
	}
	p := t.typed()
	switch {
	case sameText(p, t.of), strings.TrimSpace(p.Text) == "":
		t.asked++
		t.entry.SetText(t.of.Text)
		t.c.giveUp()
	case t.set != nil && sameText(*t.set, p):
		t.asked++
		t.c.set(*t.set)
	default:
		t.ask(p, t.c.set)
	}
}

// ask sets a text; use gets it unless another was asked for meanwhile.
func (t *textPart) ask(p job.Text, use func(job.Content)) {
	t.asked++
	number, id := t.asked, t.c.id
	t.c.w.session.SetText(p, func(p job.Text, notes []message.Message, err error) {
		if number != t.asked || id != t.c.id {
			return
		}
		t.say(notes, err)
		if err != nil {
			return
		}
		t.set = &p
		use(p)
	})
}

// say tells what is not as it was asked for.
func (t *textPart) say(notes []message.Message, err error) {
	var list []string
	for _, m := range notes {
		list = append(list, words.Chosen().Message(m))
	}
	if err != nil {
		text, remedy := workshop.Explain(err)
		list = append(list, text+" "+remedy)
	}
	t.notes.SetText(strings.Join(list, " "))
	t.notes.Hidden = len(list) == 0
	t.c.w.details.column.Refresh()
}

// editText takes whoever types to the words of the selected text, all of them
// marked.
func (w *Window) editText() {
	l, _, ok := w.selected()
	if _, is := l.Content.(job.Text); !ok || !is {
		return
	}
	if left, right := w.panels.Open(); !right {
		w.fold(left, true)
	}
	e := w.chosen.content.text.entry
	w.win.Canvas().Focus(e)
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
}

// pressedTwice edits the text among the layers that were pressed.
func (w *Window) pressedTwice(ids []job.LayerID) {
	for _, id := range ids {
		l, _, ok := w.session.Job().Layer(id)
		if _, is := l.Content.(job.Text); ok && is {
			w.session.Select([]job.LayerID{id})
			w.editText()
			return
		}
	}
}

// askFamily asks for a font family among those that are installed.
func (t *textPart) askFamily() {
	w := t.c.w
	w.session.Families(func(all []string, err error) {
		if err != nil {
			w.trouble(err)
			return
		}
		d := w.desk.New(420, say("ui-text-family-title"))
		filter := d.NewEntry("")
		filter.SetPlaceHolder(say("ui-text-family-filter"))
		shown := all
		picked := t.name
		list := widget.NewList(func() int { return len(shown) },
			func() fyne.CanvasObject { return widget.NewLabel("") },
			func(i widget.ListItemID, o fyne.CanvasObject) { o.(*widget.Label).SetText(shown[i]) })
		list.OnSelected = func(i widget.ListItemID) { picked = shown[i] }
		mark := func() {
			list.UnselectAll()
			if i := slices.Index(shown, picked); i >= 0 {
				list.Select(i)
				list.ScrollTo(i)
			} else if len(shown) > 0 {
				list.Select(0)
			}
		}
		filter.OnChanged = func(s string) {
			shown = nil
			for _, f := range all {
				if strings.Contains(strings.ToLower(f), strings.ToLower(strings.TrimSpace(s))) {
					shown = append(shown, f)
				}
			}
			list.Refresh()
			mark()
		}
		scroll := container.NewGridWrap(fyne.NewSize(380, min(320, w.win.Canvas().Size().Height-260)), list)
		d.Body.Add(filter)
		d.Body.Add(scroll)
		d.SetButtons(
			dialogs.Button(say("ui-cancel"), d.Close),
			dialogs.Button(say("ui-text-family-set"), func() {
				d.Close()
				if picked != t.name {
					t.name = picked
					t.commit()
				}
			}))
		d.Show(filter)
		mark()
	})
}
