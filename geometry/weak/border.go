package weak

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

// border is what surrounds a connected thin part.
type border struct {
	runs       int // stretches along which its own piece goes on
	freeMM     float64
	cuspMM     float64 // what its free sides have lost where it ends
	corners    int     // sharp ones on the outline
	tip        geometry.Point
	tips       []geometry.Point // all of them
	diameterMM float64
	neighbours map[int32]float64  // by piece, or NoPiece
	free       [][]geometry.Point // stretches of the shape's outline
}

// sharp is the cosine of the turn from which a corner counts: 60°.
const sharp = 0.5

// border returns that of part i of shape k.
func (f *finder) border(k, i int32) border {
	p := &f.shapes[k].parts.Pieces[i]
	b := border{neighbours: map[int32]float64{}, cuspMM: f.cusp()}
	var hull []geometry.Point
	for _, ring := range p.Rings {
		var free [][]geometry.Point
		free, hull = f.borderOf(ring, k, &b, hull)
		for _, way := range free {
			b.add(way, f.lengths.step)
		}
	}
	b.diameterMM = diameter(hull, f.lengths.width)
	return b
}

// borderOf adds a ring of a shape's thin part to its border and its points to the hull, and
// returns the stretches of it that are outline of the shape.
func (f *finder) borderOf(ring planar.Ring, shape int32, b *border, hull []geometry.Point) (free [][]geometry.Point, all []geometry.Point) {
	d := f.shapes[shape].parts
	first, before := false, false
	runs := 0
	for k, ref := range ring.Seams {
		contact := d.across(ref) != planar.None
		pts := d.points(ref)
		hull = append(hull, pts...)
		switch {
		case !contact:
			b.freeMM += d.lengthMM(ref)
			f.besideAll(shape, pts, b.neighbours)
			if k > 0 && !before {
				last := len(free) - 1
				free[last] = append(free[last], pts[1:]...)
			} else {
				free = append(free, pts)
			}
		case k == 0 || !before:
			runs++
		}
		if k == 0 {
			first = contact
		}
		before = contact
	}
	if first && before && runs > 1 {
		runs--
	}
	if !first && !before && len(free) > 1 {
		free[0] = append(free[len(free)-1], free[0][1:]...)
		free = free[:len(free)-1]
	}
	b.runs += runs
	return free, hull
}

// besideAll adds to all the lengths of what lies across of a stretch of the outline of shape k, by piece.
func (f *finder) besideAll(k int32, way []geometry.Point, all map[int32]float64) {
	s := &f.shapes[k]
	for i := 1; i < len(way); i++ {
		a, b := way[i-1], way[i]
		if side, _, ok := s.grid.nearest(a.Lerp(b, 0.5), f.lengths.sample, -1); ok {
			f.beside(k, side, a, b, all)
		} else {
			all[NoPiece] += b.Sub(a).Len()
		}
	}
}

// cusp is how much of its side a corner's residue loses because shapes are grown
// back by slack more than they were shrunk: where the larger circle meets the
// side.
func (f *finder) cusp() float64 {
	l := &f.lengths
	return math.Sqrt(l.width*l.slack + l.slack*l.slack)
}

// add adds a stretch of outline, and its sharp corners.
func (b *border) add(way []geometry.Point, step float64) {
	b.free = append(b.free, way)
	way = withoutSteps(way, step)
	for q := 1; q+1 < len(way); q++ {
		u, v := way[q].Sub(way[q-1]), way[q+1].Sub(way[q])
		if u.Dot(v) < sharp*u.Len()*v.Len() && u.Cross(v) > 0 {
			b.corners++
			b.tip = way[q]
			b.tips = append(b.tips, way[q])
		}
	}
}

// withoutSteps leaves out the points that are no further than a step from the last.
func withoutSteps(way []geometry.Point, step float64) []geometry.Point {
	out := way[:1:1]
	for _, p := range way[1:] {
		if p.Sub(out[len(out)-1]).Len() > step {
			out = append(out, p)
		}
	}
	return out
}

// diameter returns the largest distance of two of the points along 32
// directions, at most 0.5 % too small: or, as soon as that is more than enough,
// what it has come to.
func diameter(pts []geometry.Point, enough float64) float64 {
	best := 0.0
	for k := range 32 {
		sin, cos := math.Sincos(math.Pi * float64(k) / 32)
		u := geometry.Pt(cos, sin)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, p := range pts {
			v := p.Dot(u)
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
		if best = math.Max(best, hi-lo); best > enough {
			break
		}
	}
	return best
}

func sorted(m map[int32]float64) []Neighbour {
	var out []Neighbour
	for p, l := range m {
		out = append(out, Neighbour{p, l})
	}
	slices.SortFunc(out, func(a, b Neighbour) int {
		return cmp.Or(cmp.Compare(b.LengthMM, a.LengthMM), cmp.Compare(a.Piece, b.Piece))
	})
	return out
}
