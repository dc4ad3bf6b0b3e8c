package controls

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/ui/theme"
)

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
	if p.Label != "" && !iconOnly {
		if p.Fills {
			return p.room(false) + 48
		}
		return p.Whole()
	}
	return p.room(iconOnly)
}

// Whole is how wide it must be to show its label uncut.
func (p *Mark) Whole() float32 {
	size, style := p.lettering()
	return p.room(false) + fyne.MeasureText(p.Label, size, style).Width
}

// room is what it takes beside its label.
func (p *Mark) room(iconOnly bool) float32 {
	w := 2 * p.pad(iconOnly)
	if p.IconName != "" {
		w += p.IconSide
		if p.Label != "" && !iconOnly {
			w += 8
		}
	}
	return w
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
		r.fit(size.Width - x - r.pad())
	}
	m := r.text.MinSize()
	r.text.Resize(m)
	r.text.Move(fyne.NewPos(x, (size.Height-m.Height)/2))
}

// fit sets the label so that it fits: a heading in smaller letters before it is cut short.
func (r *pressRenderer) fit(width float32) {
	r.text.Text = r.p.label()
	r.text.TextSize, _ = r.p.lettering()
	if r.p.Heading && r.text.MinSize().Width > width {
		r.text.TextSize = theme.Body
	}
	r.text.Text = Shorten(r.text.Text, width, r.text.TextSize, r.text.TextStyle)
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
