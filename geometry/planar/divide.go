package planar

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"abut/geometry"
	"abut/geometry/parallel"
)

// Division is a map cut into pieces by a labelling of its faces. Neighbours
// share seams: each seam's points are stored once and read by both, so that
// whatever is written of them is identical by construction.
type Division struct {
	// Pieces are the connected parts of each label, ordered by label and then
	// by their lowest face.
	Pieces []Piece
	Seams  []Seam
	m      *Map
	rotation
}

// Piece is a connected part of one label. Parts that touch at a point only are
// pieces of their own.
type Piece struct {
	Label int32
	Faces []FaceID // ascending
	// Rings bound the piece: the outer one first, clockwise on screen, then its
	// holes, anticlockwise. Rings are closed and simple; two may touch at a
	// vertex.
	Rings []Ring
	// Area2 is twice the area in square steps, exact.
	Area2  int64
	Bounds geometry.Rect
}

// AreaMM2 returns the piece's area in mm².
func (p Piece) AreaMM2() float64 { return mm2(p.Area2) }

// Ring is a closed run of seams with the piece on its right hand.
type Ring struct {
	Seams []SeamRef
	// Area2 is twice the enclosed area in square steps: positive for an outer
	// ring, negative for a hole.
	Area2 int64
}

// SeamRef names a seam and the direction to follow it: 2·index forwards,
// 2·index + 1 backwards.
type SeamRef int32

// Index returns the seam's index, Backwards whether it is followed from its
// end.
func (r SeamRef) Index() int { return int(r >> 1) }

// Backwards reports whether the seam is followed from its end.
func (r SeamRef) Backwards() bool { return r&1 != 0 }

// Seam is a maximal stretch of border between the same two neighbours.
type Seam struct {
	// Left and Right are the pieces on either hand, or None: who touches whom.
	Left, Right int32
	// Points run from one node (a vertex where other than two borders meet) to
	// the next; first equals last for a seam that is a ring by itself. Points
	// in line with their neighbours are left out.
	Points   []Point
	LengthMM float64
	// Curve is the same way as Béziers and lines in millimetres, from Points[0];
	// nil before Smooth.
	Curve []geometry.Segment
	// Edges are the map's edges along the seam, in its direction; an entry e
	// stands for edge e when e ≥ 0 and for edge ^e run backwards otherwise.
	Edges []EdgeID
	// The nodes that it leaves and comes to, and its spokes there.
	from, to           int32
	fromSpoke, toSpoke int32
	area2              int64 // twice the area between it and the y axis, which may wrap around
}

// Divide cuts the map into pieces: labels names each face's owner, None for
// nobody. It costs O(n log n) for n edges. Its only error is the context's.
func (m *Map) Divide(ctx context.Context, labels []int32) (*Division, error) {
	d := &divider{labels: labels, Division: &Division{m: m}, divideRoom: divideRooms.Get().(*divideRoom)}
	if len(m.edges) <= mostKept {
		defer divideRooms.Put(d.divideRoom)
	}
	if err := d.pieces(ctx); err != nil {
		return nil, err
	}
	if err := d.borders(ctx); err != nil {
		return nil, err
	}
	d.spokes()
	d.seams()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	d.rings()
	return d.Division, nil
}

type divider struct {
	*Division
	labels  []int32
	pieceOf []int32 // per face, None for unowned ones
	// The edges of seams and their points lie one seam's after another's.
	along  []EdgeID
	points []Point
	*divideRoom
}

// divideRoom is what dividing needs while it goes on, left to the next.
type divideRoom struct {
	border []bool     // per edge: it parts two owners, and no seam runs along it yet
	node   []int32    // per vertex: its node, or plain; where no border is, 0
	on     []goingOn  // per vertex, if plain
	leave  []EdgeID   // per spoke, its half-edge
	place  [][2]int32 // per border edge, its own spoke and that of ^e; of use at nodes alone
	way    []VertexID // along the seam that is walked
}

