package job

import (
	"math"
	"strings"

	"abut/geometry"
)

// Blank is the thing decorated, as far as it takes the dye: lying flat, a mug's
// side unrolled.
type Blank struct {
	Name     string
	WidthMM  float64
	HeightMM float64
	// Round: an ellipse of that width and height.
	Round bool
	// SafeMM is how far from its edge the art should stay.
	SafeMM   float64
	Material Material
	// At is where its middle lies on the board.
	At geometry.Point
}

// Material is what the blank's surface is made of.
type Material uint8

const (
	// Coated is ceramic, glass, metal or slate with a polymer coating.
	Coated Material = iota
	// Polyester cloth.
	Polyester
	// Blend is cloth with less than two thirds of polyester.
	Blend
	// Cotton, or another fibre that takes no dye.
	Cotton
)

// Bounds returns where the blank lies on the board.
func (b Blank) Bounds() geometry.Rect {
	return geometry.RectXYWH(b.At.X-b.WidthMM/2, b.At.Y-b.HeightMM/2, b.WidthMM, b.HeightMM)
}

// Outline returns its edge on the board; inset moves it inwards by that many
// millimetres, and is empty where nothing is left.
func (b Blank) Outline(inset float64) geometry.Path {
	r := b.Bounds().Grow(-inset)
	if !(r.Width() > 0) || !(r.Height() > 0) || r.Empty() {
		return nil
	}
	if b.Round {
		return geometry.Path{geometry.Ellipse(b.At, r.Width()/2, r.Height()/2)}
	}
	return r.Path()
}

// Holds reports whether all of path lies within the blank's edge moved inwards
// by inset. Curves count as chords of a hundredth of a millimetre, and as much
// is forgiven.
func (b Blank) Holds(path geometry.Path, inset float64) bool {
	const slack = 0.01
	rx, ry := b.WidthMM/2-inset+slack, b.HeightMM/2-inset+slack
	in := func(p geometry.Point) bool {
		x, y := (p.X-b.At.X)/rx, (p.Y-b.At.Y)/ry
		if b.Round {
			return x*x+y*y <= 1
		}
		return math.Abs(x) <= 1 && math.Abs(y) <= 1
	}
	for _, c := range path.Flatten(slack) {
		if rx <= 0 || ry <= 0 || !in(c.Start) {
			return false
		}
		for _, s := range c.Segments {
			if !in(s.End) {
				return false
			}
		}
	}
	return true
}

// SetBlankShape chooses the thing decorated, nil none.
func SetBlankShape(j Job, b *Blank) (Job, error) {
	if b != nil {
		own := *b
		own.Name = strings.TrimSpace(own.Name)
		ok := func(v float64) bool { return v > 0 && v <= 5000 }
		if !ok(own.WidthMM) || !ok(own.HeightMM) || !(own.SafeMM >= 0) || own.SafeMM*2 >= min(own.WidthMM, own.HeightMM) || own.Material > Cotton || !own.At.Finite() {
			return j, refuse(BadBlank)
		}
		b = &own
	}
	j.Settings.BlankShape = b
	return j, nil
}

// Room returns the largest rectangle of the given proportions (width over
// height) that the safe area holds, in its middle.
func (b Blank) Room(proportion float64) geometry.Rect {
	w, h := b.WidthMM-2*b.SafeMM, b.HeightMM-2*b.SafeMM
	if b.Round {
		// A rectangle's corners on the ellipse: x = w·cos t, y = h·sin t.
		t := math.Atan2(w, h*proportion)
		w, h = w*math.Cos(t), h*math.Sin(t)
	} else {
		w, h = min(w, h*proportion), min(h, w/proportion)
	}
	return geometry.RectXYWH(b.At.X-w/2, b.At.Y-h/2, w, h)
}
