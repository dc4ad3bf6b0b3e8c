package job

import (
	"math"

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
	// AroundMM is the way around a thing that it is wrapped about, from a place back to
	// that place, and 0 for what lies flat: its ends are so much less its width apart.
	AroundMM float64 `json:",omitempty"`
	// SafeMM is how far from its edge the art should stay.
	SafeMM   float64
	Material Material
	// Product is the whole thing, as a lesson draws it.
	Product Product `json:",omitzero"`
	// At is where its middle lies on the board.
	At geometry.Point
	// Press is how it was pressed.
	Press Pressing `json:",omitzero"`
}

// Material is what the blank's surface is made of.
type Material uint8

const (
	// Coated is ceramic, glass, metal or slate with a polymer coating.
	Coated Material = iota
	// Polyester is cloth of nothing else.
	Polyester
	// Blend is cloth with less than two thirds of polyester.
	Blend
	// Cotton is that, or another fibre that takes no dye.
	Cotton
)

// Product is the thing of which the blank is the part that takes the dye.
type Product uint8

const (
	// AnyProduct is told by shape and material.
	AnyProduct Product = iota
	// Shirt has the blank on its front, or as its pocket where it is no larger than one.
	Shirt
	// Cushion is as large as the blank.
	Cushion
	// Tote is a bag with two handles above the blank.
	Tote
)

// Bounds returns where the blank lies on the board.
func (b Blank) Bounds() geometry.Rect {
	return geometry.RectXYWH(b.At.X-b.WidthMM/2, b.At.Y-b.HeightMM/2, b.WidthMM, b.HeightMM)
}

// Outline returns its edge on the board; inset moves it inwards by that many
// millimetres, and is empty where nothing is left.
func (b Blank) Outline(inset float64) geometry.Path {
	r := b.Bounds().Grow(-inset)
	if !(r.Width() > 0 && r.Height() > 0) {
		return nil
	}
	if b.Round {
		return geometry.Path{geometry.Ellipse(b.At, r.Width()/2, r.Height()/2)}
	}
	return r.Path()
}

// Holds reports whether all of path lies within the blank's edge moved inwards
// by inset, as exactly as Beyond.
func (b Blank) Holds(path geometry.Path, inset float64) bool {
	b.WidthMM, b.HeightMM = b.WidthMM-2*inset, b.HeightMM-2*inset
	return len(path) == 0 || b.WidthMM > 0 && b.HeightMM > 0 && b.Beyond(path) == 0
}

// Beyond returns how far the farthest place of path lies outside the blank's
// edge: by how much it would have to be wider at each side to hold all of it; 0
// when it does. Curves count as chords of a hundredth of a millimetre, and as
// much is forgiven.
func (b Blank) Beyond(path geometry.Path) float64 {
	const slack = 0.01 // the chords' sagitta, far below what a hand can place
	rx, ry := b.WidthMM/2+slack, b.HeightMM/2+slack
	over := 0.0
	look := func(p geometry.Point) {
		x, y := math.Abs(p.X-b.At.X), math.Abs(p.Y-b.At.Y)
		if !b.Round {
			over = math.Max(over, math.Max(x-rx, y-ry))
			return
		}
		out := func(g float64) bool {
			u, v := x/(rx+g), y/(ry+g)
			return u*u+v*v > 1
		}
		if !out(over) {
			return
		}
		low, high := over, over+math.Hypot(x, y)
		for range 50 { // to far below what is said
			if mid := (low + high) / 2; out(mid) {
				low = mid
			} else {
				high = mid
			}
		}
		over = high
	}
	for _, c := range path.Flatten(slack) {
		look(c.Start)
		for _, s := range c.Segments {
			look(s.End)
		}
	}
	return over
}

// fill returns how much of the safe area a rectangle takes up in its middle: 1
// where it just fits.
func (b Blank) fill(r geometry.Rect) float64 {
	w, h := r.Width()/(b.WidthMM-2*b.SafeMM), r.Height()/(b.HeightMM-2*b.SafeMM)
	if b.Round {
		return math.Hypot(w, h)
	}
	return max(w, h)
}

// Room returns the largest rectangle of the given proportions (width over
// height) that the safe area holds, in its middle. A round one's edge goes
// through its corners.
func (b Blank) Room(proportion float64) geometry.Rect {
	h := 1 / b.fill(geometry.RectXYWH(0, 0, proportion, 1))
	w := h * proportion
	return geometry.RectXYWH(b.At.X-w/2, b.At.Y-h/2, w, h)
}

// beside is the share of its width that is shown of either end beyond the other.
const beside = 0.12

// Beside returns how far beyond its ends that of a blank which is wrapped around is worth
// seeing: the gap between the ends and a part of the other one.
func (b Blank) Beside() float64 { return b.AroundMM - b.WidthMM + beside*b.WidthMM }
