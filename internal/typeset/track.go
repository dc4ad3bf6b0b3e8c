package typeset

import (
	"math"
	"sort"

	"abut/geometry"
)

// Track is a path that text may run along, measured by its length.
type Track struct {
	pieces []trackPiece
	ends   []float64 // length up to the end of each piece
}

// trackPiece is a sixteenth of a curve, or a line.
type trackPiece struct {
	from geometry.Point
	seg  geometry.Segment
}

// pieceParts is into how many parts a curve is cut before it is measured. With
// five points a part the length of a curve without a cusp is right to about
// 1e-8 of itself.
const pieceParts = 16

// NewTrack measures a path. Contours follow each other; a closed one ends where
// it began. Points and gaps have no length.
func NewTrack(path geometry.Path) *Track {
	t := &Track{}
	total := 0.0
	add := func(from geometry.Point, s geometry.Segment) {
		if l := pieceLength(from, s, 1); l > 0 {
			total += l
			t.pieces = append(t.pieces, trackPiece{from, s})
			t.ends = append(t.ends, total)
		}
	}
	for _, c := range path {
		at := c.Start
		for _, s := range c.Segments {
			if !s.Cubic {
				add(at, s)
			} else {
				for k := range pieceParts {
					from, part := s.Sub(at, float64(k)/pieceParts, float64(k+1)/pieceParts)
					add(from, part)
				}
			}
			at = s.End
		}
		if c.Closed && at != c.Start {
			add(at, geometry.LineTo(c.Start))
		}
	}
	return t
}

// Length is the whole length.
func (t *Track) Length() float64 {
	if len(t.ends) == 0 {
		return 0
	}
	return t.ends[len(t.ends)-1]
}

// at returns the point at a length from the start and the direction there, an
// angle; false before the start and past the end.
func (t *Track) at(s float64) (p geometry.Point, angle float64, ok bool) {
	if !(s >= 0 && s <= t.Length()) || len(t.pieces) == 0 {
		return geometry.Point{}, 0, false
	}
	i := min(sort.SearchFloat64s(t.ends, s), len(t.pieces)-1)
	if i > 0 {
		s -= t.ends[i-1]
	}
	piece := t.pieces[i]
	if !piece.seg.Cubic {
		d := piece.seg.End.Sub(piece.from)
		return piece.from.Lerp(piece.seg.End, s/d.Len()), math.Atan2(d.Y, d.X), true
	}
	// Halving is slow and sure; the length grows with the parameter.
	lo, hi := 0.0, 1.0
	for range 40 {
		mid := (lo + hi) / 2
		if pieceLength(piece.from, piece.seg, mid) < s {
			lo = mid
		} else {
			hi = mid
		}
	}
	u := (lo + hi) / 2
	d := velocity(piece.from, piece.seg, u)
	if d.Len() == 0 { // a cusp: the way from just before to just after
		d = piece.seg.At(piece.from, math.Min(1, u+1e-4)).Sub(piece.seg.At(piece.from, math.Max(0, u-1e-4)))
	}
	return piece.seg.At(piece.from, u), math.Atan2(d.Y, d.X), true
}

// velocity is a segment's derivative.
func velocity(from geometry.Point, s geometry.Segment, t float64) geometry.Point {
	if !s.Cubic {
		return s.End.Sub(from)
	}
	a, b, c := s.C1.Sub(from), s.C2.Sub(s.C1), s.End.Sub(s.C2)
	u := 1 - t
	return a.Mul(3 * u * u).Add(b.Mul(6 * u * t)).Add(c.Mul(3 * t * t))
}

// pieceLength is the length from the start to parameter t, by Gauss-Legendre
// quadrature with five points.
func pieceLength(from geometry.Point, s geometry.Segment, t float64) float64 {
	if !s.Cubic {
		return s.End.Sub(from).Len() * t
	}
	sum := 0.0
	for _, g := range [5][2]float64{
		{0, 0.5688888888888889}, {-0.5384693101056831, 0.47862867049936647}, {0.5384693101056831, 0.47862867049936647},
		{-0.906179845938664, 0.23692688505618908}, {0.906179845938664, 0.23692688505618908},
	} {
		sum += g[1] * velocity(from, s, t/2*(1+g[0])).Len()
	}
	return sum * t / 2
}

// Frame is where a cluster lies on the track: the middle of its width at length
// s, turned as the track runs there; false where the middle is not on the track.
// It maps from the cluster's own place on a straight line, its pen at the origin.
func (t *Track) Frame(s, width float64) (geometry.Affine, bool) {
	p, angle, ok := t.at(s)
	if !ok {
		return geometry.Identity(), false
	}
	return geometry.Translate(p.X, p.Y).Mul(geometry.Rotate(angle)).Mul(geometry.Translate(-width/2, 0)), true
}

// Along is the line's shape bent along a track: each cluster turned, none bent,
// beginning at length start. Clusters whose middle is off the track are left
// out, and counted.
func (l Line) Along(t *Track, start float64) (shape geometry.Path, off int) {
	for glyphs := range l.Clusters {
		x, width := glyphs[0].X, 0.0
		for _, g := range glyphs {
			width += g.Advance
		}
		m, ok := t.Frame(start+x+width/2, width)
		for _, g := range glyphs {
			if !ok {
				if len(g.Outline) > 0 {
					off++
				}
				continue
			}
			shape = append(shape, g.Outline.Transform(m.Mul(geometry.Translate(g.X-x+g.Offset.X, g.Offset.Y)))...)
		}
	}
	return shape, off
}
