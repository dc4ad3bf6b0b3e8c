package planar

import (
	"math"

	"abut/geometry"
)

// upright are columns that a map is divided into, each with the edges that reach into it, in their order.
type upright struct {
	from  int32   // where the first begins
	steps float64 // how broad each is
	first []int32 // column k has filed[first[k]:first[k+1]]
	filed []EdgeID
}

const (
	// mostUpright bounds the columns, and uprightFiled how many times each edge is filed on average: a map
	// of long level lines would else be filed as often as it has columns.
	mostUpright  = 1 << 14
	uprightFiled = 8
)

// Locate returns the face that holds p. A point on an edge belongs to one of
// the faces there: the one below it or, on a vertical edge, to its left. The first
// time it files every edge by what of x it passes; afterwards it looks at those that pass about where p lies.
func (m *Map) Locate(p geometry.Point) FaceID {
	m.ways.Do(m.fileUpright)
	x, y := onStep(p.X*StepsPerMM), onStep(p.Y*StepsPerMM)
	var best *Edge
	level := 0.0
	for _, id := range m.upright.at(x) {
		e := &m.edges[id]
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
	if best == nil {
		return Outside
	}
	return best.Right
}

// at returns the edges that reach into the column at x.
func (u *upright) at(x float64) []EdgeID {
	k := u.column(x)
	return u.filed[u.first[k]:u.first[k+1]]
}

// column returns the one at x; the outermost ones reach on for ever.
func (u *upright) column(x float64) int {
	if v := (x - float64(u.from)) / u.steps; v > 0 { // not so where it is no number
		return int(min(v, float64(len(u.first)-2)))
	}
	return 0
}

func (m *Map) fileUpright() {
	u := &m.upright
	lo, hi, across := int32(math.MaxInt32), int32(math.MinInt32), 0.0
	for i := range m.edges {
		a, b := m.vertices[m.edges[i].From].X, m.vertices[m.edges[i].To].X
		lo, hi = min(lo, a), max(hi, b)
		across += float64(b) - float64(a)
	}
	n, wide := float64(len(m.edges)), float64(hi)-float64(lo)
	count := math.Min(n/4, mostUpright)
	if across > 0 {
		count = math.Min(count, uprightFiled*n*wide/across)
	}
	u.from, u.first = lo, make([]int32, int(max(1, count))+1)
	u.steps = max(1, wide/float64(len(u.first)-1))
	each := func(do func(id EdgeID, column int)) {
		for i := range m.edges {
			a, b := m.vertices[m.edges[i].From].X, m.vertices[m.edges[i].To].X
			if a == b {
				continue // it passes nothing
			}
			for k := u.column(float64(a)); k <= u.column(float64(b)); k++ {
				do(EdgeID(i), k)
			}
		}
	}
	each(func(_ EdgeID, k int) { u.first[k+1]++ })
	for k := range len(u.first) - 1 {
		u.first[k+1] += u.first[k]
	}
	u.filed = make([]EdgeID, u.first[len(u.first)-1])
	each(func(id EdgeID, k int) {
		u.filed[u.first[k]] = id
		u.first[k]++
	})
	copy(u.first[1:], u.first)
	u.first[0] = 0
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
