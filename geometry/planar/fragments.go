package planar

import (
	"math/bits"
	"slices"

	"abut/geometry/parallel"
)

// fragment is a straight way between two vertices, from the one that sorts first,
// and all that runs along it.
type fragment struct {
	from, to VertexID
	segment  int32 // of the topmost figure that runs here, its first; or struckOut
	delta    int32 // the change of winding from its left to its right, or noDelta
}

// struckOut is the segment of what is no fragment any more, since it was cut.
const struckOut = -1

// key orders fragments by from and then by to.
func (f fragment) key() uint64 { return uint64(f.from)<<32 | uint64(f.to) }

// ordered returns the fragment from the vertex that sorts first. It may name a
// change, which workers must not do side by side.
func (arr *arrangement) ordered(f fragment) fragment {
	if f.from > f.to {
		f.from, f.to, f.delta = f.to, f.from, arr.deltas.negative(f.delta)
	}
	return f
}

// beside returns the arrangement for a worker: where it shares so many items with others, it
// names changes in a table of its own.
func (arr *arrangement) beside(part, items int, sc *scratch) *arrangement {
	if items < worthSplitting {
		return arr
	}
	own := *arr
	own.deltas = &sc.besides[part]
	own.deltas.begin(arr.deltas)
	return &own
}

// adopt gives changes that were named beside the names that they have here.
func (arr *arrangement) adopt(frags []fragment, named *deltaTable) {
	if named == arr.deltas || named.lists.count() == 0 {
		return
	}
	for i := range frags {
		frags[i].delta = arr.deltas.adopted(frags[i].delta, named)
	}
}

// sorted orders fragments by from, then to, and makes those that coincide one. What
// was not from the vertex that sorts first is turned around. The result lies in the
// scratch.
func (arr *arrangement) sorted(p *pace, frags []fragment, sc *scratch) ([]fragment, error) {
	if len(frags) == 0 {
		return nil, nil
	}
	n := len(arr.vertices)
	out := room(sc.fragments[0], len(frags))[:len(frags)]
	sc.fragments[0] = out
	if len(frags) < n/16 { // counting looks at all vertices
		if err := sortFew(p, frags, out, bits.Len(uint(n)), sc); err != nil {
			return nil, err
		}
		for i, f := range out {
			out[i] = arr.ordered(f)
		}
		return arr.bundle(out), p.spend((16 + bundleEffort) * len(frags))
	}
	if err := p.spend(3 * len(frags)); err != nil {
		return nil, err
	}
	// Each worker has the fragments that start at some of the vertices.
	worth := 0
	if len(frags) < worthSplitting {
		worth = n + 1
	}
	s := starting{frags: frags, out: out, next: room(sc.next, n)[:n]}
	sc.next = s.next
	counts, err := parallel.Collect(p.ctx, n, worth, func(_, lo, hi int) (int, error) {
		return s.count(VertexID(lo), VertexID(hi)), nil
	})
	if err != nil {
		return nil, err
	}
	type share struct {
		kept  []fragment
		named *deltaTable
	}
	shares, err := parallel.Collect(p.ctx, n, worth, func(part, lo, hi int) (share, error) {
		first := 0
		for before := range part {
			first += counts[before]
		}
		own := arr.beside(part, len(frags), sc)
		kept, err := s.sort(own, unhurried(p.ctx), VertexID(lo), VertexID(hi), int32(first))
		return share{kept, own.deltas}, err
	})
	if err != nil {
		return nil, err
	}
	all := 0
	for _, of := range shares {
		if len(of.kept) > 0 {
			arr.adopt(of.kept, of.named)
			all += copy(out[all:], of.kept)
		}
	}
	return out[:all], nil
}

// sortFew sorts fragments between vertices of so many bits into out.
func sortFew(p *pace, frags, out []fragment, nameBits int, sc *scratch) error {
	items := room(sc.items, len(frags))
	for i, f := range frags {
		items = append(items, keyed{uint64(min(f.from, f.to))<<nameBits | uint64(max(f.from, f.to)), int32(i)})
	}
	if err := sc.sort(p, items, 2*nameBits); err != nil {
		return err
	}
	for i, it := range items {
		out[i] = frags[it.id]
	}
	return nil
}

// starting sorts fragments by where they start.
type starting struct {
	frags, out []fragment
	next       []int32 // per vertex: how many start there, then where the next of them goes
}

// count counts those that start at vertices lo … hi−1.
func (s *starting) count(lo, hi VertexID) (sum int) {
	clear(s.next[lo:hi])
	for i := range s.frags {
		if v := min(s.frags[i].from, s.frags[i].to); lo <= v && v < hi {
			s.next[v]++
			sum++
		}
	}
	return sum
}

// sort sorts those into out, from a place on, and makes those that coincide one.
func (s *starting) sort(arr *arrangement, p *pace, lo, hi VertexID, first int32) ([]fragment, error) {
	at := first
	for v := lo; v < hi; v++ {
		s.next[v], at = at, at+s.next[v]
	}
	for _, f := range s.frags {
		if v := min(f.from, f.to); lo <= v && v < hi {
			if f.from > f.to {
				f = arr.ordered(f)
			}
			s.out[s.next[v]] = f
			s.next[v]++
		}
	}
	// Those of each vertex, side by side.
	kept, from := first, first
	for _, end := range s.next[lo:hi] {
		group := s.out[from:end]
		from = end
		if len(group) > 1 {
			sortByEnd(group)
			if err := p.spend(1 + bundleEffort*len(group)); err != nil {
				return nil, err
			}
			group = arr.bundle(group)
		}
		kept += int32(copy(s.out[kept:], group))
	}
	return s.out[first:kept], nil
}

// sortByEnd sorts fragments that start at one vertex by where they end.
func sortByEnd(group []fragment) {
	if len(group) >= 12 {
		slices.SortFunc(group, func(a, b fragment) int { return int(a.to) - int(b.to) })
		return
	}
	for i := 1; i < len(group); i++ {
		for k := i; k > 0 && group[k].to < group[k-1].to; k-- {
			group[k], group[k-1] = group[k-1], group[k]
		}
	}
}

// bundle makes those of the sorted fragments that coincide one, in place.
func (arr *arrangement) bundle(frags []fragment) []fragment {
	out := frags[:0]
	for i := 0; i < len(frags); {
		k := i + 1
		for k < len(frags) && frags[k].from == frags[i].from && frags[k].to == frags[i].to {
			k++
		}
		f := frags[i]
		if k > i+1 {
			f = arr.together(frags[i:k])
		}
		out = append(out, f)
		i = k
	}
	return out
}

// together makes one of fragments that coincide.
func (arr *arrangement) together(frags []fragment) fragment {
	f := frags[0]
	for _, g := range frags[1:] {
		if arr.precedes(g.segment, f.segment) {
			f.segment = g.segment
		}
	}
	f.delta = arr.deltas.sum(frags)
	return f
}

// bundleEffort is what a fragment takes here, in the units of pace.
const bundleEffort = 2

// precedes reports whether what runs along two segments takes its curve from the
// first: that of the topmost figure, or the first of one figure's.
func (arr *arrangement) precedes(s, t int32) bool {
	a, b := arr.origins[arr.segs[s].origin].term, arr.origins[arr.segs[t].origin].term
	return a > b || a == b && s < t
}
