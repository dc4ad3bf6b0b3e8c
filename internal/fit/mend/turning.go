package mend

import (
	"context"
	"math"

	"abut/geometry"
)

const (
	// seenMM is how far an outline must stray for it to be seen: half of the thinnest
	// line that one reads at arm's length.
	seenMM = 0.08
	// moreTurning is how much more, in radians, the outlines of both who meet at an
	// edge may turn in all for each mend: a blunted corner at which three meet. What
	// turns more has a lump.
	moreTurning = 1.5 * math.Pi
	// drawnTurning is how much more or less where the spot was drawn so: it keeps its
	// corners, and what is a notch stays one. Nor do fillings of gaps stick out.
	drawnTurning = math.Pi / 2
)

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
			simple[s] = append(simple[s], m.Separations[s].Pieces[i].Outline.Flatten(spotSagittaMM).Simplified(seenMM)...)
		}
	}
	m.simple = simple
	return nil
}

// turningAt returns how much simplified outlines turn on and beside what mends lie
// over, in radians.
func turningAt(outlines geometry.Path, mends []layer) float64 {
	var over []geometry.Path
	var inside []*geometry.Enclosure
	for _, l := range mends {
		over = append(over, l.path)
		inside = append(inside, geometry.NewEnclosure(l.path))
	}
	return turning(outlines, func(p geometry.Point) bool {
		for i := range over {
			if over[i].Bounds().Grow(2*seenMM).Contains(p) && (inside[i].Holds(p) || over[i].Distance(p) < 2*seenMM) {
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
