package controls

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// Answering is a widget that takes the keyboard's focus and hands the keys on
// that it has no use for, so that Escape and Enter answer a dialog wherever the
// focus is.
type Answering interface {
	fyne.CanvasObject
	SetOnKey(func(*fyne.KeyEvent))
}

// SetOnKey implements Answering.
func (p *Press) SetOnKey(f func(*fyne.KeyEvent)) {
	if p.OnKey == nil {
		p.OnKey = f
	}
}

// SetOnKey implements Answering.
func (c *Choice) SetOnKey(f func(*fyne.KeyEvent)) {
	for _, p := range c.presses {
		p.SetOnKey(f)
	}
}

// Check is a box to tick.
type Check struct {
	widget.Check
	onKey func(*fyne.KeyEvent)
}

// NewCheck returns a box with its words; changed is told of every change.
func NewCheck(label string, changed func(bool)) *Check {
	c := &Check{}
	c.Text, c.OnChanged = label, changed
	c.ExtendBaseWidget(c)
	return c
}

// SetOnKey implements Answering.
func (c *Check) SetOnKey(f func(*fyne.KeyEvent)) { c.onKey = f }

// TypedKey implements fyne.Focusable.
func (c *Check) TypedKey(k *fyne.KeyEvent) { handOn(k, c.onKey, c.Check.TypedKey) }

// Select is a list of words to choose one from, folded to that one.
type Select struct {
	widget.Select
	onKey func(*fyne.KeyEvent)
}

// NewSelect returns a list of words; changed is told what was chosen.
func NewSelect(words []string, changed func(string)) *Select {
	s := &Select{}
	s.Options, s.OnChanged = words, changed
	s.ExtendBaseWidget(s)
	return s
}

// SetOnKey implements Answering.
func (s *Select) SetOnKey(f func(*fyne.KeyEvent)) { s.onKey = f }

// TypedKey implements fyne.Focusable.
func (s *Select) TypedKey(k *fyne.KeyEvent) { handOn(k, s.onKey, s.Select.TypedKey) }

// handOn gives Escape and Enter to whoever waits for an answer, all else to the
// widget itself.
func handOn(k *fyne.KeyEvent, answer, own func(*fyne.KeyEvent)) {
	switch k.Name {
	case fyne.KeyEscape, fyne.KeyReturn, fyne.KeyEnter, fyne.KeyF1:
		if answer != nil {
			answer(k)
			return
		}
	}
	own(k)
}

// Answer has every widget beneath an object hand the keys on that answer a
// dialog.
func Answer(o fyne.CanvasObject, f func(*fyne.KeyEvent)) {
	if w, is := o.(Answering); is {
		w.SetOnKey(f)
		return
	}
	for _, x := range within(o) {
		Answer(x, f)
	}
}

// within returns what a container or a scroll holds.
func within(o fyne.CanvasObject) []fyne.CanvasObject {
	switch o := o.(type) {
	case *fyne.Container:
		return o.Objects
	case *container.Scroll:
		return []fyne.CanvasObject{o.Content}
	}
	return nil
}
