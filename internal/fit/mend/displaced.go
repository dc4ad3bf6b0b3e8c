package mend

import (
	"math"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
)

const (
	// patternTimes is how many times as large as one of them a pattern of alike dots is at
	// most that grows as a whole: the holes of a button, not a string of beads.
	patternTimes = 5
	// mostTogether is how many times as large such a pattern becomes at most for the sake of
	// what lies between its dots.
	mostTogether = 1.5
	// mostMoved is how far, in narrowest widths, a dot moves at most: as far as shiftMM
	// tells edges to.
	mostMoved = 0.5
	// sameWay is how much directions may differ in which alike dots move: the cosine of 25°.
	sameWay = 0.9
)

// pattern returns how large the largest pattern of a group's things is, in mm.
func pattern(things []thing.Thing, group int) (size float64) {
	for i := range things {
		if things[i].Group == group {
			b := thing.Cluster(things, i)
			size = math.Max(size, math.Max(b.Width(), b.Height()))
		}
	}
	return size
}

// away returns how a group's things have to move, all alike, when they grow by a distance all
// around, to stay a width apart from what lies nearest to each; false where they need not,
// or cannot.
func (m *mending) away(things []thing.Thing, group int, by, width float64) (geometry.Point, bool) {
	var move geometry.Point
	for i := range things {
		t := &things[i]
		if t.Group != group {
			continue
		}
		reach := by + width
		nearest, from := math.Inf(1), geometry.Point{}
		for _, of := range m.Materials {
			for _, l := range m.outlinesNear(of, t.Bounds.Grow(reach)) {
				q := geometry.Nearest(l[0], l[1], t.Bounds.Centre())
				if d := t.Outline.Distance(q); d > 2*own.HealMM && d < nearest {
					nearest, from = d, q
				}
			}
		}
		need := reach - nearest
		if need <= 0 {
			continue // nothing is near
		}
		way := t.Bounds.Centre().Sub(from)
		way = way.Mul((need + own.HealMM) / way.Len())
		if move != (geometry.Point{}) && way.Dot(move) < sameWay*way.Len()*move.Len() {
			return move, false
		}
		if way.Len() > move.Len() {
			move = way
		}
	}
	return move, move.Len() > 0 && move.Len() <= mostMoved*width
}
