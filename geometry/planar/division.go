package planar

import "abut/geometry"

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
	// The nodes that it leaves and comes to, and its spokes there. All that chaining rings asks for lies
	// side by side.
	from, to           int32
	fromSpoke, toSpoke int32
	area2              int64 // twice the area between it and the y axis, which may wrap around
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
}

// rotation is the order of seams around nodes: the vertices where other than two
// borders meet, and one on each seam that is a ring by itself.
type rotation struct {
	// Per node, its first spoke. Spokes are clockwise on screen, from straight up.
	start []int32
	seam  []SeamRef // per spoke, the seam that leaves there
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

// ends returns where a half-edge starts and ends.
func (d *Division) ends(h EdgeID) (from, to VertexID) {
	if h >= 0 {
		return d.m.edges[h].From, d.m.edges[h].To
	}
	return d.m.edges[^h].To, d.m.edges[^h].From
}
