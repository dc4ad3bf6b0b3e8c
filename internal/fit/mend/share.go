package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/boxes"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// hair reports whether a spot is so thin that one does not see it: nobody drew that. It
// is left where two outlines nearly meet.
func hair(s *Spot) bool { return s.AreaMM2 < hairMM*s.LengthMM }

// narrowed returns a hairline without the corners in which it ends. Those would be horns
// of whoever takes it. Other spots are as they are. Errors as own.Lay.
func (s *Spot) narrowed(ctx context.Context) (*Spot, error) {
	if !hair(s) || s.whole == nil {
		return s, nil
	}
	if s.hairline == nil {
		thin, err := s.thinner(ctx, 2*seenMM)
		if err != nil {
			return s, err
		}
		if s.hairline = s; len(thin) > 0 {
			s.hairline = s.part(thin)
		}
	}
	return s.hairline, nil
}

// side is a part of a spot's outline, and who is on the other side of it.
type side struct {
	a, b geometry.Point
	in   geometry.Point // inwards, of length 1
	of   int            // index into the neighbours
}

// sideStep is how long sides are at most, in narrowest widths.
const sideStep = 0.05

// shared returns layers that give each part of a spot to the neighbour that is nearest,
// nothing where only one is beside it. Errors as own.Lay.
func (m *mending) shared(ctx context.Context, s *Spot, w float64) ([]layer, error) {
	neighbours := slices.DeleteFunc(slices.Clone(s.Neighbours), func(n Neighbour) bool {
		return n.Of == s.Of || n.Of == own.Bare && s.Kind != weak.Point
	})
	if len(neighbours) < 2 {
		return nil, nil
	}
	sides := m.sidesOf(s, neighbours, sideStep*w)
	covered, err := s.covered(ctx)
	if err != nil {
		return nil, err
	}
	var out []layer
	for k := len(neighbours) - 1; k >= 0; k-- {
		l := layer{path: covered, from: s.goes(), to: neighbours[k].Of}
		if k > 0 { // the first takes the rest
			f := evenOdd(cells(sides, k, w), covered)
			f.Rule = geometry.NonZero
			path, err := united(ctx, f)
			if err != nil {
				return nil, err
			}
			if l.path = path.Simplified(seenMM / 4); len(l.path) == 0 {
				continue
			}
		}
		out = append(out, l)
	}
	return out, nil
}

// besideMM is how far from a neighbour's outline a side of a spot lies that is one with it, and at
// most: one of them may be a curve where chords stand for the other.
var besideMM = [...]float64{own.HealMM / 4, own.HealMM / 2}