var divideRooms = sync.Pool{New: func() any { return new(divideRoom) }}

// goingOn is where a seam leads from a vertex that is plain: its two half-edges from there, and where
// they end. It is told while vertices are gone through in order; seams lie anyhow among them, and whoever
// walks along one looks at this alone.
type goingOn struct {
	out [2]EdgeID
	to  [2]VertexID
}

// plain is the node of a vertex where two borders meet: a seam goes on there.
const plain = -1

// rotation is the order of seams around nodes: the vertices where other than two
// borders meet, and one on each seam that is a ring by itself.
type rotation struct {
	// Per node, its first spoke. Spokes are clockwise on screen, from straight up.
	start []int32
	seam  []SeamRef // per spoke, the seam that leaves there
}

func (d *divider) pieces(ctx context.Context) error {
	region, err := d.m.regions(ctx, d.labels)
	if err != nil {
		return err
	}
	d.pieceOf = make([]int32, len(region))
	var heads []int32
	for f, r := range region {
		d.pieceOf[f] = None
		if r == int32(f) && d.labels[f] != None {
			heads = append(heads, r)
		}
	}
	slices.SortStableFunc(heads, func(a, b int32) int { return cmp.Compare(d.labels[a], d.labels[b]) })
	d.Pieces = make([]Piece, len(heads))
	for i, h := range heads {
		d.pieceOf[h] = int32(i)
		d.Pieces[i] = Piece{Label: d.labels[h], Bounds: geometry.EmptyRect()}
	}
	count := make([]int32, len(heads))
	owned := 0
	for f, r := range region {
		if d.labels[f] != None {
			i := d.pieceOf[r]
			d.pieceOf[f] = i
			count[i]++
			owned++
		}
	}
	faces := make([]FaceID, owned)
	for i, n := range count {
		d.Pieces[i].Faces, faces = faces[:0:n], faces[n:]
	}
	for f, i := range d.pieceOf {
		if i != None {
			p := &d.Pieces[i]
			p.Faces = append(p.Faces, FaceID(f))
			p.Area2 += d.m.area2[f]
		}
	}
	return nil
}

// borders tells which edges part two owners, and at which vertices how many meet: where two
// do, it is plain.
func (d *divider) borders(ctx context.Context) error {
	m := d.m
	d.border = room(d.border, len(m.edges))[:len(m.edges)]
	d.node = room(d.node, len(m.vertices))[:len(m.vertices)]
	d.on = room(d.on, len(m.vertices))[:len(m.vertices)]
	err := parallel.Ranges(ctx, len(m.edges), worthSplitting, func(_, lo, hi int) error {
		for e := lo; e < hi; e++ {
			// Two pieces of one label never share an edge: they would be connected.
			edge := &m.edges[e]
			d.border[e] = d.labels[edge.Left] != d.labels[edge.Right]
		}
		return nil
	})
	if err != nil {
		return err
	}
	return parallel.Ranges(ctx, len(m.vertices), worthSplitting, func(_, lo, hi int) error {
		for v := lo; v < hi; v++ {
			out, in := d.border[m.outStart[v]:m.outStart[v+1]], m.inEdges[m.inStart[v]:m.inStart[v+1]]
			meet, on := int32(0), &d.on[v]
			for i, parts := range out {
				if parts {
					e := m.outStart[v] + EdgeID(i)
					on.out[meet&1], on.to[meet&1] = e, m.edges[e].To
					meet++
				}
			}
			for _, e := range in {
				if d.border[e] {
					on.out[meet&1], on.to[meet&1] = ^e, m.edges[e].From
					meet++
				}
			}
			if meet == 2 {
				meet = plain
			}
			d.node[v] = meet
		}
		return nil
	})
}

