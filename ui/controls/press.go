package controls

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"abut/ui/theme"
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

// hint is what is said when the pointer rests.
func (p *Mark) hint() string {
	if p.Hint == "" && p.iconOnly {
		return p.Label
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

// MouseIn implements desktop.Hoverable.
func (p *Mark) MouseIn(*desktop.MouseEvent) {
	p.hovered = true
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
func (p *Mark) MouseMoved(*desktop.MouseEvent) {}

// MouseOut implements desktop.Hoverable.
func (p *Mark) MouseOut() {
	p.hovered = false
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
		if p.OnKey != nil {
			p.OnKey(k)
		}
	}
}

// CreateRenderer implements fyne.Widget.
func (p *Mark) CreateRenderer() fyne.WidgetRenderer {
	r := &pressRenderer{p: p, back: canvas.NewRectangle(color.Transparent), ring: canvas.NewRectangle(color.Transparent), text: canvas.NewText("", color.Transparent)}
	r.icon = NewIcon(p.IconSide, func() string { return p.IconName }, p.iconColour)
	r.back.CornerRadius, r.ring.CornerRadius = 6, 6
	r.objects = []fyne.CanvasObject{r.back, r.icon, r.text, r.ring}
	r.Refresh()
	return r
}

// colour is what icon and label are drawn in.
func (p *Mark) colour() color.NRGBA {
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

func (p *Mark) iconColour() color.NRGBA {
	if p.IconTone != nil && !p.Next {
		return p.IconTone(theme.Current())
	}
	return p.colour()
}

func (p *Mark) fill() color.NRGBA {
	pal := theme.Current()
	over := pal.Text
	base := theme.Faded(pal.Text, 0)
	if p.Framed {
		base = theme.Mix(pal.Text, pal.Surface, 0.08)
	}
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

// drawn is a colour as the toolkit understands it: it draws whatever is not this
// very transparent, and a window has a hundred grounds that only show under the
// pointer.
func drawn(c color.NRGBA) color.Color {
	if c.A == 0 {
		return color.Transparent
	}
	return c
}

type pressRenderer struct {
	p       *Mark
	back    *canvas.Rectangle
	ring    *canvas.Rectangle
	icon    *canvas.Raster
	text    *canvas.Text
	objects []fyne.CanvasObject
}

func (r *pressRenderer) pad() float32 { return r.p.pad(r.p.iconOnly) }

// pad is what is left free at either side.
func (p *Mark) pad(iconOnly bool) float32 {
	switch {
	case p.Label == "" || iconOnly:
		return (p.Height - p.IconSide) / 2
	case p.Heading:
		return 0
	}
	return 12
}

// width is how wide it is, with its label or as an icon only.
func (p *Mark) width(iconOnly bool) float32 {
	w := 2 * p.pad(iconOnly)
	if p.IconName != "" {
		w += p.IconSide
	}
	if p.Label == "" || iconOnly {
		return w
	}
	if p.IconName != "" {
		w += 8
	}
	if p.Fills {
		return w + 48
	}
	size, style := p.lettering()
	return w + fyne.MeasureText(p.Label, size, style).Width
}

// lettering is what the label is set in.
func (p *Mark) lettering() (float32, fyne.TextStyle) {
	size := theme.Body
	if p.Heading {
		size = theme.Heading
	}
	return size, fyne.TextStyle{Bold: p.Next || p.Heading}
}

func (r *pressRenderer) MinSize() fyne.Size { return fyne.NewSize(r.p.width(r.p.iconOnly), r.p.Height) }

func (r *pressRenderer) Layout(size fyne.Size) {
	r.back.Resize(size)
	r.ring.Move(fyne.NewPos(1, 1))
	r.ring.Resize(size.SubtractWidthHeight(2, 2))
	// Content stays in the middle when there is more room than it needs.
	x := r.pad()
	if !r.p.Heading && !r.p.Fills {
		x += (size.Width - r.MinSize().Width) / 2
	}
	if r.p.IconName != "" {
		r.icon.Resize(fyne.NewSquareSize(r.p.IconSide))
		r.icon.Move(fyne.NewPos(x, (size.Height-r.p.IconSide)/2))
		x += r.p.IconSide + 8
	}
	if r.p.Fills && size.Width > 0 {
		r.text.Text = Shorten(r.p.label(), size.Width-x-r.pad(), r.text.TextSize, r.text.TextStyle)
	}
	m := r.text.MinSize()
	r.text.Resize(m)
	r.text.Move(fyne.NewPos(x, (size.Height-m.Height)/2))
}

func (r *pressRenderer) Refresh() {
	r.back.FillColor = drawn(r.p.fill())
	r.ring.StrokeWidth = 0
	if r.p.focused {
		r.ring.StrokeColor, r.ring.StrokeWidth = theme.Current().Accent, 2
		if r.p.Next {
			r.ring.StrokeColor = theme.Current().OnAccent
		}
	}
	r.text.Text, r.text.Color = r.p.label(), r.p.colour()
	r.text.TextSize, r.text.TextStyle = r.p.lettering()
	r.icon.Hidden = r.p.IconName == ""
	r.text.Hidden = r.p.label() == ""
	r.Layout(r.p.Size())
	for _, o := range r.objects {
		canvas.Refresh(o)
	}
}

func (r *pressRenderer) Objects() []fyne.CanvasObject { return r.objects }
func (r *pressRenderer) Destroy()                     {}
