package board

import (
	"image"
	"math"

	"fyne.io/fyne/v2"

	"abut/geometry"
	"abut/internal/job"
)

// ShowAll brings all of the blank into view.
func (b *Board) ShowAll() {
	b.showAll = true
	b.place()
	b.repaint()
}

// ShowBlank fills the view with the blank or, where none was chosen, the paper
// that stands for it.
func (b *Board) ShowBlank() {
	if r := b.paperNow(); !r.Empty() {
		if s := b.job.Settings.BlankShape; s != nil && s.AroundMM > 0 {
			r = geometry.RectXYWH(r.Min.X-s.Beside(), r.Min.Y, r.Width()+2*s.Beside(), r.Height())
		}
		b.setView(b.view.showing(r, 16*b.density))
	}
}

// SeeAs shows the part of the job that another board shows.
func (b *Board) SeeAs(o *Board) {
	b.view, b.showAll, b.ratio, b.density = o.view, o.showAll, o.ratio, o.density
	b.repaint()
}

// Zoom enlarges the view about its middle.
func (b *Board) Zoom(factor float64) {
	b.setView(b.view.zoomed(b.view.size.Div(2), factor))
}

// ZoomToScale shows the board at so many units a millimetre, about the middle of
// the view.
func (b *Board) ZoomToScale(unitsPerMM float64) { b.Zoom(unitsPerMM * b.ratio / b.view.scale) }

// ZoomTo brings a place on the board into view, as for a warning.
func (b *Board) ZoomTo(r geometry.Rect) {
	// Not closer than a couple of centimetres, so that one sees where it is.
	c := r.Centre()
	r = r.Grow(2).Union(geometry.Rect{Min: c, Max: c}.Grow(12))
	b.setView(b.view.showing(r, 24*b.density))
}

// PositionOf returns where on the widget a place on the board is.
func (b *Board) PositionOf(p geometry.Point) fyne.Position {
	x, y := b.view.px(p)
	d := b.ratio
	return fyne.NewPos(float32(x/d)+rulerSide, float32(y/d)+rulerSide)
}

// PlaceAt returns the place on the board that is at a position on the widget;
// false where something else is drawn there, or another view than the art.
func (b *Board) PlaceAt(at fyne.Position) (geometry.Point, bool) {
	px := b.pixel(at)
	return b.view.mm(px), b.mode == Art && px.In(image.Rectangle{Max: b.view.size})
}

// paperOf returns the blank or, where none was chosen, a sheet of paper that
// stands for it: everything of the art with a rim around it.
func paperOf(j job.Job) geometry.Rect {
	if b := j.Settings.BlankShape; b != nil {
		return b.Bounds()
	}
	r := geometry.EmptyRect()
	for _, it := range j.Items {
		r = r.Union(it.Placement.MapRect(it.Canvas))
	}
	if r.Empty() {
		return r
	}
	return r.Grow(max(10, 0.08*max(r.Width(), r.Height())))
}

// paperNow is the paper as the view shows it: mirrored with what lies on it.
func (b *Board) paperNow() geometry.Rect {
	if b.mode == Assembly && b.plan != nil && !b.paper.Empty() {
		return layoutOf(b.mode, b.Shown()).at(0).MapRect(b.paper)
	}
	return b.paper
}

// place sets the view when all of the art is to be shown.
func (b *Board) place() {
	all := b.paperNow()
	if b.job.Settings.BlankShape != nil {
		all = all.Grow(5).Union(job.Pages(b.job))
	}
	if l := layoutOf(b.mode, b.Shown()); b.mode == Sheets && l.n > 0 {
		all = l.extent()
	}
	if b.showAll && !all.Empty() && b.view.size.X > 0 {
		b.view = b.view.showing(all, 16*b.density)
	}
}

func (b *Board) setView(v view) {
	if v != b.view {
		b.view, b.showAll = v, false
		b.repaint()
	}
}

func (b *Board) pan(d image.Point) { b.setView(b.view.panned(d)) }

// Scrolled implements fyne.Scrollable: the wheel pans, with Ctrl it zooms at
// the pointer. A notch is 25 units.
func (b *Board) Scrolled(e *fyne.ScrollEvent) {
	if b.Dragging() || b.gesture.kind == boxing {
		return
	}
	if b.Modifiers()&(fyne.KeyModifierControl|fyne.KeyModifierSuper) != 0 {
		b.setView(b.view.zoomed(b.pixel(e.Position), math.Pow(1.2, float64(e.Scrolled.DY)/25)))
		return
	}
	d := float32(b.ratio) * 2
	b.pan(image.Pt(int(e.Scrolled.DX*d), int(e.Scrolled.DY*d)))
}
