package gradient

import (
	"math"
	"sort"

	"abut/geometry"
	"abut/internal/colour"
)

// Gradient is what a shape was painted with in its file. A sheet has one
// colour, so its layer has one, too: the mean, unless bands were chosen. It is
// read-only; shapes of one layer have gradients of the same stops.
type Gradient struct {
	Stops  []Stop
	Spread Spread
	// Radial: it runs from the circle around From with FromR to the one around
	// To with ToR; else along the line between the two points. In units of its
	// own, which Map takes to source units.
	Radial     bool
	From, To   geometry.Point
	FromR, ToR float64
	Map        geometry.Affine
	// Mean and MeanAlpha are its mean over the shape.
	Mean      colour.RGB
	MeanAlpha float64
}

// Stop is one colour of a gradient and where it stands, from 0 to 1. Stops are
// in order; two at one place are a hard edge.
type Stop struct {
	At     float64
	Colour colour.RGB
	Alpha  float64
}

// Spread says how a gradient goes on beyond its ends.
type Spread uint8

const (
	// Pad goes on in the colours of the ends.
	Pad Spread = iota
	// Repeat goes on from the beginning again.
	Repeat
	// Reflect goes back and forth.
	Reflect
)

// before and after stand for all that lies before the beginning and after the end
// of a gradient that goes on in the colours of its ends.
const before, after = -1, 2

// bring brings a parameter into [0, 1] or, beyond the ends, to before or after.
func (s Spread) bring(t float64) float64 {
	if math.IsNaN(t) || math.IsInf(t, 0) {
		return 0
	}
	switch s {
	case Repeat:
		return t - math.Floor(t)
	case Reflect:
		t = math.Abs(math.Mod(t, 2))
		if t > 1 {
			t = 2 - t
		}
		return t
	}
	switch {
	case t < 0:
		return before
	case t > 1:
		return after
	}
	return t
}

// Along returns the function that tells how far along the gradient a place in
// source units is, from 0 to 1, or less or more beyond its ends; false where the gradient paints nothing. It is
// nil for a gradient without extent.
func (g *Gradient) Along() func(geometry.Point) (float64, bool) {
	inv, ok := g.Map.Invert()
	at := g.own()
	if !ok || at == nil {
		return nil
	}
	return func(p geometry.Point) (float64, bool) {
		t, ok := at(inv.Apply(p))
		return g.Spread.bring(t), ok
	}
}

// own is Along in the gradient's own units and before the spread.
func (g *Gradient) own() func(geometry.Point) (float64, bool) {
	if g.Radial {
		if !(g.ToR > 0) {
			return nil
		}
		return radial(g.From, g.FromR, g.To, g.ToR)
	}
	d := g.To.Sub(g.From)
	l := d.Dot(d)
	if !(l > 0) {
		return nil
	}
	return func(p geometry.Point) (float64, bool) { return p.Sub(g.From).Dot(d) / l, true }
}

// radial returns the parameter of the circle, between the focal one at f with
// radius fr and the one at c with radius r, that passes through a point: the
// largest whose radius is not negative (SVG 2, 14.2.3; HTML canvas' two-circle
// gradient).
func radial(f geometry.Point, fr float64, c geometry.Point, r float64) func(geometry.Point) (float64, bool) {
	d, dr := c.Sub(f), r-fr
	qa := d.Dot(d) - dr*dr
	return func(p geometry.Point) (float64, bool) {
		// |p − f − t·d| = fr + t·dr
		u := p.Sub(f)
		qb := u.Dot(d) + fr*dr
		qc := u.Dot(u) - fr*fr
		// One circle touches the other from within: less is rounding of the squares.
		if math.Abs(qa) < 1e-12*r*r {
			if qb == 0 {
				return 0, false
			}
			t := qc / (2 * qb)
			return t, fr+t*dr >= 0
		}
		disc := qb*qb - qa*qc
		if disc < 0 {
			return 0, false
		}
		s := math.Sqrt(disc)
		t0, t1 := (qb+s)/qa, (qb-s)/qa
		if t1 > t0 {
			t0, t1 = t1, t0
		}
		if fr+t0*dr >= 0 {
			return t0, true
		}
		return t1, fr+t1*dr >= 0
	}
}

