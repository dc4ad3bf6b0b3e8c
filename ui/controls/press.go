package controls

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// Mark is a small thing to press that the keyboard passes over: for the many in
// a list, which has keys of its own. Press is one with the focus.
type Mark struct {
	widget.BaseWidget
	// Label is the word beside the icon; Hint is said when the pointer rests,
	// and is needed where there is no label.
	Label, Hint string
	IconName    string
	// Next marks the action that comes next: filled with the accent.
	Next bool
	// Framed fills it a little, where it stands alone.
	Framed bool
	// On marks a toggle or choice that is on; Plain shows that by its colour
	// only.
	On, Plain bool
	// Heading sets it as the heading of what it folds: from the left, in a
	// heading's type.
	Heading bool
	// Fills sets the label from the left, where the press is as wide as its
	// column; what there is no room for is cut short.
	Fills    bool
	OnTapped func()
	// OnHeld makes it something to hold down: it is told when the pointer's button
	// goes down on it, and when it comes up or leaves. By keyboard it is tapped.
	OnHeld func(down bool)
	// iconOnly: there is no room for the label, which becomes the hint.
	iconOnly bool
	// OnRest is told when pointer or keyboard come to rest on it, and leave.
	OnRest func(on bool)
	// IconSide and Height are in units.
	IconSide, Height float32
	// Tone is the icon's and label's colour, Text unless set; IconTone the icon's
	// alone.
	Tone, IconTone Tone

	self                             fyne.CanvasObject
	disabled, hovered, focused, down bool
}

// Press is a thing to press: an icon, a word, or both. It is the button of the
// toolbar and of dialogs, and the choice in a switch.
type Press struct {
	Mark
	// OnKey gets the keys that a press has no use for.
	OnKey func(*fyne.KeyEvent)
}

var (
	_ fyne.Focusable    = (*Press)(nil)
	_ fyne.Tappable     = (*Mark)(nil)
	_ desktop.Hoverable = (*Mark)(nil)
	_ desktop.Mouseable = (*Mark)(nil)
	_ fyne.Disableable  = (*Mark)(nil)
)

func newPress(icon, label, hint string, side, height float32, tapped func()) *Press {
	p := &Press{}
	p.IconName, p.Label, p.Hint, p.OnTapped, p.IconSide, p.Height = icon, label, hint, tapped, side, height
	p.self = p
	p.ExtendBaseWidget(p)
	return p
}

// NewAction returns a labelled action for the toolbar.
func NewAction(icon, label, hint string, tapped func()) *Press {
	return newPress(icon, label, hint, 24, 40, tapped)
}

// NewFramed returns a labelled action that stands alone among other things.
func NewFramed(icon, label, hint string, tapped func()) *Press {
	p := newPress(icon, label, hint, 18, 32, tapped)
	p.Framed = true
	return p
}

// NewIconPress returns an icon to press; hint is its word.
func NewIconPress(icon, hint string, tapped func()) *Press {
	return newPress(icon, "", hint, 20, 32, tapped)
}

// NewMark returns an icon to press in a list's row; hint is its word.
func NewMark(icon, hint string, tapped func()) *Mark {
	m := &Mark{IconName: icon, Hint: hint, OnTapped: tapped, IconSide: 20, Height: 32}
	m.self = m
	m.ExtendBaseWidget(m)
	return m
}

// SetNext marks or unmarks the action as the one that comes next.
func (p *Mark) SetNext(next bool) {
	if p.Next != next {
		p.Next = next
		p.Refresh()
	}
}

// label is the word beside the icon, as far as there is room for it.
func (p *Mark) label() string {
	if p.iconOnly {
		return ""
	}
	return p.Label
}

// hint is what is said when the pointer rests: the label, too, where it is not to be read whole.
func (p *Mark) hint() string {
	switch {
	case p.Hint == "" && p.iconOnly:
		return p.Label
	case p.Fills && !p.iconOnly && p.self.Size().Width < p.Whole():
		return strings.TrimSuffix(p.Label+". "+p.Hint, ". ")
	}
	return p.Hint
}

