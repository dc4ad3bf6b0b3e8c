package planar

import (
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/parallel"
)

// spokes numbers nodes and the borders around them.
func (d *divider) spokes(ctx context.Context) error {
	var all meetings
	var before [parallel.Workers]meetings
	for part, n := range d.meeting {
		before[part] = all
		all = meetings{all.nodes + n.nodes, all.spokes + n.spokes, all.plain + n.plain}
	}
	d.place, d.leave = room(d.place, len(d.m.edges))[:len(d.m.edges)], room(d.leave, int(all.spokes))[:all.spokes]
	// How many seams are rings by themselves is not known yet. Where pieces are few, each may have one.
	rings := all.spokes/32 + int32(min(len(d.Pieces), 64)) + 1
	d.start = make([]int32, all.nodes, all.nodes+1+rings)
	d.Seams = make([]Seam, 0, all.spokes/2+rings)
	d.seam = make([]SeamRef, all.spokes, all.spokes+2*rings)
	err := parallel.Ranges(ctx, len(d.node), worthSplitting, func(part, lo, hi int) error {
		node, spoke := before[part].nodes, before[part].spokes
		for v, n := range d.node[lo:hi] {
			if n > 0 {
				d.node[lo+v], d.start[node] = node, spoke
				d.spokesAt(VertexID(lo+v), spoke)
				node++
				spoke += n
			}
		}
		return nil
	})
	d.start = append(d.start, all.spokes)
	return err
}

// spokesAt lists the borders around a vertex, from a spoke on, clockwise on screen from straight up.
func (d *divider) spokesAt(v VertexID, spoke int32) {
	m := d.m
	for e := m.outStart[v]; e < m.outStart[v+1]; e++ {
		if d.border[e] {
			d.place[e][0] = spoke
			d.leave[spoke], d.seam[spoke] = e, -1
			spoke++
		}
	}
	for i := m.inStart[v+1] - 1; i >= m.inStart[v]; i-- {
		if e := m.inEdges[i]; d.border[e] {
			d.place[e][1] = spoke
			d.leave[spoke], d.seam[spoke] = ^e, -1
			spoke++
		}
	}
}

// batch is how many edges are walked along, and those left of a seam, before what was found is
// traced: as many as a core has at hand.
const batch = 1 << 12

// seams walks every border from node to node, then the rings that have none. While one worker
// walks on, another traces what was found.
func (d *divider) seams(ctx context.Context) error {
	ends := 0 // of edges that are borders
	for _, n := range d.meeting {
		ends += int(n.spokes + n.plain)
	}
	edges := ends / 2
	w := &walker{divider: d, along: make([]EdgeID, 0, edges), way: d.ways[0]}
	t := &tracer{divider: d, way: d.ways[1], left: edges + cap(d.Seams)}
	for first := 0; !w.done || first < len(d.Seams); {
		if len(d.Seams) == cap(d.Seams) { // not while they are traced
			d.Seams = slices.Grow(d.Seams, len(d.Seams)/4+16)
		}
		found := d.Seams[first:]
		first = len(d.Seams)
		w.way, t.way = t.way[:0], w.way
		if edges < worthSplitting || len(d.leave) > edges { // or most seams are an edge or two, soon traced
			w.walkOn()
			t.trace(found)
			continue
		}
		err := parallel.Do(ctx, 2, func(i int) {
			if i == 0 {
				w.walkOn()
			} else {
				t.trace(found)
			}
		})
		if err != nil {
			return err
		}
	}
	d.ways = [2][]VertexID{w.way, t.way}
	return ctx.Err()
}

// walker walks along seams.
type walker struct {
	*divider
	along       []EdgeID   // of all seams, one's after another's
	way         []VertexID // of those that are not traced yet
	at, leaving int32      // the node and the spoke where the next begins
	ring        EdgeID     // the next that may be on a ring by itself
	done        bool       // nothing is left
	_           apart
}

// walkOn walks along a batch, or less where there is no room for more seams.
func (w *walker) walkOn() {
	enough := len(w.along) + batch
	for ; int(w.leaving) < len(w.leave); w.leaving++ {
		if len(w.along) >= enough {
			return
		}
		for w.leaving == w.start[w.at+1] {
			w.at++
		}
		if w.seam[w.leaving] < 0 {
			w.between(w.at, w.leaving)
		}
	}
	for ; int(w.ring) < len(w.border); w.ring++ {
		if len(w.along) >= enough || len(w.Seams) == cap(w.Seams) {
			return
		}
		if w.border[w.ring] { // the first of its ring that starts at the leftmost vertex
			w.around(w.ring)
		}
	}
	w.done = true
}

// between records the seam that leaves a node along a spoke.
func (w *walker) between(node, spoke int32) {
	h, ref := w.leave[spoke], SeamRef(2*len(w.Seams))
	s := Seam{from: node, fromSpoke: spoke}
	s.Left, s.Right = w.sides(h)
	last, v := w.walk(&s, h, -1)
	s.to, s.toSpoke = w.node[v], w.spokeOf(^last)
	w.seam[spoke], w.seam[s.toSpoke] = ref, ref|1
	w.Seams = append(w.Seams, s)
}