// spokes numbers nodes and the borders around them.
func (d *divider) spokes() {
	ends, nodes, spokes := 0, 0, 0
	for _, n := range d.node {
		if n == plain {
			ends += 2
		} else if n > 0 {
			nodes++
			spokes += int(n)
		}
	}
	d.along = make([]EdgeID, 0, (ends+spokes)/2)
	d.place = room(d.place, len(d.m.edges))[:len(d.m.edges)]
	d.start, d.leave = make([]int32, 0, nodes+1+nodes/16+4), room(d.leave, spokes)
	for v, n := range d.node {
		if n > 0 {
			d.node[v] = int32(len(d.start))
			d.start = append(d.start, int32(len(d.leave)))
			d.around(VertexID(v))
		}
	}
	d.start = append(d.start, int32(len(d.leave)))
	d.Seams = make([]Seam, 0, spokes/2+spokes/16+4) // and rings by themselves
	d.seam = make([]SeamRef, spokes, spokes+spokes/16+4)
	for i := range d.seam {
		d.seam[i] = -1
	}
}

// around lists the borders around a vertex, clockwise on screen from straight up.
func (d *divider) around(v VertexID) {
	m := d.m
	for e := m.outStart[v]; e < m.outStart[v+1]; e++ {
		if d.border[e] {
			d.place[e][0] = int32(len(d.leave))
			d.leave = append(d.leave, e)
		}
	}
	for i := m.inStart[v+1] - 1; i >= m.inStart[v]; i-- {
		if e := m.inEdges[i]; d.border[e] {
			d.place[e][1] = int32(len(d.leave))
			d.leave = append(d.leave, ^e)
		}
	}
}

// ends returns where a half-edge starts and ends.
func (d *Division) ends(h EdgeID) (from, to VertexID) {
	if h >= 0 {
		return d.m.edges[h].From, d.m.edges[h].To
	}
	return d.m.edges[^h].To, d.m.edges[^h].From
}

// sides returns the pieces on the left and right hand of a half-edge.
func (d *divider) sides(h EdgeID) (left, right int32) {
	if h >= 0 {
		return d.pieceOf[d.m.edges[h].Left], d.pieceOf[d.m.edges[h].Right]
	}
	return d.pieceOf[d.m.edges[^h].Right], d.pieceOf[d.m.edges[^h].Left]
}

// seams walks every border from node to node, then the rings that have none.
func (d *divider) seams() {
	node := int32(0)
	for i, h := range d.leave {
		for int32(i) == d.start[node+1] {
			node++
		}
		if d.seam[i] < 0 {
			d.between(node, int32(i), h)
		}
	}
	for e := range d.border {
		if d.border[e] { // the first of its ring that starts at the leftmost vertex
			d.ring(EdgeID(e))
		}
	}
}

// between records the seam that leaves a node along a spoke, by its half-edge.
func (d *divider) between(node, spoke int32, h EdgeID) {
	ref := SeamRef(2 * len(d.Seams))
	s := Seam{from: node, fromSpoke: spoke}
	s.Left, s.Right = d.sides(h)
	last, v := d.walk(h, -1)
	s.to, s.toSpoke = d.node[v], d.spokeOf(^last)
	s.Edges = slices.Clip(d.along[len(d.along)-len(d.way)+1:])
	d.seam[spoke], d.seam[s.toSpoke] = ref, ref|1
	d.trace(&s)
	d.Seams = append(d.Seams, s)
}

// ring records the seam along an edge that comes back to where that starts and meets
// no node: it makes one of its own there.
func (d *divider) ring(e EdgeID) {
	ref := SeamRef(2 * len(d.Seams))
	node, spoke := int32(len(d.start)-1), int32(len(d.seam))
	s := Seam{from: node, to: node, fromSpoke: spoke, toSpoke: spoke + 1}
	s.Left, s.Right = d.sides(e)
	d.seam = append(d.seam, ref, ref|1)
	d.start = append(d.start, spoke+2)
	d.walk(e, d.m.edges[e].From)
	s.Edges = slices.Clip(d.along[len(d.along)-len(d.way)+1:])
	d.startAtCorner(&s)
	d.trace(&s)
	d.Seams = append(d.Seams, s)
}

