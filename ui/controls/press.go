package controls

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/ui/theme"
)

// Press is a thing to press: an icon, a word, or both. It is the button of the
// toolbar, the toggle in a row and the choice in a switch.
type Press struct {
	widget.BaseWidget
	// Label is the word beside the icon; Hint is said when the pointer rests,
	// and is needed where there is no label.
	Label, Hint string
	IconName    string
	// Next marks the action that comes next: filled with the accent.
	Next bool
	// On marks a toggle or choice that is on.
	On       bool
	OnTapped func()
	// Icon sides and heights in units.
	IconSide, Height float32
	// OnFocus is called when the keyboard's focus comes or goes.
	OnFocus func(bool)
	// OnKey gets the keys that a press has no use for.
	OnKey func(*fyne.KeyEvent)
	// Plain shows that it is on by its colour only, for many in a column.
	Plain bool
	// Tone is the icon's and label's colour, Text unless set.
	Tone Tone

	disabled, hovered, focused, down bool
}

var (
	_ fyne.Focusable    = (*Press)(nil)
	_ fyne.Tappable     = (*Press)(nil)
	_ desktop.Hoverable = (*Press)(nil)
	_ desktop.Mouseable = (*Press)(nil)
	_ fyne.Disableable  = (*Press)(nil)
)

// NewAction returns a labelled action for the toolbar.
func NewAction(icon, label, hint string, tapped func()) *Press {
	p := &Press{IconName: icon, Label: label, Hint: hint, OnTapped: tapped, IconSide: 24, Height: 40}
	p.ExtendBaseWidget(p)
	return p
}

// NewIconPress returns an icon to press; hint is its word.
func NewIconPress(icon, hint string, tapped func()) *Press {
	p := &Press{IconName: icon, Hint: hint, OnTapped: tapped, IconSide: 20, Height: 32}
	p.ExtendBaseWidget(p)
	return p
}

// SetNext marks or unmarks the action as the one that comes next.
func (p *Press) SetNext(next bool) {
	if p.Next != next {
		p.Next = next
		p.Refresh()
	}
}

// SetOn switches the mark of a toggle.
func (p *Press) SetOn(on bool) {
	if p.On != on {
		p.On = on
		p.Refresh()
	}
}

// Show it as another icon with another hint.
func (p *Press) SetIcon(icon, hint string) {
	if p.IconName != icon || p.Hint != hint {
		p.IconName, p.Hint = icon, hint
		p.Refresh()
	}
}

// Enable implements fyne.Disableable.
func (p *Press) Enable() { p.SetEnabled(true) }

// Disable implements fyne.Disableable.
func (p *Press) Disable() { p.SetEnabled(false) }

// SetEnabled makes it respond, or not.
func (p *Press) SetEnabled(on bool) {
	if p.disabled != !on {
		p.disabled = !on
		p.Refresh()
	}
}

// Disabled implements fyne.Disableable.
func (p *Press) Disabled() bool { return p.disabled }

// Tapped implements fyne.Tappable.
func (p *Press) Tapped(*fyne.PointEvent) {
	if !p.disabled && p.OnTapped != nil {
		hideHint(p)
		p.OnTapped()
	}
}

// MouseIn implements desktop.Hoverable.
func (p *Press) MouseIn(*desktop.MouseEvent) {
	p.hovered = true
	showHint(p, p.Hint)
	p.Refresh()
}

// MouseMoved implements desktop.Hoverable.
func (p *Press) MouseMoved(*desktop.MouseEvent) {}

// MouseOut implements desktop.Hoverable.
func (p *Press) MouseOut() {
	p.hovered, p.down = false, false
	hideHint(p)
	p.Refresh()
}

// MouseDown implements desktop.Mouseable.
func (p *Press) MouseDown(*desktop.MouseEvent) { p.down = true; p.Refresh() }

// MouseUp implements desktop.Mouseable.
func (p *Press) MouseUp(*desktop.MouseEvent) { p.down = false; p.Refresh() }

// FocusGained implements fyne.Focusable.
func (p *Press) FocusGained() {
	p.focused = true
	if p.OnFocus != nil {
		p.OnFocus(true)
	}
	p.Refresh()
}

