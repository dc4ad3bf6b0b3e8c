package geometry

import "math"

// Affine is the map x' = A·x + C·y + E, y' = B·x + D·y + F: the six numbers in
// the order of SVG's matrix(a b c d e f). The zero value collapses everything
// to the origin; start from Identity.
type Affine struct{ A, B, C, D, E, F float64 }

// Identity returns the map that changes nothing.
func Identity() Affine { return Affine{A: 1, D: 1} }

// Translate returns the shift by (x, y).
func Translate(x, y float64) Affine { return Affine{1, 0, 0, 1, x, y} }

// Scale returns the scaling by sx and sy about the origin.
func Scale(sx, sy float64) Affine { return Affine{sx, 0, 0, sy, 0, 0} }

// Rotate returns the turn by angle about the origin, clockwise on screen for a
// positive angle (y down).
func Rotate(angle float64) Affine {
	s, c := math.Sincos(angle)
	return Affine{c, s, -s, c, 0, 0}
}

// SkewX returns the shear that moves x by y·tan(angle).
func SkewX(angle float64) Affine { return Affine{1, 0, math.Tan(angle), 1, 0, 0} }

// SkewY returns the shear that moves y by x·tan(angle).
func SkewY(angle float64) Affine { return Affine{1, math.Tan(angle), 0, 1, 0, 0} }

// MirrorX returns the reflection that swaps left and right within a page of
// the given width. Applied twice it is the identity, exactly whenever
// width − x is exact.
func MirrorX(width float64) Affine { return Affine{-1, 0, 0, 1, width, 0} }

// Mul returns the map that applies n first and m after it, so that nested
// transforms read outermost first: outer.Mul(inner).
func (m Affine) Mul(n Affine) Affine {
	return Affine{
		A: m.A*n.A + m.C*n.B,
		B: m.B*n.A + m.D*n.B,
		C: m.A*n.C + m.C*n.D,
		D: m.B*n.C + m.D*n.D,
		E: m.A*n.E + m.C*n.F + m.E,
		F: m.B*n.E + m.D*n.F + m.F,
	}
}

// Apply maps p.
func (m Affine) Apply(p Point) Point {
	return Point{m.A*p.X + m.C*p.Y + m.E, m.B*p.X + m.D*p.Y + m.F}
}

// ApplyVector maps a displacement: the shift does not count.
func (m Affine) ApplyVector(p Point) Point {
	return Point{m.A*p.X + m.C*p.Y, m.B*p.X + m.D*p.Y}
}

// Det returns the determinant: the factor by which areas grow, negative when
// the map mirrors.
func (m Affine) Det() float64 { return m.A*m.D - m.B*m.C }

// Invert returns the inverse map, and false when there is none (or none that
// floats can hold).
func (m Affine) Invert() (Affine, bool) {
	det := m.Det()
	if det == 0 || math.IsInf(det, 0) || math.IsInf(1/det, 0) {
		return Affine{}, false
	}
	inv := Affine{
		A: m.D / det, B: -m.B / det, C: -m.C / det, D: m.A / det,
		E: (m.C*m.F - m.D*m.E) / det,
		F: (m.B*m.E - m.A*m.F) / det,
	}
	if !inv.Finite() {
		return Affine{}, false
	}
	return inv, true
}

// Finite reports whether all six numbers are ordinary.
func (m Affine) Finite() bool {
	return Point{m.A, m.B}.Finite() && Point{m.C, m.D}.Finite() && Point{m.E, m.F}.Finite()
}

// MaxScale returns the largest factor by which m stretches a length: its
// larger singular value.
func (m Affine) MaxScale() float64 {
	// The singular values of [[a c][b d]] are half the sum and difference of
	// these two lengths (Blinn, "Consider the lowly 2 × 2 matrix", 1996).
	s := math.Hypot(m.A+m.D, m.B-m.C)
	d := math.Hypot(m.A-m.D, m.B+m.C)
	return (s + d) / 2
}

// MapRect returns the bounds of r's image.
func (m Affine) MapRect(r Rect) Rect {
	if r.Empty() {
		return r
	}
	return EmptyRect().Include(m.Apply(r.Min)).Include(m.Apply(r.Max)).
		Include(m.Apply(Point{r.Max.X, r.Min.Y})).Include(m.Apply(Point{r.Min.X, r.Max.Y}))
}
