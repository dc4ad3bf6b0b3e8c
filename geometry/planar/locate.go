package planar

import (
	"math"

	"abut/geometry"
)

// perReach is how many edges, which follow each other from left to right, are passed over together
// where none of them can lie above a place.
const perReach = 64

// reach is a range of x.
type reach struct{ lo, hi int32 }

// Locate returns the face that holds p. A point on an edge belongs to one of
// the faces there: the one below it or, on a vertical edge, to its left. The first
// time it looks at every edge, afterwards at those that begin about where p lies, and
// at a sixtieth of all.
func (m *Map) Locate(p geometry.Point) FaceID {
	m.ways.Do(m.listPasses)
	x, y := onStep(p.X*StepsPerMM), onStep(p.Y*StepsPerMM)
	var best *Edge
	level := 0.0
	for k, w := range m.passes {
		if !(float64(w.lo) < x && x <= float64(w.hi)) {
			continue
		}
		for i := k * perReach; i < min(len(m.edges), (k+1)*perReach); i++ {
			e := &m.edges[i]
			a, b := m.vertices[e.From], m.vertices[e.To]
			if !(float64(a.X) < x && x <= float64(b.X)) {
				continue
			}
			at := float64(b.Y) // exact at the end, where edges meet
			if x < float64(b.X) {
				at = float64(a.Y) + (x-float64(a.X))*float64(int64(b.Y)-int64(a.Y))/float64(int64(b.X)-int64(a.X))
			}
			if at <= y && (best == nil || at > level || at == level && m.endsBelow(e, best)) {
				best, level = e, at
			}
		}
	}
	if best == nil {
		return Outside
	}
	return best.Right
}

func (m *Map) listPasses() {
	m.passes = make([]reach, (len(m.edges)+perReach-1)/perReach)
	for i := range m.edges {
		a, b := m.vertices[m.edges[i].From].X, m.vertices[m.edges[i].To].X
		if w := &m.passes[i/perReach]; i%perReach == 0 {
			*w = reach{a, b}
		} else {
			w.lo, w.hi = min(w.lo, a), max(w.hi, b)
		}
	}
}

// onStep takes the float rounding of a conversion from millimetres out of a
// coordinate that was meant to be a whole step.
func onStep(v float64) float64 {
	if r := math.Floor(v + 0.5); math.Abs(v-r) < 1e-6 {
		return r
	}
	return v
}

// endsBelow reports whether e ends in the vertex that f ends in, and comes in
// below it.
func (m *Map) endsBelow(e, f *Edge) bool {
	return e.To == f.To && cross(m.vertices[e.From], m.vertices[e.To], m.vertices[f.From]) < 0
}
