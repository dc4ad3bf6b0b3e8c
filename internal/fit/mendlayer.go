package fit

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/job"
)

// target returns to whom the mend gives a spot; false when there is nobody.
func (m *mending) target(s *rawSpot, mend job.Mend) (int32, bool) {
	if mend.Do == job.Recolour {
		sep := m.rules.named(mend.To)
		return sep, mend.Chosen && sep != s.sep
	}
	for _, n := range s.neighbours {
		if n.sep == bare || n.sep == s.sep {
			continue
		}
		if !mend.Chosen || m.rules.separations[n.sep].colour == mend.To {
			return n.sep, true
		}
		// A colour of the art that has been sent to a sheet since.
		if s, ok := m.rules.byColour[mend.To]; ok && s == n.sep {
			return n.sep, true
		}
	}
	return bare, false
}

// widenMM is how much broader than the narrowest width a mended place becomes,
// so that it is no spot again by rounding and chords.
const widenMM = 0.02

// wholeMost is how large, in squares of the narrowest width, a piece may be that
// a mend takes all of. MendAll does so up to 12; a half more each way is room for
// resizing.
const wholeMost = smallSquares * 1.5 * 1.5

// layer returns what a mend lays over a spot; false when it cannot be made.
// Keeping lays nothing.
func (m *mending) layer(ctx context.Context, s *rawSpot, mend job.Mend, settings job.Settings) (mendLayer, bool, error) {
	l := mendLayer{path: s.Outline, from: s.sep, to: bare}
	if mend.Whole && s.whole != nil {
		// A spot of that kind at that place, but of another piece: nobody ever
		// meant to give that away.
		if w := settings.Narrowest(); math.Abs(s.whole.SignedArea()) > wholeMost*w*w {
			return l, false, nil
		}
		l.path = s.whole
	}
	broaden := func(spine *weak.Spot, width float64) error {
		path, err := spine.Widened(ctx, width)
		l.path, l.from = path, anyone
		return explain(err, nil)
	}
	switch mend.Do {
	case job.Give, job.Recolour:
		to, ok := m.target(s, mend)
		l.to = to
		if mend.Do == job.Recolour && mend.WidthMM > 0 {
			return l, ok, broaden(m.inwards(s, mend.WidthMM), mend.WidthMM)
		}
		if mend.Do == job.Give && !mend.Chosen && s.sep != bare {
			for _, n := range s.neighbours {
				if n.sep != bare && n.sep != s.sep {
					l.beside = append(l.beside, n.sep)
				}
			}
		}
		return l, ok, nil
	case job.Drop:
		return l, s.sep != bare, nil
	case job.Widen:
		width := math.Max(settings.Narrowest(), mend.WidthMM)
		if s.Kind == weak.Speck {
			width = math.Max(settings.Speck(), width)
		}
		width += widenMM
		l.to = s.sep
		err := broaden(m.inwards(s, width), width)
		if mend.Chosen {
			l.from = m.rules.named(mend.To)
		}
		return l, true, err
	case job.Join:
		spot, ok := m.bridge(s, settings.Narrowest()+widenMM)
		if !ok {
			return l, false, nil
		}
		l.to = s.sep
		return l, true, broaden(spot, settings.Narrowest()+widenMM)
	}
	return l, true, nil
}

// inwards returns the spot with its middle as far within the art's extent as
// half the width: what lies at the picture's edge grows inwards.
func (m *mending) inwards(s *rawSpot, width float64) *weak.Spot {
	spot := s.Spot
	room := m.extent.Grow(-width / 2)
	if room.Empty() || room.Encloses(s.Bounds) {
		return &spot
	}
	spot.Spine = make([][2]geometry.Point, len(s.Spine))
	for i, l := range s.Spine {
		for k, p := range l {
			spot.Spine[i][k] = geometry.Pt(
				math.Max(room.Min.X, math.Min(room.Max.X, p.X)),
				math.Max(room.Min.Y, math.Min(room.Max.Y, p.Y)))
		}
	}
	return &spot
}

// joinMM is how far a speck may lie from the piece that it is joined to: three
// times what a speck is, beyond which a bridge is a new shape.
const joinMM = 6

// bridge returns a spot whose middle leads from a speck to the nearest other
// piece of its separation; false when none is near.
func (m *mending) bridge(s *rawSpot, width float64) (*weak.Spot, bool) {
	if s.sep == bare {
		return nil, false
	}
	best, from, to := joinMM+0.0, geometry.Point{}, geometry.Point{}
	own := geometry.NewEnclosure(s.Outline)
	for i := range m.divided.cut[s.sep].pieces {
		p := &m.divided.cut[s.sep].pieces[i]
		if p.Bounds.Intersect(s.Bounds.Grow(best)).Empty() || own.Holds(p.Inside) {
			continue
		}
		for _, other := range p.Outline {
			for a, b := range other.Sides() {
				for _, c := range s.Outline {
					for at := range c.Sides() {
						if q := geometry.Nearest(a, b, at); q.Sub(at).Len() < best {
							best, from, to = q.Sub(at).Len(), at, q
						}
					}
				}
			}
		}
	}
	if from == to {
		return nil, false
	}
	// From the speck's middle to as deep in the other piece as the bar is broad.
	way := to.Sub(from)
	spot := s.Spot
	spot.Spine = [][2]geometry.Point{{s.At, to.Add(way.Mul(width / way.Len() / 2))}}
	return &spot, true
}
