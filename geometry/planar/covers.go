package planar

import (
	"cmp"
	"slices"
)

// windings interns the winding states of faces and steps between them. A state
// is the list of terms whose winding number is not zero; stepping over an edge
// applies what the edge changes. Each distinct state and each distinct step is
// worked out once, so that a thousand nested rings cost their states, not a
// list for every edge.
type windings struct {
	deltas *deltaTable
	lists  lists
	steps  stepTable
	next   []winding // room for a state that may be new
}

// winding is a term's winding number, or its change across an edge.
type winding struct{ term, n int32 }

// stateID 0 is the state of no winding at all: the outside.
const stateOutside = 0

func newWindings() *windings { return &windings{steps: newStepTable()} }

// reset forgets all states; what room they took stays. The changes across edges come from
// a table, of which it adds none.
func (w *windings) reset(deltas *deltaTable) {
	w.deltas = deltas
	w.lists.reset()
	w.steps.reset()
	w.lists.intern(nil, 0)
}

// step returns the state across an edge with the given change, from its left
// side to its right.
func (w *windings) step(state, delta int32) int32 {
	slot, found := w.steps.find(state, delta)
	if found {
		return w.steps.values[slot]
	}
	var single [1]winding
	var key uint64
	w.next, key = apply(w.next[:0], w.lists.get(state), w.lists.keys[state], w.deltas.get(delta, &single))
	next := w.lists.intern(w.next, key)
	w.steps.set(slot, state, delta, next)
	return next
}

// apply appends list with changes added, zero windings dropped, and returns its
// key as well, made from that of the list. Both are ordered by term.
func apply(out, list []winding, key uint64, changes []winding) ([]winding, uint64) {
	for _, c := range changes {
		i, found := slices.BinarySearchFunc(list, c.term, func(w winding, term int32) int { return cmp.Compare(w.term, term) })
		out = append(out, list[:i]...)
		list = list[i:]
		if found {
			key ^= list[0].key()
			c.n += list[0].n
			list = list[1:]
		}
		if c.n != 0 {
			key ^= c.key()
			out = append(out, c)
		}
	}
	return append(out, list...), key
}

// lists interns lists of windings: equal ids mean equal lists.
type lists struct {
	all     [][]winding
	keys    []uint64 // per list: the exclusive or of its windings' keys
	table   []int32  // open hash table of ids plus one, 0 for free
	page    []winding
	entries int
}

// pageSize is how many windings are kept side by side. Lists never move, which
// would take as much room again.
const pageSize = 1 << 14

// reset forgets all lists. The room that they took is of use again, but for what
// was so much that clearing it would take longer than most maps.
func (l *lists) reset() {
	if len(l.table) > maxKept {
		*l = lists{}
		return
	}
	clear(l.table)
	clear(l.all)
	l.all, l.keys, l.page, l.entries = l.all[:0], l.keys[:0], l.page[:0], 0
}

// maxKept is the length of a hash table that is cleared rather than made anew.
const maxKept = 1 << 12

func (l *lists) get(id int32) []winding { return l.all[id] }

func (l *lists) count() int { return len(l.all) }

// key is a number for a winding, to be put together with others in any order.
func (w winding) key() uint64 { return mix(uint64(uint32(w.term))<<32 ^ uint64(uint32(w.n))) }

func keyOf(list []winding) (key uint64) {
	for _, w := range list {
		key ^= w.key()
	}
	return key
}

// intern returns the id of a list with that key.
func (l *lists) intern(list []winding, key uint64) int32 {
	if 2*len(l.all) >= len(l.table) {
		l.grow()
	}
	slot, found := l.slot(list, key)
	if found {
		return l.table[slot] - 1
	}
	if len(l.page)+len(list) > cap(l.page) {
		// The first page is small: most maps have a few short lists.
		l.page = make([]winding, 0, max(min(pageSize, 2*l.entries+64), len(list)))
	}
	from := len(l.page)
	l.page = append(l.page, list...)
	l.all = append(l.all, l.page[from:len(l.page):len(l.page)])
	l.keys = append(l.keys, key)
	l.entries += len(list)
	l.table[slot] = int32(len(l.all))
	return int32(len(l.all) - 1)
}

// find returns the id of a list with that key, if it has one.
func (l *lists) find(list []winding, key uint64) (id int32, found bool) {
	if len(l.table) == 0 {
		return 0, false
	}
	slot, found := l.slot(list, key)
	return l.table[slot] - 1, found
}

// slot returns where a list is in the table, or where it belongs.
func (l *lists) slot(list []winding, key uint64) (slot int, found bool) {
	mask := len(l.table) - 1
	slot = int(mix(key)) & mask
	for ; l.table[slot] != 0; slot = (slot + 1) & mask {
		if id := l.table[slot] - 1; l.keys[id] == key && slices.Equal(l.all[id], list) {
			return slot, true
		}
	}
	return slot, false
}

// grow doubles the table.
func (l *lists) grow() {
	l.table = make([]int32, max(64, 2*len(l.table)))
	mask := len(l.table) - 1
	for id, key := range l.keys {
		slot := int(mix(key)) & mask
		for l.table[slot] != 0 {
			slot = (slot + 1) & mask
		}
		l.table[slot] = int32(id + 1)
	}
}