// SetOn switches the mark of a toggle.
func (p *Mark) SetOn(on bool) {
	if p.On != on {
		p.On = on
		p.Refresh()
	}
}

// SetIcon shows another icon with another hint.
func (p *Mark) SetIcon(icon, hint string) {
	if p.IconName != icon || p.Hint != hint {
		p.IconName, p.Hint = icon, hint
		p.Refresh()
	}
}

// Enable implements fyne.Disableable.
func (p *Mark) Enable() { p.SetEnabled(true) }

// Disable implements fyne.Disableable.
func (p *Mark) Disable() { p.SetEnabled(false) }

// SetEnabled makes it respond, or not.
func (p *Mark) SetEnabled(on bool) {
	if p.disabled != !on {
		p.disabled = !on
		p.Refresh()
	}
}

// Disabled implements fyne.Disableable.
func (p *Mark) Disabled() bool { return p.disabled }

// Tapped implements fyne.Tappable.
func (p *Mark) Tapped(at *fyne.PointEvent) {
	if at != nil && p.OnHeld != nil {
		return
	}
	if !p.disabled && p.OnTapped != nil {
		hideHint(p.self)
		p.OnTapped()
	}
}

// pointed is what the pointer rests on, nil for nothing: there is one pointer.
var pointed *Mark

// movedAway takes the pointer off what it rested on, which moved: the toolkit tells nothing of that.
func movedAway() {
	if pointed != nil {
		pointed.MouseOut()
	}
}

// MouseIn implements desktop.Hoverable.
func (p *Mark) MouseIn(*desktop.MouseEvent) {
	p.hovered, pointed = true, p
	showHint(p.self, p.hint())
	p.rest(true)
	p.Refresh()
}

func (p *Mark) rest(on bool) {
	if p.OnRest != nil {
		p.OnRest(on)
	}
}

// MouseMoved implements desktop.Hoverable.
func (p *Mark) MouseMoved(e *desktop.MouseEvent) {
	if !p.hovered { // it scrolled, and not so far that the pointer is not on it
		p.MouseIn(e)
	}
}

// MouseOut implements desktop.Hoverable.
func (p *Mark) MouseOut() {
	p.hovered = false
	if pointed == p {
		pointed = nil
	}
	p.hold(false)
	hideHint(p.self)
	p.rest(p.focused)
	p.Refresh()
}

// MouseDown implements desktop.Mouseable.
func (p *Mark) MouseDown(*desktop.MouseEvent) { p.hold(true); p.Refresh() }

// MouseUp implements desktop.Mouseable.
func (p *Mark) MouseUp(*desktop.MouseEvent) { p.hold(false); p.Refresh() }

func (p *Mark) hold(down bool) {
	if p.down != down && !p.disabled && p.OnHeld != nil {
		hideHint(p.self)
		p.OnHeld(down)
	}
	p.down = down
}

// FocusGained implements fyne.Focusable.
func (p *Press) FocusGained() {
	p.focused = true
	showHint(p.self, p.hint()) // what an icon does is said to whoever comes by keys, too
	p.rest(true)
	p.Refresh()
}

// FocusLost implements fyne.Focusable.
func (p *Press) FocusLost() {
	p.focused = false
	if !p.hovered {
		hideHint(p.self)
	}
	p.rest(p.hovered)
	p.Refresh()
}

// TypedRune implements fyne.Focusable.
func (p *Press) TypedRune(rune) {}

// TypedKey implements fyne.Focusable.
func (p *Press) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		p.Tapped(nil)
	default:
		switch {
		case p.OnKey != nil:
			p.OnKey(k)
		case k.Name == fyne.KeyF1:
			Help(p, k)
		}
	}
}

// Help gives the key that asks for help to the window that an object with the focus is in: it
// gets keys only where nothing has the focus.
func Help(o fyne.CanvasObject, k *fyne.KeyEvent) {
	c := fyne.CurrentApp().Driver().CanvasForObject(o)
	if c == nil {
		return
	}
	if typed := c.OnTypedKey(); typed != nil {
		typed(k)
	}
}
