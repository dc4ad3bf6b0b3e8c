package board

import (
	"image"
	"image/color"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/ui/theme"
)

// shown takes a finished picture.
// It reports whether a frame will come of it.
func (b *Board) shown(p *picture) bool {
	changed := b.pic == nil || b.pic.base != p.base
	moved := b.pic == nil || b.pic.view != p.view
	b.pic = p
	b.painter.pace.expect()
	b.fadeShown(p)
	if changed {
		canvas.Refresh(b.base)
	}
	over := b.placeOver()
	b.placeHandles()
	b.placeLabels()
	if w := b.wish; w != nil && b.Dragging() {
		b.wish = nil
		b.showChip(w.text, w.at)
		b.placeGuides(w.guides)
	}
	b.showRulers(moved)
	if b.OnPainted != nil {
		b.OnPainted()
	}
	return changed || over
}

// placeOver puts what moves where it belongs and reports whether there is any.
func (b *Board) placeOver() bool {
	p := b.pic
	if p == nil || p.over == nil {
		b.over.Hide()
		return false
	}
	d := float32(b.ratio)
	b.over.Move(fyne.NewPos(rulerSide+float32(p.overAt.X)/d, rulerSide+float32(p.overAt.Y)/d))
	size := p.over.Rect.Size()
	b.over.Resize(fyne.NewSize(float32(size.X)/d, float32(size.Y)/d))
	b.over.Show()
	canvas.Refresh(b.over)
	return true
}

// basePixels is the raster's generator: it only hands over what the painter
// made. The size it is asked for is also how the board learns the screen's
// pixels per unit.
func (b *Board) basePixels(w, h int) image.Image {
	b.drawing()
	if size := image.Pt(w, h); size != b.view.size && w > 1 && h > 1 {
		b.resized(size)
	}
	if b.pic == nil {
		img := image.NewRGBA(image.Rect(0, 0, w, h))
		fill(img, img.Rect, theme.Current().Board)
		return img
	}
	if b.OnDrawn != nil {
		b.OnDrawn()
	}
	return sized(b.pic.base, w, h, theme.Current().Board)
}

// resized takes the size of the view in pixels, and paints.
func (b *Board) resized(size image.Point) {
	if u := b.base.Size().Width; u > 0 {
		b.ratio = float64(size.X) / float64(u)
		b.density = max(1, int(b.ratio+0.5))
	}
	if b.view.scale == 0 {
		b.view.scale = 4
	}
	b.view = b.view.resized(size)
	b.repaint()
}

// firstPicture is how long the first frame may wait for its picture: without one it would be
// drawn in vain, which takes about as long.
const firstPicture = 100 * time.Millisecond

// PaintFirst paints the first picture before there is a frame to show it, so that the first
// one does. c is the canvas that the board will be on, which knows how many pixels it has.
func (b *Board) PaintFirst(c fyne.Canvas) {
	w, h := c.PixelCoordinateForPosition(fyne.Position{}.Add(b.base.Size()))
	if b.pic != nil || w <= 1 || h <= 1 {
		return
	}
	b.resized(image.Pt(w, h))
	if pic := b.painter.await(firstPicture); pic != nil {
		b.shown(pic)
	}
}

func (b *Board) overPixels(w, h int) image.Image {
	b.drawing()
	if b.pic == nil || b.pic.over == nil {
		return image.NewRGBA(image.Rect(0, 0, w, h))
	}
	return sized(b.pic.over, w, h, color.NRGBA{})
}

// drawing tells the painter that a frame with its picture is being drawn.
func (b *Board) drawing() {
	if b.painter.deliver != nil {
		b.painter.pace.drawing(b.painter.deliver)
	}
}

// sized returns the image at the size asked for, cut or padded; rows tight, for
// the toolkit ignores strides.
func sized(img *image.RGBA, w, h int, ground color.NRGBA) *image.RGBA {
	if img.Rect.Dx() == w && img.Rect.Dy() == h {
		return img
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	fill(out, out.Rect, ground)
	if ground.A == 0 {
		clear(out.Pix)
	}
	for y := 0; y < min(h, img.Rect.Dy()); y++ {
		n := 4 * min(w, img.Rect.Dx())
		copy(out.Pix[y*out.Stride:][:n], img.Pix[y*img.Stride:][:n])
	}
	return out
}

// CreateRenderer implements fyne.Widget.
func (b *Board) CreateRenderer() fyne.WidgetRenderer {
	b.ExtendBaseWidget(b)
	r := &boardRenderer{b: b}
	r.colours()
	return r
}

type boardRenderer struct {
	b    *Board
	size fyne.Size
}

func (r *boardRenderer) MinSize() fyne.Size { return fyne.NewSize(200, 160) }

func (r *boardRenderer) Layout(size fyne.Size) {
	// The toolkit lays out anew whenever a text inside has another size.
	if size == r.size {
		return
	}
	r.size = size
	b := r.b
	in := fyne.NewSize(max(size.Width-rulerSide, 1), max(size.Height-rulerSide, 1))
	b.base.Move(fyne.NewPos(rulerSide, rulerSide))
	b.base.Resize(in)
	b.ring.Move(fyne.NewPos(rulerSide, rulerSide))
	b.ring.Resize(in)
	b.corner.Resize(fyne.NewSquareSize(rulerSide))
	m := b.unit.MinSize()
	b.unit.Move(fyne.NewPos((rulerSide-m.Width)/2, (rulerSide-m.Height)/2))
	b.unit.Resize(m)
	b.rulers[0].layout(fyne.NewPos(rulerSide, 0), fyne.NewSize(in.Width, rulerSide))
	b.rulers[1].layout(fyne.NewPos(0, rulerSide), fyne.NewSize(rulerSide, in.Height))
	b.placeOver()
	b.placeFade()
	b.placeHandles()
	b.placeNote()
}

func (r *boardRenderer) Refresh() {
	r.colours()
	b := r.b
	b.repaint()
	b.placeNote()
	for _, o := range r.Objects() {
		canvas.Refresh(o)
	}
	for _, x := range b.rulers {
		x.refresh()
	}
}

func (r *boardRenderer) colours() {
	b, p := r.b, theme.Current()
	b.corner.FillColor = p.Ground
	b.unit.Color = p.Quiet
	b.chip.FillColor = p.Text
	b.chipText.Color = p.Ground
	b.ring.StrokeColor, b.ring.StrokeWidth = p.Accent, 2
	if b.chipText.Text == "" {
		b.chip.Hide()
		b.chipText.Hide()
	}
}

func (r *boardRenderer) Objects() []fyne.CanvasObject {
	b := r.b
	o := []fyne.CanvasObject{b.base, b.over, b.fade.image}
	for _, x := range b.rulers {
		o = append(o, x.objects()...)
	}
	for _, t := range b.labels {
		o = append(o, t)
	}
	for _, l := range b.guides {
		o = append(o, l)
	}
	o = append(o, b.handles.stem)
	for _, m := range b.handles.marks {
		o = append(o, m)
	}
	return append(o, b.note.back, b.note.line, b.box, b.corner, b.unit, b.chip, b.chipText, b.ring)
}

func (r *boardRenderer) Destroy() {}
