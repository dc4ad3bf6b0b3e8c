package inspect

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/entry"
)

// Field is an entry for a number. While something is typed, that is a draft of
// the session: Enter or leaving makes it a step, Escape takes it back, and
// whatever else is done makes it count first.
type Field struct {
	entry.Length
	s     *session.Session
	label string
	// take has the draft be what a number leads to.
	take  func(d *session.Draft, v float64)
	draft *session.Draft
	// setting: the text comes from the job, not from whoever types.
	setting bool
}

// newField returns a field; label is the id of the step's sentence.
func newField(s *session.Session, label string, take func(d *session.Draft, v float64)) *Field {
	f := &Field{s: s, label: label, take: take}
	// The wheel is for what the field lies in.
	f.Scroll = container.ScrollNone
	f.ExtendBaseWidget(f)
	f.OnChanged = func(string) { f.typed() }
	f.OnSubmitted = func(string) { f.keep() }
	return f
}

// held has a number be an edit that is not shown until it counts: on the way to
// 100 one types 1.
func held(edit func(v float64) session.Edit) func(*session.Draft, float64) {
	return func(d *session.Draft, v float64) { d.Hold(edit(v)) }
}

// show shows a value in the units of the job, unless another is being typed.
func (f *Field) show(v float64, u job.Units) {
	f.Units = u
	if f.draft == nil {
		f.setting = true
		f.Set(v)
		f.setting = false
	}
}

// showNone shows that there is no value, unless one is being typed.
func (f *Field) showNone(u job.Units) {
	f.Units = u
	if f.draft == nil && f.Text != "" {
		f.setting = true
		f.SetText("")
		f.setting = false
	}
}

func (f *Field) typed() {
	if f.setting {
		return
	}
	if f.draft == nil {
		f.draft = f.s.Begin(f.label, func() { f.draft = nil })
	}
	v, ok := f.Parse()
	switch {
	case f.Text == "", f.Untouched():
		f.draft.Show(nil)
	case f.TooSmall():
		f.draft.Wrong(&workshop.Error{Message: message.Message{ID: "typed-too-small", Args: map[string]string{"text": f.Text}}})
	case !ok:
		f.draft.Wrong(&workshop.Error{Message: message.Message{ID: "typed-no-number", Args: map[string]string{"text": f.Text}}})
	default:
		f.take(f.draft, v)
	}
}

// Drafting reports whether something is typed that is no step yet.
func (f *Field) Drafting() bool { return f.draft != nil }

// keep makes what is typed a step.
func (f *Field) keep() {
	if f.draft != nil {
		f.s.Settle(func() {})
	}
}

// FocusLost implements fyne.Focusable.
func (f *Field) FocusLost() {
	f.Entry.FocusLost()
	f.keep()
}

// TypedKey implements fyne.Focusable.
func (f *Field) TypedKey(k *fyne.KeyEvent) {
	switch {
	case k.Name == fyne.KeyEscape && f.draft != nil:
		f.draft.Drop()
	case k.Name == fyne.KeyF1:
		controls.Help(f, k)
	default:
		f.Entry.TypedKey(k)
	}
}

// enable lets a field or box be used or not.
func enable(d fyne.Disableable, on bool) {
	if on {
		d.Enable()
	} else {
		d.Disable()
	}
}

// named is a field with its name over it.
func named(id string, o fyne.CanvasObject) *fyne.Container {
	return container.New(&controls.Stack{Gap: 2}, controls.NewCaption(say(id)), o)
}

// row is a field with its name before it and its unit after.
type row struct {
	*Field
	unit *controls.Line
}

func newRow(to *fyne.Container, id string, f *Field) *row {
	r := &row{f, controls.NewLine("", controls.Quiet)}
	name := controls.NewLine(say(id), controls.Text)
	name.Shrinks = true
	to.Add(controls.NewDock(nil, nil, nil, container.NewHBox(container.NewGridWrap(fyne.NewSize(84, 36), f), container.NewCenter(r.unit)), container.New(&controls.Inset{Y: 8}, name)))
	return r
}

func (r *row) show(v float64, u job.Units) {
	r.Field.show(v, u)
	r.unit.SetText(entry.UnitName(u))
}

// Lines is an entry of several lines whose words are a draft: leaving it makes
// them a step, Escape takes them back.
type Lines struct {
	widget.Entry
	s       *session.Session
	draft   *session.Draft
	setting bool
	// take has the draft be what the words lead to; shown is the text of the job.
	take  func(*session.Draft, string)
	shown string
	rows  int
	left  func()
}

func newLines(s *session.Session, take func(*session.Draft, string)) *Lines {
	e := &Lines{s: s, take: take}
	e.MultiLine, e.Wrapping = true, fyne.TextWrapOff
	e.ExtendBaseWidget(e)
	e.SetMinRowsVisible(fewestRows)
	e.OnChanged = func(string) { e.typed() }
	return e
}

// The rows that are shown: all lines up to a point, for the wheel is for what the
// entry lies in.
const fewestRows, mostRows = 2, 12

// grow makes room for the lines that there are.
func (e *Lines) grow() {
	if n := min(max(strings.Count(e.Text, "\n")+1, fewestRows), mostRows); n != e.rows {
		e.rows = n
		e.SetMinRowsVisible(n)
	}
}

func (e *Lines) show(text string) {
	e.shown = text
	if e.draft == nil && e.Text != text {
		e.setting = true
		e.SetText(text)
		e.setting = false
		e.grow()
	}
}

func (e *Lines) typed() {
	if e.setting {
		return
	}
	e.grow()
	if e.draft == nil {
		e.draft = e.s.Begin("ui-step-content", func() { e.draft = nil })
	}
	if e.Text == e.shown {
		e.draft.Show(nil)
		return
	}
	e.take(e.draft, e.Text)
}

// Drafting reports whether something is typed that is no step yet.
func (e *Lines) Drafting() bool { return e.draft != nil }

// FocusLost implements fyne.Focusable.
func (e *Lines) FocusLost() {
	e.Entry.FocusLost()
	if e.draft != nil {
		e.s.Settle(func() {})
	}
}

// AcceptsTab implements fyne.Tabbable: Tab goes on to what follows, as in entries of one line.
func (e *Lines) AcceptsTab() bool { return false }

// TypedKey implements fyne.Focusable.
func (e *Lines) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyEscape:
		if e.draft != nil {
			e.draft.Drop()
		}
		e.left()
	case fyne.KeyF1:
		controls.Help(e, k)
	default:
		e.Entry.TypedKey(k)
	}
}
