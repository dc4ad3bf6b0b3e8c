package planar

import "slices"

// windings interns the winding states of faces and steps between them. A state
// is the list of terms whose winding number is not zero; stepping over an edge
// applies what the edge changes. Each distinct state and each distinct step is
// worked out once, so that a thousand nested rings cost their states, not a
// list for every edge.
type windings struct {
	deltas deltaTable
	lists  lists
	steps  stepTable
}

// winding is a term's winding number, or its change across an edge.
type winding struct{ term, n int32 }

// stateID 0 is the state of no winding at all: the outside.
const stateOutside = 0

func newWindings(terms int) *windings {
	w := &windings{steps: newStepTable(), deltas: deltaTable{singles: int32(2 * terms)}}
	w.lists.intern(nil)
	return w
}

// step returns the state across an edge with the given change, from its left
// side to its right.
func (w *windings) step(state, delta int32) int32 {
	slot, found := w.steps.find(state, delta)
	if found {
		return w.steps.values[slot]
	}
	var single [1]winding
	next := w.lists.intern(apply(w.lists.get(state), w.deltas.get(delta, &single)))
	w.steps.set(slot, state, delta, next)
	return next
}

// apply returns list with changes added, zero windings dropped. Both are
// ordered by term.
func apply(list, changes []winding) []winding {
	out := make([]winding, 0, len(list)+len(changes))
	for _, c := range changes {
		i := 0
		for i < len(list) && list[i].term < c.term {
			i++
		}
		out = append(out, list[:i]...)
		list = list[i:]
		if len(list) > 0 && list[0].term == c.term {
			c.n += list[0].n
			list = list[1:]
		}
		if c.n != 0 {
			out = append(out, c)
		}
	}
	return append(out, list...)
}

// lists interns lists of windings: equal ids mean equal lists.
type lists struct {
	items []winding
	first []int32 // first[i] to first[i+1]
	byKey map[uint64][]int32
}

func (l *lists) get(id int32) []winding { return l.items[l.first[id]:l.first[id+1]] }

func (l *lists) count() int { return max(0, len(l.first)-1) }

func (l *lists) intern(list []winding) int32 {
	if l.byKey == nil {
		l.byKey = map[uint64][]int32{}
		l.first = append(l.first, 0)
	}
	key := uint64(len(list))
	for _, w := range list {
		key = mix(key ^ uint64(uint32(w.term))<<32 ^ uint64(uint32(w.n)))
	}
	for _, id := range l.byKey[key] {
		if slices.Equal(l.get(id), list) {
			return id
		}
	}
	id := int32(l.count())
	l.items = append(l.items, list...)
	l.first = append(l.first, int32(len(l.items)))
	l.byKey[key] = append(l.byKey[key], id)
	return id
}

// deltaTable names the changes across edges. Nearly all change one term by
// one: those have ids below singles, without a table.
type deltaTable struct {
	singles int32
	lists   lists
}

// id returns the name of a change, which must not be empty and is ordered by
// term.
func (d *deltaTable) id(change []winding) int32 {
	if len(change) == 1 && change[0].n == 1 {
		return 2 * change[0].term
	}
	if len(change) == 1 && change[0].n == -1 {
		return 2*change[0].term + 1
	}
	return d.singles + d.lists.intern(change)
}

func (d *deltaTable) get(id int32, single *[1]winding) []winding {
	if id >= d.singles {
		return d.lists.get(id - d.singles)
	}
	single[0] = winding{id / 2, 1 - 2*(id&1)}
	return single[:]
}

// stepTable is an open hash table from (state, delta) to state.
type stepTable struct {
	keys   []uint64 // 0 is free; keys are stored plus one
	values []int32
	used   int
}

func newStepTable() stepTable {
	const size = 1 << 8
	return stepTable{keys: make([]uint64, size), values: make([]int32, size)}
}

func stepKey(state, delta int32) uint64 { return uint64(uint32(state))<<32 | uint64(uint32(delta)) + 1 }

// find returns the slot that holds the step, or where it belongs.
func (t *stepTable) find(state, delta int32) (slot int, found bool) {
	key := stepKey(state, delta)
	mask := len(t.keys) - 1
	for slot = int(mix(key)) & mask; ; slot = (slot + 1) & mask {
		switch t.keys[slot] {
		case key:
			return slot, true
		case 0:
			return slot, false
		}
	}
}

// set fills the slot that find returned and doubles the table when half of it is
// full.
func (t *stepTable) set(slot int, state, delta, next int32) {
	t.keys[slot] = stepKey(state, delta)
	t.values[slot] = next
	if t.used++; 2*t.used < len(t.keys) {
		return
	}
	old := *t
	t.keys, t.values = make([]uint64, 2*len(old.keys)), make([]int32, 2*len(old.keys))
	mask := len(t.keys) - 1
	for i, key := range old.keys {
		if key == 0 {
			continue
		}
		s := int(mix(key)) & mask
		for t.keys[s] != 0 {
			s = (s + 1) & mask
		}
		t.keys[s], t.values[s] = key, old.values[i]
	}
}

// mix scrambles a key so that its low bits depend on all of it (the finishing
// steps of SplitMix64; Steele, Lea, Flood, 2014).
func mix(x uint64) uint64 {
	x ^= x >> 30
	x *= 0xbf58476d1ce4e5b9
	x ^= x >> 27
	x *= 0x94d049bb133111eb
	return x ^ x>>31
}

// covers turns winding states into lists of covering layers.
type covers struct {
	in       *input
	lists    [][]int32
	byKey    map[uint64][]int32
	covering []int32 // per term: the last query in which it covered
	query    int32
}

func newCovers(in *input) *covers {
	c := &covers{in: in, byKey: map[uint64][]int32{}, covering: make([]int32, len(in.terms))}
	c.intern(nil)
	return c
}

// of returns the interned cover of a state.
func (c *covers) of(state []winding) int32 {
	c.query++
	var layers []int32
	for _, w := range state {
		t := &c.in.terms[w.term]
		// A clip's terms are numbered before those that it clips, so what they
		// cover is known by now.
		if !t.rule.Encloses(int(w.n)) || !c.withinClips(t) {
			continue
		}
		c.covering[w.term] = c.query
		// Terms are numbered layer by layer, so layers come out in order.
		if n := len(layers); t.layer >= 0 && (n == 0 || layers[n-1] != t.layer) {
			layers = append(layers, t.layer)
		}
	}
	return c.intern(layers)
}

// withinClips reports whether one figure of each of the term's clips covers in
// the current query.
func (c *covers) withinClips(t *term) bool {
	for _, clip := range t.clips {
		if !slices.ContainsFunc(c.in.clips[clip], func(f int32) bool { return c.covering[f] == c.query }) {
			return false
		}
	}
	return true
}

func (c *covers) intern(layers []int32) int32 {
	key := uint64(len(layers))
	for _, l := range layers {
		key = mix(key ^ uint64(uint32(l)))
	}
	for _, id := range c.byKey[key] {
		if slices.Equal(c.lists[id], layers) {
			return id
		}
	}
	id := int32(len(c.lists))
	c.lists = append(c.lists, layers)
	c.byKey[key] = append(c.byKey[key], id)
	return id
}
