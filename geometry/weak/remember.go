package weak

import (
	"slices"

	"abut/geometry"
)

// Memory keeps what the outlines answered when spots were looked for last, and when all were: for who looks
// again and again while a little changes, and changes back. Only what lies near a side that came or went is
// asked once more. The zero value is ready. One goroutine at a time.
type Memory struct {
	widthMM   float64
	last, all *looked // nil where nobody looked
	mapped    map[partedKey][]*parted
}

// looked is what is kept of one look.
type looked struct {
	shapes  []shape // with their sides alone
	across  *across
	answers []answered
}

// forWidth forgets all that was asked for another width.
func (m *Memory) forWidth(widthMM float64) {
	if m.widthMM != widthMM {
		*m = Memory{widthMM: widthMM}
	}
}

// answered is what the sides of a shape have answered.
type answered struct {
	from []int32 // where that of each side begins in all, plus one; 0 where it was not asked
	all  []answer
}

// of returns what a side has answered, in the order of its places.
func (k *answered) of(side int32) []answer {
	if k.from[side] == 0 {
		return nil
	}
	first := int(k.from[side]) - 1
	end := first
	for end < len(k.all) && k.all[end].s == side {
		end++
	}
	return k.all[first:end]
}

// recall returns what of a shape need not be asked again; without a grid of it, all or nothing.
func (m *Memory) recall(s *shape, g *grid, l *lengths) answered {
	k, n := m.last.recall(s, g, l)
	if n == len(s.sides) || m.all == m.last {
		return k
	}
	if before, more := m.all.recall(s, g, l); more > n {
		return before
	}
	return k
}

// recall returns, too, how many sides that is.
func (m *looked) recall(s *shape, g *grid, l *lengths) (k answered, sides int) {
	k.from = make([]int32, len(s.sides))
	if m == nil {
		return k, 0
	}
	c := m.compare(s)
	if c.base < 0 {
		return k, 0
	}
	old := &m.answers[c.base]
	if len(old.from) == 0 {
		return k, 0
	}
	if stale, ok := c.stale(s.sides, m.shapes[c.base].sides, g, l); ok {
		c.carry(&k, old, stale)
	}
	for _, known := range k.from {
		if known != 0 {
			sides++
		}
	}
	return k, sides
}

// comparison is of a shape with the one that most of its sides were of when it was looked at
// last.
type comparison struct {
	base int32    // that one; −1 when no side was there
	was  []sideID // each side then, of shape −1 when it was not there
	now  []int32  // each side of base now, plus one; 0 when it went
}

// compare finds the sides of a shape among those that were looked at last.
func (m *looked) compare(s *shape) *comparison {
	c := &comparison{base: -1, was: make([]sideID, len(s.sides))}
	votes, most := map[int32]int{}, 0
	for i := range s.sides {
		c.was[i].shape = -1
		if at := *m.across.slot(m.shapes, s.sides[i].a, s.sides[i].b); at > 0 {
			c.was[i] = m.across.ids[at-1]
			v := votes[c.was[i].shape] + 1
			if votes[c.was[i].shape] = v; v > most {
				c.base, most = c.was[i].shape, v
			}
		}
	}
	if c.base < 0 {
		return c
	}
	c.now = make([]int32, len(m.shapes[c.base].sides))
	for i, was := range c.was {
		if was.shape == c.base {
			c.now[was.side] = int32(i) + 1
		}
	}
	return c
}

// stale marks the sides near which another came or went. Without a grid they cannot be told:
// then it is ok only when none did.
func (c *comparison) stale(sides, before []side, g *grid, l *lengths) (stale []bool, ok bool) {
	stale = make([]bool, len(sides))
	near := nearChanged{grid: g, lengths: l, mark: func(id int32) { stale[id] = true }}
	for i := range sides {
		if c.was[i].shape != c.base && !near.add(&sides[i]) {
			return nil, false
		}
	}
	for i := range before {
		if c.now[i] == 0 && !near.add(&before[i]) {
			return nil, false
		}
	}
	near.flush()
	return stale, true
}

// nearChanged marks what lies near sides that came or went. Those that follow each other within
// half a width are looked around together: all that would be marked for one of them is marked
// for them, and of an outline of many short chords it takes a fraction of the time.
type nearChanged struct {
	grid    *grid // nil: it cannot be told
	lengths *lengths
	mark    func(id int32)
	some    bool
	bounds  geometry.Rect // of those that were not looked around yet
}