// walk follows borders from a half-edge to the next node or to a vertex, noting edges
// and vertices on the way, and returns the last half-edge and where it ends.
func (d *divider) walk(h EdgeID, until VertexID) (last EdgeID, v VertexID) {
	v, to := d.ends(h)
	way := append(d.way[:0], v)
	for {
		v = to
		d.along, way = append(d.along, h), append(way, v)
		d.border[max(h, ^h)] = false
		on := &d.on[v]
		if v == until || d.node[v] != plain {
			d.way = way
			return h, v
		}
		if on.out[0] != ^h {
			h, to = on.out[0], on.to[0]
		} else {
			h, to = on.out[1], on.to[1]
		}
	}
}

// startAtCorner turns a seam that is a ring by itself so that it starts where
// one source segment ends and the next begins, if anywhere: a curve that is
// whole in the art stays whole.
func (d *divider) startAtCorner(s *Seam) {
	before, _, t := d.m.parameters(s.Edges[len(s.Edges)-1])
	for i, h := range s.Edges {
		o, u, next := d.m.parameters(h)
		if o != before || u != t {
			turn(s.Edges, i)
			turn(d.way[1:], i)
			d.way[0] = d.way[len(d.way)-1]
			return
		}
		before, t = o, next
	}
}

// turn makes the item at i the first, and those before it the last.
func turn[T any](list []T, i int) {
	slices.Reverse(list[:i])
	slices.Reverse(list[i:])
	slices.Reverse(list)
}

// spokeOf returns the spoke of a border half-edge that leaves a node.
func (d *divider) spokeOf(h EdgeID) int32 {
	if h >= 0 {
		return d.place[h][0]
	}
	return d.place[^h][1]
}

// trace fills in what follows from the way of the seam: its points, its length, its
// area and its pieces' bounds.
func (d *divider) trace(s *Seam) {
	m := d.m
	if need := len(d.way); cap(d.points)-len(d.points) < need {
		// Room for this seam and the rest, most of which are of many edges: one point
		// more for each is little.
		rest := need + cap(d.along) - len(d.along)
		d.points = make([]Point, 0, rest+rest/16)
	}
	first := len(d.points)
	p := m.vertices[d.way[0]]
	points := append(d.points[first:], p)
	lo, hi, length := p, p, 0.0
	for _, v := range d.way[1:] {
		before := p
		p = m.vertices[v]
		if n := len(points); n > 1 && straight(points[n-2], points[n-1], p) {
			points[n-1] = p
		} else {
			points = append(points, p)
		}
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
		length += distance(before, p)
		s.area2 += (int64(p.Y) - int64(before.Y)) * (int64(before.X) + int64(p.X))
	}
	s.Points = slices.Clip(points)
	d.points = d.points[:first+len(points)]
	s.LengthMM = length / StepsPerMM
	bounds := geometry.Rect{Min: lo.MM(), Max: hi.MM()}
	for _, i := range [2]int32{s.Left, s.Right} {
		if i != None {
			d.Pieces[i].Bounds = d.Pieces[i].Bounds.Union(bounds)
		}
	}
}

// straight reports whether the way from a over b to c goes straight on.
func straight(a, b, c Point) bool {
	return cross(a, b, c) == 0 &&
		(int64(b.X)-int64(a.X))*(int64(c.X)-int64(b.X))+(int64(b.Y)-int64(a.Y))*(int64(c.Y)-int64(b.Y)) > 0
}

// rings chains seams around each piece.
func (d *divider) rings() {
	c := d.chain()
	defer c.done()
	c.list = make([]SeamRef, 0, 2*len(d.Seams))
	for i := range 2 * len(d.Seams) {
		ref := SeamRef(i)
		if right := d.rightOf(ref); right != None && !c.used[ref] {
			p := &d.Pieces[right]
			// Every seam that leaves a node there is a border of somebody's.
			p.Rings = c.from(p.Rings, ref, func(SeamRef) bool { return true })
		}
	}
	for i := range d.Pieces {
		outerFirst(d.Pieces[i].Rings)
	}
}