// sidesOf cuts the outline of a spot into short sides, without those towards its own
// piece.
func (m *mending) sidesOf(s *Spot, neighbours []Neighbour, step float64) []side {
	var near []*geometry.Enclosure // a spot may go all round a picture: all sides by all others would be too many
	for _, p := range m.outlinesOf(neighbours, s.Bounds.Grow(step)) {
		near = append(near, geometry.NewEnclosure(p))
	}
	whole := s.ofPiece()
	beyond := func(at geometry.Point) int {
		for _, within := range besideMM {
			for k := range near {
				if near[k].Nears(at, within) {
					return k
				}
			}
			if s.whole != nil && whole.inside().Nears(at, within) {
				return slices.IndexFunc(neighbours, func(n Neighbour) bool { return n.Of == own.Bare })
			}
		}
		return -1
	}
	inside := geometry.NewEnclosure(s.Outline)
	var out []side
	for _, c := range s.Outline {
		for a, b := range c.Sides() {
			way := b.Sub(a)
			length := way.Len()
			if length == 0 {
				continue
			}
			in := geometry.Pt(-way.Y, way.X).Mul(1 / length)
			if !inside.Holds(a.Lerp(b, 0.5).Add(in.Mul(own.HealMM / 20))) {
				in = in.Mul(-1)
			}
			n := int(length/step) + 1
			for i := range n {
				p := side{a: a.Lerp(b, float64(i)/float64(n)), b: a.Lerp(b, float64(i+1)/float64(n)), in: in}
				if p.of = beyond(p.a.Lerp(p.b, 0.5)); p.of >= 0 {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// outlinesOf returns the outlines of neighbours within a rectangle, cut off at its sides.
func (m *mending) outlinesOf(neighbours []Neighbour, within geometry.Rect) []geometry.Path {
	near := make([]geometry.Path, len(neighbours))
	for k, n := range neighbours {
		for _, p := range m.piecesNear(n.Of, within) {
			near[k] = append(near[k], crop(p.Outline, within)...)
		}
	}
	return near
}

// cells covers what lies nearer to one neighbour than to all others: from its sides as far
// inwards as a disc grows that touches there, until it touches another neighbour's (Blum,
// 1967).
func cells(sides []side, of int, most float64) geometry.Path {
	var out geometry.Path
	cell := func(corners ...geometry.Point) { out = append(out, clockwise(corners...)) }
	others := othersOf(sides, of)
	for i, s := range sides {
		if s.of != of {
			continue
		}
		from, to := s.a.Add(s.in.Mul(others.disc(s.a, s.in, most))), s.b.Add(s.in.Mul(others.disc(s.b, s.in, most)))
		cell(s.a, s.b, to, from)
		if i+1 < len(sides) && sides[i+1].of == of && sides[i+1].a == s.b && sides[i+1].in.Dot(s.in) > -0.9 && sides[i+1].in != s.in {
			// It bends away.
			next := sides[i+1]
			n := s.in.Add(next.in)
			cell(s.b, to, s.b.Add(n.Mul(to.Sub(s.b).Len()/n.Len())), s.b.Add(next.in.Mul(to.Sub(s.b).Len())))
		}
	}
	return out
}

// others are the middles of the sides of other neighbours.
type others struct{ *boxes.Runs[geometry.Point] }

func othersOf(sides []side, of int) others {
	var middles []geometry.Point
	for _, o := range sides {
		if o.of != of {
			middles = append(middles, o.a.Lerp(o.b, 0.5))
		}
	}
	return others{boxes.NewRuns(middles, func(p geometry.Point) geometry.Rect { return geometry.Rect{Min: p, Max: p} })}
}

// disc returns the radius of the largest disc that touches a side at p and no other neighbour's, at most
// most. Its diameter reaches no further than those.
func (all others) disc(p, inwards geometry.Point, most float64) float64 {
	r := most
	for run := range all.Meeting(geometry.Rect{Min: p, Max: p}.Grow(2 * most * (1 + 1e-9))) {
		for _, mid := range run {
			d := mid.Sub(p)
			if along := d.Dot(inwards); along > 0 {
				r = math.Min(r, d.Dot(d)/(2*along))
			}
		}
	}
	return r
}

// ends reports whether a spot is an end of its piece rather than something between.
func ends(s *Spot) bool { return s.Kind == weak.Point || s.Kind == weak.Sliver && !s.Whole }

// part returns a spot with less of its outline.
func (s *Spot) part(outline geometry.Path) *Spot {
	out := *s
	out.Outline, out.Bounds = outline, outline.Bounds()
	out.end, out.hairline, out.cover = nil, nil, nil
	return &out
}

// covered returns a path that covers the spot whole. Errors as own.Lay.
func (s *Spot) covered(ctx context.Context) (_ geometry.Path, err error) {
	if s.cover == nil {
		s.cover, err = covering(ctx, s.Outline)
	}
	return s.cover, err
}

// covering returns a path that covers another one whole: its chords would leave a hair of
// it beside them. Errors as own.Lay.
func covering(ctx context.Context, p geometry.Path) (geometry.Path, error) {
	spot := planar.Enclosed(p)
	out, err := planar.Offset(ctx, spot, own.HealMM, geometry.Join{MitreLimit: 10}, planar.Options{})
	return out, own.Explain(err, nil)
}

// thinner returns the part of a spot that is thinner than a width. Errors as own.Lay.
func (s *Spot) thinner(ctx context.Context, width float64) (out geometry.Path, _ error) {
	o := weak.Options{WidthMM: math.Max(weak.MinWidthMM, width), NoGaps: true, NoSpines: true, Within: []geometry.Rect{s.Bounds}}
	near := crop(s.whole, s.Bounds.Grow(3*o.WidthMM)) // where it is cut off is no part of the spot
	spots, err := weak.Find(ctx, []geometry.Path{near}, o)
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	for i := range spots {
		if s.Bounds.Grow(own.HealMM).Encloses(spots[i].Bounds) {
			out = append(out, spots[i].Outline...)
		}
	}
	return out, nil
}

// clockwise returns a polygon that turns so on screen.
func clockwise(corners ...geometry.Point) geometry.Contour {
	c := geometry.Path{geometry.Polygon(corners...)}
	if c.SignedArea() < 0 {
		c = c.Reverse()
	}
	return c[0]
}
