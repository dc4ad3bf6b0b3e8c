package planar

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"abut/geometry"
	"abut/geometry/parallel"
)

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
	if err := d.spokes(ctx); err != nil {
		return nil, err
	}
	if err := d.seams(ctx); err != nil {
		return nil, err
	}
	d.rings()
	return d.Division, nil
}

type divider struct {
	*Division
	labels  []int32
	pieceOf []int32 // per face, None for unowned ones
	meeting [parallel.Workers]meetings
	*divideRoom
}

// divideRoom is what dividing needs while it goes on, left to the next.
type divideRoom struct {
	border []bool     // per edge: it parts two owners, and no seam runs along it yet
	node   []int32    // per vertex: its node, or plain; where no border is, 0
	on     []goingOn  // per vertex, if plain
	leave  []EdgeID   // per spoke, its half-edge
	place  [][2]int32 // per border edge, its own spoke and that of ^e; of use at nodes alone
	ways   [2][]VertexID
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

// meetings counts, of some vertices, those where other than two borders meet, how many meet there,
// and how many at all others.
type meetings struct{ nodes, spokes, plain int32 }

func (d *divider) pieces(ctx context.Context) error {
	d.border = room(d.border, len(d.m.edges))[:len(d.m.edges)]
	// Two pieces of one label never share an edge: they would be connected.
	region, err := d.m.regions(ctx, d.labels, d.border)
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

// borders tells at which vertices how many edges meet that part two owners: where two do, it is
// plain.
func (d *divider) borders(ctx context.Context) error {
	m := d.m
	d.node = room(d.node, len(m.vertices))[:len(m.vertices)]
	d.on = room(d.on, len(m.vertices))[:len(m.vertices)]
	return parallel.Ranges(ctx, len(m.vertices), worthSplitting, func(part, lo, hi int) error {
		var all meetings
		for v := lo; v < hi; v++ {
			out, in := m.outStart[v], m.inStart[v]
			if m.outStart[v+1]-out == 1 && m.inStart[v+1]-in == 1 { // as most are: both edges part the same two faces
				from := m.inEdges[in]
				d.on[v] = goingOn{[2]EdgeID{out, ^from}, [2]VertexID{m.edges[out].To, m.edges[from].From}}
				parts := int32(0)
				if d.border[out] {
					parts = 1
				}
				d.node[v] = parts * plain
				all.plain += 2 * parts
				continue
			}
			meet := d.meet(VertexID(v))
			switch {
			case meet == 2:
				meet = plain
				all.plain += 2
			case meet > 0:
				all.nodes++
				all.spokes += meet
			}
			d.node[v] = meet
		}
		d.meeting[part] = all
		return nil
	})
}

// meet returns how many borders meet at a vertex, and notes where a seam goes on if that are two.
func (d *divider) meet(v VertexID) (n int32) {
	m, on := d.m, &d.on[v]
	for e := m.outStart[v]; e < m.outStart[v+1]; e++ {
		if d.border[e] {
			on.out[n&1], on.to[n&1] = e, m.edges[e].To
			n++
		}
	}
	for _, e := range m.inEdges[m.inStart[v]:m.inStart[v+1]] {
		if d.border[e] {
			on.out[n&1], on.to[n&1] = ^e, m.edges[e].From
			n++
		}
	}
	return n
}
