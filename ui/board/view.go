package board

import (
	"image"
	"math"

	"abut/geometry"
)

// Zoom limits in pixels per millimetre: at the lower some metres fit the screen,
// at the upper a tenth of a millimetre is a finger wide. What is larger is shown whole all the same,
// down to leastScale.
const (
	minScale   = 0.05
	leastScale = 0.005
	maxScale   = 400
)

// view says which part of the board is seen. Pixels are those of the screen.
// The origin is a whole number of pixels, so that panning moves masks without
// changing them.
type view struct {
	scale  float64 // pixels per millimetre
	origin image.Point
	size   image.Point
}

// mm returns the place on the board under a pixel of the view.
func (v view) mm(p image.Point) geometry.Point {
	return geometry.Pt(float64(p.X-v.origin.X)/v.scale, float64(p.Y-v.origin.Y)/v.scale)
}

// px returns where in the view a place on the board is.
func (v view) px(p geometry.Point) (x, y float64) {
	return p.X*v.scale + float64(v.origin.X), p.Y*v.scale + float64(v.origin.Y)
}

// window returns the world pixels in view.
func (v view) window() image.Rectangle {
	return image.Rectangle{Max: v.size}.Sub(v.origin)
}

// zoomed returns the view enlarged by a factor with the place under p staying
// where it is.
func (v view) zoomed(p image.Point, factor float64) view {
	at := v.mm(p)
	v.scale = math.Min(math.Max(v.scale*factor, math.Min(minScale, v.scale)), maxScale)
	v.origin = image.Pt(int(math.Round(float64(p.X)-at.X*v.scale)), int(math.Round(float64(p.Y)-at.Y*v.scale)))
	return v
}

// panned returns the view shifted by whole pixels.
func (v view) panned(d image.Point) view {
	v.origin = v.origin.Add(d)
	return v
}

// showing returns the view in which r fills the middle, with room around it.
func (v view) showing(r geometry.Rect, room int) view {
	if r.Empty() || v.size.X <= 0 || v.size.Y <= 0 {
		return v
	}
	w, h := math.Max(float64(v.size.X-2*room), 16), math.Max(float64(v.size.Y-2*room), 16)
	s := math.Min(w/math.Max(r.Width(), 1e-3), h/math.Max(r.Height(), 1e-3))
	v.scale = math.Min(math.Max(s, leastScale), maxScale)
	c := r.Centre()
	v.origin = image.Pt(
		int(math.Round(float64(v.size.X)/2-c.X*v.scale)),
		int(math.Round(float64(v.size.Y)/2-c.Y*v.scale)))
	return v
}

// resized returns the view for another size, the place in the middle staying
// there.
func (v view) resized(size image.Point) view {
	d := size.Sub(v.size)
	v.size = size
	v.origin = v.origin.Add(image.Pt(d.X/2, d.Y/2))
	return v
}

// tickStep returns the distance between labelled ticks in millimetres (1, 2 or
// 5 times a power of ten, at least minPx apart) and how many parts it is
// divided into.
func tickStep(scale, minPx float64) (step float64, parts int) {
	raw := minPx / scale
	pow := math.Pow(10, math.Floor(math.Log10(raw)))
	switch m := raw / pow; {
	case m <= 1:
		step, parts = pow, 10
	case m <= 2:
		step, parts = 2*pow, 4
	case m <= 5:
		step, parts = 5*pow, 5
	default:
		step, parts = 10*pow, 10
	}
	return step, parts
}