// deltaTable names the changes across edges. Nearly all change one term by
// one: those have ids below singles, without a table.
type deltaTable struct {
	_       apart
	singles int32
	// What a worker names beside others is named in a table of its own, on top of one
	// that does not change meanwhile.
	under *deltaTable
	first int32 // the id of the first of lists
	lists lists
	room  []winding
}

// reset forgets all changes, for so many terms.
func (d *deltaTable) reset(terms int) {
	d.singles, d.under = int32(2*terms), nil
	d.first = d.singles
	d.lists.reset()
}

// begin makes a table on top of another one.
func (d *deltaTable) begin(under *deltaTable) {
	d.singles, d.under = under.singles, under
	d.first = under.first + int32(under.lists.count())
	d.lists.reset()
}

// adopted returns the name of a change from a table that was begun on top of this one, and
// makes it one of its own.
func (d *deltaTable) adopted(id int32, from *deltaTable) int32 {
	if id < from.first {
		return id
	}
	return d.id(from.lists.get(id - from.first))
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
	key := keyOf(change)
	if d.under != nil {
		if id, known := d.under.lists.find(change, key); known {
			return d.under.first + id
		}
	}
	return d.first + d.lists.intern(change, key)
}

// noDelta is the name of no change at all.
const noDelta = -1

// negative returns the name of the change the other way.
func (d *deltaTable) negative(id int32) int32 {
	switch {
	case id == noDelta:
		return noDelta
	case id < d.singles:
		return id ^ 1
	}
	change := slices.Clone(d.get(id, nil))
	for i := range change {
		change[i].n *= -1
	}
	return d.id(change)
}

// sum returns the name of the changes of fragments that coincide.
func (d *deltaTable) sum(frags []fragment) int32 {
	all := d.room[:0]
	for _, f := range frags {
		if f.delta == noDelta {
			continue
		}
		var single [1]winding
		for _, w := range d.get(f.delta, &single) {
			// Most are few, and come in order.
			i := len(all)
			for i > 0 && all[i-1].term > w.term {
				i--
			}
			if i > 0 && all[i-1].term == w.term {
				all[i-1].n += w.n
			} else {
				all = slices.Insert(all, i, w)
			}
		}
	}
	d.room = all
	all = slices.DeleteFunc(all, func(w winding) bool { return w.n == 0 })
	if len(all) == 0 {
		return noDelta
	}
	return d.id(all)
}

func (d *deltaTable) get(id int32, single *[1]winding) []winding {
	if id >= d.first {
		return d.lists.get(id - d.first)
	}
	if id >= d.singles {
		return d.under.lists.get(id - d.under.first)
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

// reset forgets all steps: see lists.reset.
func (t *stepTable) reset() {
	if len(t.keys) > maxKept {
		*t = newStepTable()
		return
	}
	clear(t.keys)
	t.used = 0
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
	table    []int32 // open hash table of ids plus one, 0 for free
	page     []int32 // lists side by side
	covering []int32 // per term: the last query in which it covered
	query    int32
	layers   []int32 // room for a list that may be new
}

func newCovers(in *input, sc *scratch) *covers {
	c := &sc.covers
	if len(c.table) > maxKept {
		c.table = nil
	}
	*c = covers{in: in, lists: make([][]int32, 0, 8), table: c.table, covering: room(c.covering, len(in.terms))[:len(in.terms)], layers: c.layers}
	clear(c.table)
	clear(c.covering)
	c.intern(nil)
	return c
}

// of returns the interned cover of a state.
func (c *covers) of(state []winding) int32 {
	c.query++
	layers := c.layers[:0]
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
	c.layers = layers
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
	if 2*len(c.lists) >= len(c.table) {
		c.grow()
	}
	slot := c.slot(layers)
	if id := c.table[slot]; id != 0 {
		return id - 1
	}
	if len(c.page)+len(layers) > cap(c.page) {
		c.page = make([]int32, 0, max(min(pageSize, 8*len(c.lists)+64), len(layers)))
	}
	from := len(c.page)
	c.page = append(c.page, layers...)
	c.lists = append(c.lists, slices.Clip(c.page[from:]))
	c.table[slot] = int32(len(c.lists))
	return int32(len(c.lists) - 1)
}

// slot returns where a list is in the table, or where it belongs.
func (c *covers) slot(layers []int32) int {
	key := uint64(len(layers))
	for _, l := range layers {
		key = mix(key ^ uint64(uint32(l)))
	}
	mask := len(c.table) - 1
	slot := int(key) & mask
	for c.table[slot] != 0 && !slices.Equal(c.lists[c.table[slot]-1], layers) {
		slot = (slot + 1) & mask
	}
	return slot
}

// grow doubles the table.
func (c *covers) grow() {
	c.table = make([]int32, max(64, 2*len(c.table)))
	for id, layers := range c.lists {
		c.table[c.slot(layers)] = int32(id + 1)
	}
}
