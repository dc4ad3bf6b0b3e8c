package planar

import (
	"context"
	"math"
	"sync"

	"abut/geometry"
	"abut/geometry/parallel"
)

// defaultSagittaMM is how far chords stray from curves unless asked otherwise:
// 0.01 mm, a fifth of what a desktop cutter's steps resolve (common practice).
const defaultSagittaMM = 0.01

// defaultMaxCrossings keeps a pass within some ten seconds and two gigabytes: a
// star of 2,801 spikes, 3.9 million crossings, took 3 s and 0.9 GiB.
const defaultMaxCrossings = 4_000_000

// Map is the overlay of all layers: every face knows the layers that cover it,
// every edge its two faces and the curve it came from. A Map does not change
// and may be read from several goroutines.
type Map struct {
	in       *input
	vertices []Point
	edges    []Edge
	outStart []EdgeID // edges outStart[v] … outStart[v+1]−1 start at v, ordered from up to down
	inStart  []EdgeID
	inEdges  []EdgeID // inEdges[inStart[v]:inStart[v+1]] end at v, from up to down
	cover    []int32  // per face: id into covers
	covers   [][]int32
	area2    []int64

	ways    sync.Once
	upright upright // made once, see Locate
}

// Build overlays the layers, bottom first. It costs O(n log n) for n chords
// plus the crossings between them; segments that nearly coincide cost up to the
// square of their number.
//
// Errors: *RangeError for coordinates that the grid cannot hold,
// *ComplexityError past the budgets of crossings and of windings, and the
// context's own.
func Build(ctx context.Context, layers []Layer, opt Options) (*Map, error) {
	if !(opt.SagittaMM > 0) { // NaN, too
		opt.SagittaMM = defaultSagittaMM
	}
	if opt.MaxCrossings <= 0 {
		opt.MaxCrossings = defaultMaxCrossings
	}
	sc := scratches.Get().(*scratch)
	defer scratches.Put(sc)
	in, err := quantise(ctx, layers, opt.SagittaMM, sc)
	if err != nil {
		return nil, err
	}
	defer func() { in.rings = nil }() // they lie in the scratch
	sc.deltas.reset(len(in.terms))
	arr, err := snap(ctx, in, &sc.deltas, opt.MaxCrossings, sc)
	if err != nil {
		return nil, err
	}
	pl := &plane{limit: maxWindings}
	if err := pl.take(ctx, arr, sc); err != nil {
		return nil, err
	}
	sw, err := pl.sweep(ctx, &sc.deltas, sc)
	if err != nil {
		return nil, err
	}
	m := &Map{in: in, vertices: pl.vertices, edges: pl.edges, outStart: pl.outStart, inStart: pl.inStart, inEdges: pl.in}
	return m, m.nameFaces(ctx, sw, sc)
}

// nameFaces turns the sweep's gaps into faces: connected, and maximal among
// places of one cover (an edge that changes a winding but no cover, like an
// overlap within a layer, does not divide a face).
func (m *Map) nameFaces(ctx context.Context, sw *sweeper, sc *scratch) error {
	pace := unhurried(ctx)
	cov := newCovers(m.in, sc)
	defer func() { cov.in, cov.lists, cov.page = nil, nil, nil }() // they stay with the map
	states := sw.windings.lists.count()
	coverOf := room(sc.coverOf, states)[:states]
	sc.coverOf = coverOf
	for s := range coverOf {
		state := sw.windings.lists.get(int32(s))
		coverOf[s] = cov.of(state)
		if err := pace.spend(1 + len(state)); err != nil {
			return err
		}
	}
	parent, cover := sw.gaps.parent, sw.gaps.state
	for g, state := range cover {
		cover[g] = coverOf[state]
	}
	if err := joinAlike(ctx, m.edges, cover, parent, nil); err != nil {
		return err
	}
	faceOf := room(sc.faceOf, len(parent))[:len(parent)]
	sc.faceOf = faceOf
	faces := 0
	for g := range parent {
		if parent[g] == int32(g) {
			faces++
		}
	}
	m.cover = make([]int32, 0, faces)
	for g := range parent {
		if root := find(parent, int32(g)); root == int32(g) {
			faceOf[g] = FaceID(len(m.cover))
			m.cover = append(m.cover, cover[g])
		} else {
			faceOf[g] = faceOf[root] // roots are the smallest of their sets
		}
	}
	m.covers = cov.lists
	return m.nameSides(ctx, faceOf, sc)
}

// nameSides tells edges the faces on their sides, by gap until then, and measures these.
func (m *Map) nameSides(ctx context.Context, faceOf []FaceID, sc *scratch) error {
	m.area2 = make([]int64, len(m.cover))
	areas, err := parallel.Collect(ctx, len(m.edges), worthSplitting, func(part, lo, hi int) ([]int64, error) {
		area2 := m.area2
		if part > 0 {
			area2 = room(sc.areas[part], len(m.cover))[:len(m.cover)]
			clear(area2)
			sc.areas[part] = area2
		}
		for i := lo; i < hi; i++ {
			e := &m.edges[i]
			e.Left, e.Right = faceOf[e.Left], faceOf[e.Right]
			// Twice the area under the edge down to y = 0 belongs to what lies
			// left of (above) it. Sums may wrap around on the way; the result fits.
			t := m.trapezoid2(e)
			area2[e.Left] += t
			area2[e.Right] -= t
		}
		return area2, nil
	})
	for _, more := range areas[1:] {
		for f, a := range more {
			m.area2[f] += a
		}
	}
	m.area2[Outside] = 0
	return err
}