// add adds a side; false when what lies near cannot be told.
func (n *nearChanged) add(x *side) (ok bool) {
	if n.grid == nil {
		return false
	}
	b := geometry.EmptyRect().Include(x.a).Include(x.b)
	if n.some {
		all := n.bounds.Include(x.a).Include(x.b)
		if max(all.Width(), all.Height()) <= n.lengths.r {
			n.bounds = all
			return true
		}
		n.flush()
	}
	n.bounds, n.some = b, true
	return true
}

// flush looks around those that were not looked around yet. A disc of a thin place reaches no
// further than a width.
func (n *nearChanged) flush() {
	if n.some {
		n.grid.within(&n.grid.cells, n.bounds.Grow(n.lengths.width+n.lengths.sample), n.mark)
		n.some = false
	}
}

// carry adds to k what the sides that are not stale answered then.
func (c *comparison) carry(k, old *answered, stale []bool) {
	if c.same(old, stale) {
		copy(k.from, old.from)
		k.all = slices.Clip(old.all)
		return
	}
	k.all = make([]answer, 0, len(old.all))
	for i, was := range c.was {
		if was.shape != c.base || stale[i] {
			continue
		}
		first := len(k.all)
		k.all = c.renumbered(k.all, old.of(was.side), int32(i))
		if len(k.all) > first {
			k.from[i] = int32(first + 1)
		}
	}
}

// same reports whether each side is what it was, and all that these answered may be carried over.
func (c *comparison) same(old *answered, stale []bool) bool {
	if len(c.was) != len(c.now) {
		return false
	}
	for i, was := range c.was {
		if was != (sideID{c.base, int32(i)}) || stale[i] {
			return false
		}
	}
	return !slices.ContainsFunc(old.all, func(d answer) bool { return d.fit == pinches })
}

// renumbered appends to all what a side answered then, with the numbers that the sides have
// now; none of it when it lies in a pinch or touches a side that went.
func (c *comparison) renumbered(all, then []answer, id int32) []answer {
	first := len(all)
	for _, d := range then {
		if d.fit == pinches || d.t >= 0 && c.now[d.t] == 0 {
			return all[:first]
		}
		if d.s = id; d.t >= 0 {
			d.t = c.now[d.t] - 1
		}
		all = append(all, d)
	}
	return all
}

// parted is what the map of a shape showed. It hangs on nothing but the shape's sides, which discs it has, and whether one
// looked closer.
type parted struct {
	sides     []side
	discs     []disc
	pinched   []int32
	closer    bool
	parts     *overlay
	crossings int    // see cut
	left      []disc // those that are left, see fewer
	looks     int    // that took a map, since it was needed
}

// partedKey tells most of them apart: there may be thousands.
type partedKey struct {
	sides, discs int
	first        side
}

func keyOf(sides []side, discs []disc) partedKey { return partedKey{len(sides), len(discs), sides[0]} }

// mostLooks is for how many looks that take a map what one showed is kept that was not needed: as many as things are tried about
// the same picture.
const mostLooks = 4

// parted returns what the map of a shape showed if that is as it was, or nil. Several may ask at a time.
func (m *Memory) parted(s *shape, closer bool) *parted {
	if m == nil {
		return nil
	}
	for _, p := range m.mapped[keyOf(s.sides, s.discs)] {
		if p.closer == closer && slices.Equal(p.sides, s.sides) && slices.Equal(p.discs, s.discs) && slices.Equal(p.pinched, s.pinched) {
			return p
		}
	}
	return nil
}

// keepParted remembers what maps showed this time, and forgets what was not needed for long.
func (m *Memory) keepParted(now []*parted) {
	if m.mapped == nil {
		m.mapped = map[partedKey][]*parted{}
	}
	for _, of := range m.mapped {
		for _, p := range of {
			p.looks++
		}
	}
	for _, p := range now {
		if p.looks == 0 { // it is new
			k := keyOf(p.sides, p.discs)
			m.mapped[k] = append(m.mapped[k], p)
		}
		p.looks = 0
	}
	for k, of := range m.mapped {
		if of = slices.DeleteFunc(of, func(p *parted) bool { return p.looks > mostLooks }); len(of) > 0 {
			m.mapped[k] = of
		} else {
			delete(m.mapped, k)
		}
	}
}

// keep remembers what was asked this time.
func (m *Memory) keep(f *finder) {
	m.last = &looked{make([]shape, len(f.shapes)), f.across, make([]answered, len(f.shapes))}
	for i := range f.shapes {
		m.last.shapes[i].sides, m.last.answers[i] = f.shapes[i].sides, f.shapes[i].answered
	}
	if f.o.Within == nil {
		m.all = m.last
	}
}