// Tint is a colour of a gradient before it is rounded: sRGB channels from 0 to
// 255, not multiplied by the opacity, which is from 0 to 1.
type Tint struct{ R, G, B, Alpha float64 }

// RGB returns the tint rounded to 8 bits a channel, as if opaque.
func (t Tint) RGB() colour.RGB {
	return colour.RGB{R: uint8(math.Round(t.R)), G: uint8(math.Round(t.G)), B: uint8(math.Round(t.B))}
}

// lerp returns the tint at fraction k of the way from t to u.
func (t Tint) lerp(u Tint, k float64) Tint {
	mix := func(x, y float64) float64 { return x + (y-x)*k }
	return Tint{mix(t.R, u.R), mix(t.G, u.G), mix(t.B, u.B), mix(t.Alpha, u.Alpha)}
}

func (s Stop) tint() Tint {
	return Tint{float64(s.Colour.R), float64(s.Colour.G), float64(s.Colour.B), s.Alpha}
}

// At mixes the two stops around t, a parameter from 0 to 1.
func (g *Gradient) At(t float64) Tint {
	i := sort.Search(len(g.Stops), func(i int) bool { return g.Stops[i].At > t })
	switch i {
	case 0:
		return g.Stops[0].tint()
	case len(g.Stops):
		return g.Stops[i-1].tint()
	}
	a, b := g.Stops[i-1], g.Stops[i]
	return a.tint().lerp(b.tint(), (t-a.At)/(b.At-a.At))
}

// Transform returns the gradient of a shape that m was applied to. A nil
// gradient stays nil.
func (g *Gradient) Transform(m geometry.Affine) *Gradient {
	if g == nil {
		return nil
	}
	out := *g
	out.Map = m.Mul(g.Map)
	return &out
}

// FlatStripes reports whether the gradient is nothing but hard edges between flat
// colours, and how many stripes of them there are from 0 to 1.
func (g *Gradient) FlatStripes() (int, bool) {
	n := 1
	for i := 1; i < len(g.Stops); i++ {
		a, b := g.Stops[i-1], g.Stops[i]
		if a.Colour == b.Colour && a.Alpha == b.Alpha {
			continue
		}
		if a.At != b.At {
			return 0, false
		}
		n++
	}
	return n, n > 1
}

// edgedEnds reports whether a hard edge stands at the very beginning or end of a
// gradient that goes on beyond it in the colours of its ends.
func (g *Gradient) edgedEnds() (first, last bool) {
	n := len(g.Stops)
	if g.Spread != Pad || n < 2 {
		return false, false
	}
	return g.Stops[1].At <= 0, g.Stops[n-2].At >= 1
}

// Sound reports whether everything about the gradient is a number that can be
// worked with.
func (g *Gradient) Sound() bool {
	if _, invertible := g.Map.Invert(); !invertible || !g.Map.Finite() || !g.From.Finite() || !g.To.Finite() {
		return false
	}
	if len(g.Stops) == 0 || g.Spread > Reflect || !(g.FromR >= 0 && g.ToR >= 0) || math.IsInf(g.FromR+g.ToR, 0) || !(g.MeanAlpha > 0 && g.MeanAlpha <= 1) {
		return false
	}
	return g.soundStops()
}

func (g *Gradient) soundStops() bool {
	last := 0.0
	for _, s := range g.Stops {
		if !(s.At >= last && s.At <= 1) || !(s.Alpha >= 0 && s.Alpha <= 1) {
			return false
		}
		last = s.At
	}
	return true
}