// around records the seam along an edge that comes back to where that starts and meets
// no node: it makes one of its own there.
func (w *walker) around(e EdgeID) {
	ref := SeamRef(2 * len(w.Seams))
	node, spoke := int32(len(w.start)-1), int32(len(w.seam))
	s := Seam{from: node, to: node, fromSpoke: spoke, toSpoke: spoke + 1}
	s.Left, s.Right = w.sides(e)
	w.seam = append(w.seam, ref, ref|1)
	w.start = append(w.start, spoke+2)
	first := len(w.way)
	w.walk(&s, e, w.m.edges[e].From)
	w.startAtCorner(&s, w.way[first:])
	w.Seams = append(w.Seams, s)
}

// walk follows borders from a half-edge to the next node or to a vertex, noting edges
// and vertices on the way, and returns the last half-edge and where it ends.
func (w *walker) walk(s *Seam, h EdgeID, until VertexID) (last EdgeID, v VertexID) {
	v, to := w.ends(h)
	first, along, way := len(w.along), w.along, append(w.way, v)
	for {
		v = to
		along, way = append(along, h), append(way, v)
		w.border[max(h, ^h)] = false
		on := &w.on[v]
		if v == until || w.node[v] != plain {
			break
		}
		if on.out[0] != ^h {
			h, to = on.out[0], on.to[0]
		} else {
			h, to = on.out[1], on.to[1]
		}
	}
	w.along, w.way = along, way
	s.Edges = slices.Clip(along[first:])
	return h, v
}

// startAtCorner turns a seam that is a ring by itself, and its way, so that it starts where
// one source segment ends and the next begins, if anywhere: a curve that is
// whole in the art stays whole.
func (w *walker) startAtCorner(s *Seam, way []VertexID) {
	before, _, t := w.m.parameters(s.Edges[len(s.Edges)-1])
	for i, h := range s.Edges {
		o, u, next := w.m.parameters(h)
		if o != before || u != t {
			turn(s.Edges, i)
			turn(way[1:], i)
			way[0] = way[len(way)-1]
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

// sides returns the pieces on the left and right hand of a half-edge.
func (d *divider) sides(h EdgeID) (left, right int32) {
	if h >= 0 {
		return d.pieceOf[d.m.edges[h].Left], d.pieceOf[d.m.edges[h].Right]
	}
	return d.pieceOf[d.m.edges[^h].Right], d.pieceOf[d.m.edges[^h].Left]
}

// spokeOf returns the spoke of a border half-edge that leaves a node.
func (d *divider) spokeOf(h EdgeID) int32 {
	if h >= 0 {
		return d.place[h][0]
	}
	return d.place[^h][1]
}

// tracer fills in what follows from the way of seams: their points, lengths,
// areas and their pieces' bounds.
type tracer struct {
	*divider
	points []Point    // room for those of seams, one's after another's
	way    []VertexID // of the seams to trace
	left   int        // how many points the others have, as far as room was made for their seams
	_      apart
}

// trace traces seams that were found one after another.
func (t *tracer) trace(found []Seam) {
	at := 0
	for i := range found {
		s := &found[i]
		n := len(s.Edges) + 1
		t.left -= n
		t.one(s, t.way[at:at+n])
		at += n
	}
}

// one traces the seam that runs along some vertices.
func (t *tracer) one(s *Seam, way []VertexID) {
	if cap(t.points)-len(t.points) < len(way) {
		// Room for this seam and the rest, each of which has one point more than edges, at most.
		t.points = make([]Point, 0, len(way)+max(t.left, 0))
	}
	vertices, first, area2 := t.m.vertices, len(t.points), int64(0)
	p := vertices[way[0]]
	points := append(t.points[first:], p)
	lo, hi, length := p, p, 0.0
	for _, v := range way[1:] {
		before := p
		p = vertices[v]
		if n := len(points); n > 1 && straight(points[n-2], points[n-1], p) {
			points[n-1] = p
		} else {
			points = append(points, p)
		}
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
		length += distance(before, p)
		area2 += (int64(p.Y) - int64(before.Y)) * (int64(before.X) + int64(p.X))
	}
	t.points = t.points[:first+len(points)]
	s.Points, s.LengthMM, s.area2 = slices.Clip(points), length/StepsPerMM, area2
	bounds := geometry.Rect{Min: lo.MM(), Max: hi.MM()}
	for _, i := range [2]int32{s.Left, s.Right} {
		if i != None {
			t.Pieces[i].Bounds = t.Pieces[i].Bounds.Union(bounds)
		}
	}
}

// straight reports whether the way from a over b to c goes straight on.
func straight(a, b, c Point) bool {
	return cross(a, b, c) == 0 &&
		(int64(b.X)-int64(a.X))*(int64(c.X)-int64(b.X))+(int64(b.Y)-int64(a.Y))*(int64(c.Y)-int64(b.Y)) > 0
}
