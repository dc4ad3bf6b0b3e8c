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
			size = math.Max(size, b.Longer())
		}
	}
	return size
}

// away returns how a group's things have to move, all alike, when they grow by a distance all
// around, to stay a width apart from what lies nearest to each; false where they need not,
// or cannot: because others are in the way, too, as the ring is all around that a hole is the middle of.
func (m *mending) away(things []thing.Thing, group int, by, width float64) (geometry.Point, bool) {
	var move geometry.Point
	reach := by + width
	var beside []besideThing
	for i := range things {
		t := &things[i]
		if t.Group != group {
			continue
		}
		b := m.beside(t, (1+mostMoved)*reach)
		nearest, from := b.nearest(geometry.Point{})
		need := reach - nearest
		if need <= 0 {
			continue // nothing is near
		}
		beside = append(beside, b)
		way := t.Bounds.Centre().Sub(from)
		way = way.Mul((need + own.HealMM) / way.Len())
		if move != (geometry.Point{}) && way.Dot(move) < sameWay*way.Len()*move.Len() {
			return move, false
		}
		if way.Len() > move.Len() {
			if move = way; move.Len() > mostMoved*width {
				return move, false
			}
		}
	}
	for i := range beside {
		before, _ := beside[i].nearest(geometry.Point{})
		if after, _ := beside[i].nearest(move); after <= before {
			return move, false
		}
	}
	return move, move.Len() > 0
}

// besideThing is what lies near a thing.
type besideThing struct {
	*thing.Thing
	edges [][2]geometry.Point // other than its own
}

// beside returns what lies within reach of a thing.
func (m *mending) beside(t *thing.Thing, reach float64) besideThing {
	b := besideThing{Thing: t}
	for _, of := range m.Materials {
		for _, l := range m.outlinesNear(of, t.Bounds.Grow(reach)) {
			if !t.Outline.Nears(geometry.Nearest(l[0], l[1], t.Bounds.Centre()), 2*own.HealMM) {
				b.edges = append(b.edges, l)
			}
		}
	}
	return b
}

// nearest returns how near to the thing, moved by a way, what lies beside it is, and where.
func (b *besideThing) nearest(moved geometry.Point) (distance float64, at geometry.Point) {
	distance = math.Inf(1)
	for _, l := range b.edges {
		q := geometry.Nearest(l[0], l[1], b.Bounds.Centre().Add(moved))
		if p := q.Sub(moved); b.Outline.Nears(p, distance) { // most are far off, which takes less to tell
			distance, at = b.Outline.Distance(p), q
		}
	}
	return distance, at
}