// trapezoid2 returns twice the signed area between an edge and the x axis.
func (m *Map) trapezoid2(e *Edge) int64 {
	a, b := m.vertices[e.From], m.vertices[e.To]
	return (int64(b.X) - int64(a.X)) * (int64(a.Y) + int64(b.Y))
}

// NumFaces returns the number of faces; face 0 is Outside.
func (m *Map) NumFaces() int { return len(m.cover) }

// NumVertices returns how many vertices there are.
func (m *Map) NumVertices() int { return len(m.vertices) }

// NumEdges returns the number of edges.
func (m *Map) NumEdges() int { return len(m.edges) }

// Edge returns edge e.
func (m *Map) Edge(e EdgeID) Edge { return m.edges[e] }

// Vertex returns vertex v.
func (m *Map) Vertex(v VertexID) Point { return m.vertices[v] }

// Cover returns the layers that cover face f, bottom first. The slice is
// shared: do not change it.
func (m *Map) Cover(f FaceID) []int32 { return m.covers[m.cover[f]] }

// CoverID returns the name of face f's cover: equal ids mean equal lists.
func (m *Map) CoverID(f FaceID) int32 { return m.cover[f] }

// NumCovers returns the number of distinct covers; id 0 is the empty one.
func (m *Map) NumCovers() int { return len(m.covers) }

// CoverByID returns the layers of a cover, bottom first; shared, read-only.
func (m *Map) CoverByID(id int32) []int32 { return m.covers[id] }

// Area2 returns twice the area of face f in square steps, exact; 0 for Outside.
func (m *Map) Area2(f FaceID) int64 { return m.area2[f] }

// AreaMM2 returns the area of face f in mm²; 0 for Outside.
func (m *Map) AreaMM2(f FaceID) float64 { return mm2(m.area2[f]) }

// mm2 converts twice an area in square steps to mm².
func mm2(area2 int64) float64 { return float64(area2) / 2 / (StepsPerMM * StepsPerMM) }

// Bounds returns the bounds of all covered places in millimetres, empty when
// nothing is covered.
func (m *Map) Bounds() geometry.Rect {
	r := geometry.EmptyRect()
	for i := range m.edges {
		e := &m.edges[i]
		if m.cover[e.Left] != m.cover[e.Right] {
			r = r.Include(m.vertices[e.From].MM()).Include(m.vertices[e.To].MM())
		}
	}
	return r
}

// ShiftMM returns how far, at most, rounding moved an edge from the chord that it
// lies on: a few steps of the grid where edges nearly coincide, less elsewhere
// (see toGrid). O(n).
func (m *Map) ShiftMM() float64 {
	worst := 0.0
	for i := range m.edges {
		e := &m.edges[i]
		s := &m.in.segments[e.segment]
		a, b := steps(s.a), steps(s.b)
		worst = math.Max(worst, math.Max(offLine(a, b, steps(m.vertices[e.From])), offLine(a, b, steps(m.vertices[e.To]))))
	}
	return worst / StepsPerMM
}

// Tag returns the source segment that edge e lies on, and where on it the edge
// starts and ends.
func (m *Map) Tag(e EdgeID) Tag {
	id, t0, t1 := m.parameters(e)
	o := &m.in.origins[id]
	return Tag{Layer: o.layer, Figure: o.figure, Contour: o.contour, Segment: o.segment, T0: t0, T1: t1}
}

// parameter returns the source parameter of a point of the chord: exact at the
// chord's ends, in proportion between them (along its longer coordinate).
func (s *segment) parameter(p Point, chords int32) float64 {
	num, den := int64(p.X)-int64(s.a.X), int64(s.b.X)-int64(s.a.X)
	if dy := int64(s.b.Y) - int64(s.a.Y); abs64(dy) > abs64(den) {
		num, den = int64(p.Y)-int64(s.a.Y), dy
	}
	return (float64(s.chord) + float64(num)/float64(den)) / float64(chords)
}

// parameters returns the source segment of a half-edge (e for edge e, ^e for
// edge e run backwards) and its parameters there.
func (m *Map) parameters(h EdgeID) (origin int32, t0, t1 float64) {
	e := &m.edges[max(h, ^h)]
	seg := &m.in.segments[e.segment]
	chords := m.in.origins[seg.origin].chords
	t0 = seg.parameter(m.vertices[e.From], chords)
	t1 = seg.parameter(m.vertices[e.To], chords)
	if h < 0 {
		t0, t1 = t1, t0
	}
	return seg.origin, t0, t1
}
