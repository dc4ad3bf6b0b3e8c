package weak

import "abut/geometry"

// Memory keeps what the outlines answered when spots were looked for last, for who looks
// again and again while a little changes: only what lies near a side that came or went is
// asked once more. The zero value is ready. One goroutine at a time.
type Memory struct {
	shapes  []shape // with their sides alone
	across  *across
	answers []answered
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
	k := answered{from: make([]int32, len(s.sides))}
	if m == nil || m.across == nil {
		return k
	}
	was := make([]sideID, len(s.sides)) // each side, when it was looked at last
	votes := map[int32]int{}
	base, most := int32(-1), 0
	for i := range s.sides {
		was[i].shape = -1
		if at := *m.across.slot(m.shapes, s.sides[i].a, s.sides[i].b); at > 0 {
			was[i] = m.across.ids[at-1]
			v := votes[was[i].shape] + 1
			if votes[was[i].shape] = v; v > most {
				base, most = was[i].shape, v
			}
		}
	}
	if base < 0 {
		return k
	}
	// A disc of a thin place reaches no further than a width.
	stale, anything := make([]bool, len(s.sides)), false
	changed := func(x *side) {
		if anything = true; g == nil {
			return
		}
		box := geometry.EmptyRect().Include(x.a).Include(x.b).Grow(l.width + l.sample)
		g.within(&g.cells, box, func(id int32) { stale[id] = true })
	}
	before := m.shapes[base].sides
	now := make([]int32, len(before)) // each side of then, plus one
	for i := range s.sides {
		if was[i].shape == base {
			now[was[i].side] = int32(i) + 1
		} else {
			changed(&s.sides[i])
		}
	}
	for i := range before {
		if now[i] == 0 {
			changed(&before[i])
		}
	}
	old := &m.answers[base]
	if len(old.from) == 0 || anything && g == nil {
		return k
	}
	k.all = make([]answer, 0, len(old.all))
next:
	for i := range s.sides {
		if was[i].shape != base || stale[i] {
			continue
		}
		first := len(k.all)
		for _, d := range old.of(was[i].side) {
			if d.fit == pinches || d.t >= 0 && now[d.t] == 0 {
				k.all = k.all[:first]
				continue next
			}
			if d.s = int32(i); d.t >= 0 {
				d.t = now[d.t] - 1
			}
			k.all = append(k.all, d)
		}
		if len(k.all) > first {
			k.from[i] = int32(first + 1)
		}
	}
	return k
}

// keep remembers what was asked this time.
func (m *Memory) keep(f *finder) {
	m.across, m.shapes, m.answers = f.across, make([]shape, len(f.shapes)), make([]answered, len(f.shapes))
	for i := range f.shapes {
		m.shapes[i].sides, m.answers[i] = f.shapes[i].sides, f.shapes[i].answered
	}
}
