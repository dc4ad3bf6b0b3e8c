package gradient

import (
	"math"

	"abut/geometry"
)

const (
	// maxRounds bounds how often a repeated gradient runs over a shape: finer
	// stripes than this nobody cuts.
	maxRounds = 50
	// farOut is how many times its shape's size a band's outline may reach: from
	// further out the rounding of its corners would be felt at the shape.
	farOut = 40
	// beyond is how much larger than the shape its field is taken, as a share, so
	// that no band ends on the shape's own outline.
	beyond = 0.01
	// lastBand is where the last band that is tried for how far it reaches
	// begins: the thinnest reach furthest.
	lastBand = 0.999
)

// Bandable reports whether the gradient can be cut into bands over a shape with
// these bounds: its lines of one colour do not cross or are those of a cone, it
// does not run over the shape too often, and its bands do not reach too far
// beyond.
func (g *Gradient) Bandable(bounds geometry.Rect) bool {
	if g.own() == nil || !g.Sound() || bounds.Empty() {
		return false
	}
	if _, cone := g.cone(); g.Radial && !cone && !(g.To.Sub(g.From).Len() <= (g.ToR-g.FromR)*(1-touching)) {
		return false
	}
	f, ok := g.fieldOver(bounds)
	if !ok || g.Spread != Pad && f.to-f.from > maxRounds {
		return false
	}
	reach := geometry.EmptyRect()
	for _, s := range append(f.strip(math.Inf(-1), math.Inf(1)), f.strip(f.from+(f.to-f.from)*lastBand, math.Inf(1))...) {
		reach = reach.Union(s.Bounds())
	}
	size := func(r geometry.Rect) float64 { return math.Hypot(r.Width(), r.Height()) }
	return reach.Min.Finite() && reach.Max.Finite() && size(reach) <= farOut*size(bounds)
}

// field is a gradient over a rectangle.
type field struct {
	g *Gradient
	// box holds the rectangle in the gradient's own units.
	box geometry.Rect
	// from and to hold the parameter there, before the spread.
	from, to float64
	// left and right are how far the box reaches across a straight gradient, in
	// lengths of it.
	left, right float64
}

func (g *Gradient) fieldOver(bounds geometry.Rect) (field, bool) {
	f := field{g: g, box: geometry.EmptyRect(), from: math.Inf(1), to: math.Inf(-1), left: math.Inf(1), right: math.Inf(-1)}
	inv, ok := g.Map.Invert()
	own := g.own()
	if !ok || own == nil {
		return f, false
	}
	if c, ok := g.cone(); ok {
		f.box = bounds.Path().Transform(inv).Bounds()
		f.box = f.box.Grow(beyond * math.Hypot(f.box.Width(), f.box.Height()))
		f.from, f.to, ok = c.over(f.box)
		return f, ok && !math.IsInf(f.to-f.from, 0)
	}
	d := g.To.Sub(g.From)
	for _, p := range corners(bounds) {
		q := inv.Apply(p)
		f.box = f.box.Include(q)
		t, ok := own(q)
		if !ok || math.IsNaN(t) || math.IsInf(t, 0) {
			return f, false
		}
		f.from, f.to = math.Min(f.from, t), math.Max(f.to, t)
		if !g.Radial {
			s := d.Cross(q.Sub(g.From)) / d.Dot(d)
			f.left, f.right = math.Min(f.left, s), math.Max(f.right, s)
		}
	}
	f.box = f.box.Grow(beyond * math.Hypot(f.box.Width(), f.box.Height()))
	if g.Radial {
		f.from = math.Min(f.from, 0) // the middle may lie inside
	} else {
		margin := beyond * (f.right - f.left + 1)
		f.left, f.right = f.left-margin, f.right+margin
	}
	return f, true
}

// Strips returns where the gradient over a shape with these bounds is from one
// parameter to another, of [0, 1], as paths to be filled even-odd; an end that
// is infinite is an end of the gradient itself. Strips of neighbouring bands
// share their edges to the last digit.
func (g *Gradient) Strips(bounds geometry.Rect, from, to float64) []geometry.Path {
	f, ok := g.fieldOver(bounds)
	if !ok {
		return nil
	}
	if g.Spread == Pad {
		return f.strip(from, to)
	}
	from, to = math.Max(from, 0), math.Min(to, 1)
	var out []geometry.Path
	for m := math.Floor(f.from); m <= f.to; m++ {
		if g.Spread == Reflect && math.Mod(m, 2) != 0 {
			out = append(out, f.strip(m+1-to, m+1-from)...)
		} else {
			out = append(out, f.strip(m+from, m+to)...)
		}
	}
	return out
}

// strip returns the part of the field between two parameters, in source units.
func (f field) strip(from, to float64) []geometry.Path {
	if from >= f.to || to <= f.from {
		return nil
	}
	g := f.g
	var path geometry.Path
	if c, ok := g.cone(); ok {
		path = geometry.Path{c.ahead(math.Max(from, f.from), f.to)}
		if to < f.to {
			path = append(path, c.ahead(to, f.to))
		}
	} else if !g.Radial {
		d := g.To.Sub(g.From)
		across := geometry.Pt(-d.Y, d.X)
		margin := beyond * (f.to - f.from + 1)
		from, to = math.Max(from, f.from-margin), math.Min(to, f.to+margin)
		at := func(t, s float64) geometry.Point { return g.From.Add(d.Mul(t)).Add(across.Mul(s)) }
		path = geometry.Path{geometry.Polygon(at(from, f.left), at(to, f.left), at(to, f.right), at(from, f.right))}
	} else {
		circle := func(t float64) (geometry.Contour, bool) {
			r := g.FromR + t*(g.ToR-g.FromR)
			c := g.From.Add(g.To.Sub(g.From).Mul(t))
			return geometry.Ellipse(c, r, r), r > 0
		}
		outer := f.box
		if hole, ok := circle(from); ok { // none at the gradient's own beginning
			path = append(path, hole)
			outer = outer.Union(path.Bounds().Grow(path.Bounds().Width() * beyond))
		}
		if to < f.to {
			rim, ok := circle(to)
			if !ok {
				return nil
			}
			path = append(path, rim)
		} else {
			path = append(path, outer.Path()...)
		}
	}
	return []geometry.Path{path.Transform(g.Map)}
}