// outerFirst puts outer rings before holes, which stay in their order.
func outerFirst(rings []Ring) {
	if len(rings) > 1 {
		slices.SortStableFunc(rings, func(a, b Ring) int { return cmp.Compare(sign(b.Area2), sign(a.Area2)) })
	}
}

// leftOf and rightOf return the pieces on either hand on the way along a seam.
func (d *Division) leftOf(r SeamRef) int32 { return d.rightOf(r ^ 1) }
func (d *Division) rightOf(r SeamRef) int32 {
	if r.Backwards() {
		return d.Seams[r.Index()].Left
	}
	return d.Seams[r.Index()].Right
}

func (d *Division) nodes(r SeamRef) (from, to int32) {
	s := &d.Seams[r.Index()]
	if r.Backwards() {
		return s.to, s.from
	}
	return s.from, s.to
}

// chain makes rings of seams. A seam is used once in each direction.
type chain struct {
	*Division
	used  []bool    // by SeamRef
	at    []int32   // per node: its place on the stack, from 1
	stack []SeamRef // those that are not yet in a ring
	list  []SeamRef // room for the rings'
}

// ats is room for chain.at, which is all 0 when a chain is done.
var ats = sync.Pool{New: func() any { return new([]int32) }}

// chain returns one that makes no rings yet; done gives its room back.
func (d *Division) chain() *chain {
	at := *ats.Get().(*[]int32)
	nodes := len(d.start) - 1
	if cap(at) < nodes {
		at = make([]int32, nodes)
	}
	return &chain{Division: d, used: make([]bool, 2*len(d.Seams)), at: at[:nodes]}
}

func (c *chain) done() {
	if cap(c.at) <= mostKept {
		ats.Put(&c.at)
	}
}

// from appends the simple rings that the way along a seam, and on along those
// that bound the same region on the right hand, is made of; none when the seam was
// used before.
func (c *chain) from(rings []Ring, r SeamRef, bounds func(SeamRef) bool) []Ring {
	for ; !c.used[r]; r = c.next(r, bounds) {
		c.used[r] = true
		from, to := c.nodes(r)
		c.stack = append(c.stack, r)
		c.at[from] = int32(len(c.stack))
		// Whatever comes back to a node is a ring; what is left goes on.
		if k := c.at[to]; k != 0 {
			first := len(c.list)
			c.list = append(c.list, c.stack[k-1:]...)
			for _, inner := range c.stack[k-1:] {
				f, _ := c.nodes(inner)
				c.at[f] = 0
			}
			rings = append(rings, c.ring(slices.Clip(c.list[first:])))
			c.stack = c.stack[:k-1]
		}
	}
	for _, r := range c.stack {
		f, _ := c.nodes(r)
		c.at[f] = 0
	}
	c.stack = c.stack[:0]
	return rings
}

// next returns the seam that follows r around the region on its right hand: of
// those that bound it, the first anticlockwise from where r comes in.
func (d *Division) next(r SeamRef, bounds func(SeamRef) bool) SeamRef {
	s := &d.Seams[r.Index()]
	node, i := s.to, s.toSpoke
	if r.Backwards() {
		node, i = s.from, s.fromSpoke
	}
	for {
		if i--; i < d.start[node] {
			i = d.start[node+1] - 1
		}
		if bounds(d.seam[i]) {
			return d.seam[i]
		}
	}
}

// ring measures a closed run of seams. Sums may wrap around on the way; the
// result fits.
func (c *chain) ring(seams []SeamRef) Ring {
	ring := Ring{Seams: seams}
	for _, r := range seams {
		if sum := c.Seams[r.Index()].area2; r.Backwards() {
			ring.Area2 -= sum
		} else {
			ring.Area2 += sum
		}
	}
	return ring
}