// FocusLost implements fyne.Focusable.
func (p *Press) FocusLost() {
	p.focused = false
	if p.OnFocus != nil {
		p.OnFocus(false)
	}
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
		if p.OnKey != nil {
			p.OnKey(k)
		}
	}
}

// CreateRenderer implements fyne.Widget.
func (p *Press) CreateRenderer() fyne.WidgetRenderer {
	p.ExtendBaseWidget(p)
	r := &pressRenderer{p: p, back: canvas.NewRectangle(color.Transparent), ring: canvas.NewRectangle(color.Transparent), text: canvas.NewText("", color.Transparent)}
	r.icon = NewIcon(p.IconSide, func() string { return p.IconName }, p.colour)
	r.back.CornerRadius, r.ring.CornerRadius = 6, 6
	r.objects = []fyne.CanvasObject{r.back, r.icon, r.text, r.ring}
	r.Refresh()
	return r
}

// colour is what icon and label are drawn in.
func (p *Press) colour() color.NRGBA {
	pal := theme.Current()
	switch {
	case p.disabled:
		return theme.Mix(pal.Quiet, pal.Ground, 0.6)
	case p.Next:
		return pal.OnAccent
	case p.Tone != nil:
		return p.Tone(pal)
	case p.On:
		return pal.Accent
	}
	return pal.Text
}

func (p *Press) fill() color.Color {
	pal := theme.Current()
	over := pal.Text
	base := theme.Faded(pal.Text, 0)
	if p.On && !p.Plain {
		base = theme.Faded(pal.Accent, 0x22)
	}
	if p.Next && !p.disabled {
		base = pal.Accent
		over = pal.Ground
	}
	switch {
	case p.disabled:
		return base
	case p.down && base.A == 255:
		return theme.Mix(over, base, 0.2)
	case p.hovered && base.A == 255:
		return theme.Mix(over, base, 0.1)
	case p.down:
		return theme.Faded(over, 0x30)
	case p.hovered:
		return theme.Faded(over, max(base.A, 0x18))
	}
	return base
}

type pressRenderer struct {
	p       *Press
	back    *canvas.Rectangle
	ring    *canvas.Rectangle
	icon    *canvas.Raster
	text    *canvas.Text
	objects []fyne.CanvasObject
}

func (r *pressRenderer) pad() float32 {
	if r.p.Label == "" {
		return (r.p.Height - r.p.IconSide) / 2
	}
	return 12
}

func (r *pressRenderer) MinSize() fyne.Size {
	w := 2 * r.pad()
	if r.p.IconName != "" {
		w += r.p.IconSide
	}
	if r.p.Label != "" {
		if r.p.IconName != "" {
			w += 8
		}
		w += r.text.MinSize().Width
	}
	return fyne.NewSize(w, r.p.Height)
}

func (r *pressRenderer) Layout(size fyne.Size) {
	r.back.Resize(size)
	r.ring.Move(fyne.NewPos(1, 1))
	r.ring.Resize(size.SubtractWidthHeight(2, 2))
	// Content stays in the middle when there is more room than it needs.
	x := (size.Width - r.MinSize().Width) / 2
	x += r.pad()
	if r.p.IconName != "" {
		r.icon.Resize(fyne.NewSquareSize(r.p.IconSide))
		r.icon.Move(fyne.NewPos(x, (size.Height-r.p.IconSide)/2))
		x += r.p.IconSide + 8
	}
	m := r.text.MinSize()
	r.text.Resize(m)
	r.text.Move(fyne.NewPos(x, (size.Height-m.Height)/2))
}

func (r *pressRenderer) Refresh() {
	r.back.FillColor = r.p.fill()
	r.ring.StrokeWidth = 0
	if r.p.focused {
		r.ring.StrokeColor, r.ring.StrokeWidth = theme.Current().Accent, 2
		if r.p.Next {
			r.ring.StrokeColor = theme.Current().OnAccent
		}
	}
	r.text.Text, r.text.TextSize, r.text.Color = r.p.Label, theme.Body, r.p.colour()
	r.text.TextStyle.Bold = r.p.Next
	r.icon.Hidden = r.p.IconName == ""
	r.text.Hidden = r.p.Label == ""
	r.Layout(r.p.Size())
	for _, o := range r.objects {
		canvas.Refresh(o)
	}
}

func (r *pressRenderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *pressRenderer) Destroy()                     {}
