package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/job"
)

const (
	// seenMM is how far an outline must stray for it to be seen: half of the thinnest
	// line that one reads at arm's length.
	seenMM = 0.08
	// hairMM is how broad something is on average that nobody drew as a line: the finest
	// pens draw one of a tenth of a millimetre.
	hairMM = 0.1
	// moreTurning is how much more, in radians, the outlines of both who meet at an
	// edge may turn in all for each mend: a blunted corner at which three meet. What
	// turns more has a lump.
	moreTurning = 1.5 * math.Pi
	// drawnTurning is how much more or less where the spot was drawn so: it keeps its
	// corners, and what is a notch stays one. Nor do fillings of gaps stick out.
	drawnTurning = math.Pi / 2
	// followTurning is how much each mend that follows another one may add to what that
	// may turn: half a turn would be another lump.
	followTurning = math.Pi / 2
	// taperTurning is how much more outlines may turn where what tapers off over a length of
	// taperTimes narrowest widths, as a pen's stroke does, is made broad up to its tip: it ends
	// round beside others instead of between them.
	taperTurning = 0.75 * math.Pi
	taperTimes   = 8
	// wholeTurning is that of a piece that grows as a whole away from what covers it: it ends
	// upright there, where it was a wedge.
	wholeTurning = 2.25 * math.Pi
	// openedTurning is that of a gap that is opened: it ends round where it was a point.
	openedTurning = 0.75 * math.Pi
)

// lumpy reports whether a mend makes a lump where outlines turn so much more by it;
// most is what others may, and long how long that is in narrowest widths. A
// point that becomes broad turns as before but for its end, unless that is straight: else it
// is a drip.
func lumpy(m job.Mend, most float64, straight bool, long, turns float64) bool {
	if m.Spot == job.Tip && m.Do == job.Widen && !straight {
		if long > taperTimes {
			return math.Abs(turns) > taperTurning
		}
		return math.Abs(turns) > fewBends
	}
	return turns > most
}

// mostDrawnTurning is how much more or less outlines may turn by a mend of a spot that someone drew so:
// the end of a line that is made broad is round, where it was slender or tapered off; w is the narrowest width.
func mostDrawnTurning(s *Spot, m job.Mend, w float64) float64 {
	if m.Do == job.Widen && (s.Kind == weak.Sliver && !s.Whole || s.Kind == weak.Point && s.LengthMM > taperTimes*w) {
		return taperTurning
	}
	return drawnTurning
}

// outlines returns those of all that is cut, as they are seen: without bends that
// are too small for it. Its only error is the context's.
func (m *mending) outlines(ctx context.Context) (out geometry.Path, _ error) {
	err := m.simplify(ctx)
	for _, p := range m.simple {
		out = append(out, p...)
	}
	return out, err
}

// simplify finds them for each separation, once for a map.
func (m *mending) simplify(ctx context.Context) error {
	if m.simple != nil {
		return nil
	}
	simple := make([]geometry.Path, len(m.Separations))
	for s := range m.Separations {
		for i := range m.Separations[s].Pieces {
			if err := ctx.Err(); err != nil {
				return err
			}
			simple[s] = append(simple[s], withoutThorns(m.Separations[s].Pieces[i].Outline.Flatten(spotSagittaMM).Simplified(seenMM))...)
		}
	}
	m.simple = simple
	return nil
}

// withoutThorns returns polygons without the corners at which they turn back along
// themselves, so near that one does not see it.
func withoutThorns(p geometry.Path) geometry.Path {
	var out geometry.Path
	for _, c := range p {
		pts := make([]geometry.Point, 0, len(c.Segments))
		for a := range c.Sides() {
			pts = append(pts, a)
		}
		thorn := func(i int) bool {
			a, b, c := pts[(i+len(pts)-1)%len(pts)], pts[i], pts[(i+1)%len(pts)]
			if a.Sub(b).Dot(c.Sub(b)) <= 0 {
				return false
			}
			return geometry.Nearest(a, b, c).Sub(c).Len() < seenMM || geometry.Nearest(b, c, a).Sub(a).Len() < seenMM
		}
		for kept := 0; kept < len(pts) && len(pts) > 2; {
			if i := kept; thorn(i) {
				pts = slices.Delete(pts, i, i+1)
				kept = max(0, i-2)
			} else {
				kept++
			}
		}
		if len(pts) > 2 {
			out = append(out, geometry.Polygon(pts...))
		}
	}
	return out
}

// turningAt returns how much simplified outlines turn on and beside what mends lie
// over, in radians.
func turningAt(outlines geometry.Path, mends []layer) float64 {
	var inside []*geometry.Enclosure
	var around []geometry.Rect
	for _, l := range mends {
		inside = append(inside, geometry.NewEnclosure(l.path))
		around = append(around, l.path.Bounds().Grow(2*seenMM))
	}
	return turning(outlines, func(p geometry.Point) bool {
		for i := range mends {
			if around[i].Contains(p) && (inside[i].Holds(p) || inside[i].Nears(p, 2*seenMM)) {
				return true
			}
		}
		return false
	})
}

// turning returns how much simplified outlines turn at some of their corners, in
// radians.
func turning(outlines geometry.Path, at func(geometry.Point) bool) float64 {
	sum := 0.0
	for _, c := range outlines {
		before := c.Segments[len(c.Segments)-1].End
		for a, b := range c.Sides() {
			if at(a) {
				u, v := a.Sub(before), b.Sub(a)
				sum += math.Abs(math.Atan2(u.Cross(v), u.Dot(v)))
			}
			before = a
		}
	}
	return sum
}
