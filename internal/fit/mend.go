package fit

import (
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// A mend is made by laying the spot's outline, or what makes it broader, over
// the art as one more layer. Places that it covers change their owner: they are
// never claimed twice, so nothing can come to stack, and only a mend that says
// so leaves a place to nobody.

// MadeMend is a mend of the job and what became of it.
type MadeMend struct {
	job.Mend
	Item job.ItemID
	// At is the place on the board, where the layer lies now.
	At    geometry.Point
	State MendState
	// SpotMM is how broad the spot was, and Separation the index of the one that
	// it belonged to in Plan.Separations: −1 for a gap, or when nothing of that
	// separation is left.
	SpotMM     float64
	Separation int
	// AreaMM2 is how much of the picture changed hands by it.
	AreaMM2 float64

	sep int32
}

// MendState is what became of a mend.
type MendState uint8

const (
	// MendDone: the spot was found again and the mend made.
	MendDone MendState = iota
	// MendLapsed: no such spot is there any longer, or its layer is gone.
	MendLapsed
	// MendRefused: the spot is there, but not what the mend asks for, such as a
	// neighbour to give it to.
	MendRefused
)

// jobMends lists the mends of all items with where they are on the board;
// false for those whose layer is not on the map.
func jobMends(j job.Job, placed []placedLayer) ([]MadeMend, []bool) {
	at := map[job.LayerID]geometry.Affine{}
	for _, p := range placed {
		at[p.layer.ID] = p.transform
	}
	var out []MadeMend
	var there []bool
	for _, it := range j.Items {
		for _, m := range it.Mends {
			t, ok := at[m.Layer]
			made := MadeMend{Mend: m, Item: it.ID, State: MendLapsed, Separation: -1, sep: bare}
			if ok {
				made.At = t.Apply(m.At)
			}
			out, there = append(out, made), append(there, ok)
		}
	}
	return out, there
}

// nearWidths is how near to a mend, in narrowest widths, its spot is looked for first.
const nearWidths = 0.3

// run makes the job's mends, round by round, and says what became of each.
func (m *mending) run(ctx context.Context, j job.Job) ([]MadeMend, error) {
	mends, there := jobMends(j, m.placed)
	last := -1
	for i := range mends {
		if there[i] {
			last = max(last, int(mends[i].Round))
		}
	}
	for round := 0; round <= last; round++ {
		if !slices.ContainsFunc(mends, func(x MadeMend) bool { return int(x.Round) == round }) {
			continue
		}
		// Nearly always the spot lies where it was. Looking further costs more.
		w := j.Settings.Narrowest()
		areas := func(missing []rawSpot, within float64) (out []geometry.Rect) {
			for i := range mends {
				x := &mends[i]
				if there[i] && int(x.Round) == round && (missing == nil || nearestSpot(missing, x.At, x.Spot, nearWidths*w) < 0) {
					out = append(out, geometry.Rect{Min: x.At, Max: x.At}.Grow(within))
				}
			}
			return out
		}
		var spots []rawSpot
		var err error
		if slices.ContainsFunc(mends, func(x MadeMend) bool { return int(x.Round) == round && x.Do == job.Keep }) {
			// What is kept must be what would be found weak.
			spots, err = m.spots(ctx, j.Settings, nil)
		} else if spots, err = m.spotsIn(ctx, j.Settings, areas(nil, nearWidths*w)); err == nil {
			if rest := areas(append([]rawSpot{}, spots...), 1.1*w); len(rest) > 0 {
				spots, err = m.spotsIn(ctx, j.Settings, areas(nil, 1.1*w))
			}
		}
		if err != nil {
			return nil, err
		}
		taken := map[int]bool{}
		laid := len(m.layers)
		for i := range mends {
			x := &mends[i]
			if !there[i] || int(x.Round) != round {
				continue
			}
			k := nearestSpot(spots, x.At, x.Spot, j.Settings.Narrowest())
			if k < 0 || taken[k] {
				continue
			}
			taken[k] = true
			x.SpotMM, x.sep = spots[k].WidthMM, spots[k].sep
			l, ok, err := m.layer(ctx, &spots[k], x.Mend, j.Settings)
			if err != nil {
				return nil, err
			}
			if !ok {
				x.State = MendRefused
				continue
			}
			x.State = MendDone
			if x.Do != job.Keep {
				l.mend = i
				m.layers = append(m.layers, l)
			}
		}
		if len(m.layers) > laid {
			if err := m.lay(ctx, false); err != nil {
				return nil, err
			}
		}
	}
	return mends, nil
}

// changed returns the area that mends gave to someone else, and how much of it
// nobody has any longer; it adds each mend's share to the list.
func (m *mending) changed(mends []MadeMend) (changed, uncovered float64) {
	n := int32(len(m.placed))
	for f, was := range m.unmended {
		is := m.divided.fresh[f]
		if same(m.claims, was, is) {
			continue
		}
		area := m.overlay.m.AreaMM2(planar.FaceID(f))
		changed += area
		if is < 0 || len(m.claims.sets[is]) == 0 {
			uncovered += area
		}
		cover := m.overlay.m.Cover(planar.FaceID(f))
		for i := len(cover) - 1; i >= 0 && cover[i] >= n; i-- {
			if k := m.layers[cover[i]-n].mend; k >= 0 {
				mends[k].AreaMM2 += area
				break
			}
		}
	}
	return changed, uncovered
}

// same reports whether two labels look the same: nothing is cut for either
// None or bare.
func same(c *claims, a, b int32) bool {
	empty := func(l int32) bool { return l < 0 || len(c.sets[l]) == 0 }
	return a == b || empty(a) && empty(b)
}

// mendedBefore remembers mends that were made on a map that is still the same.
type mendedBefore struct {
	base     *divided // the map without mends
	mends    []MadeMend
	settings [2]float64
	mending  mending
	made     []MadeMend
}

// mend makes the job's mends and returns what the plan is built from.
func (c *Cache) mend(ctx context.Context, j job.Job, m *mending, curves bool) (*builder, error) {
	base := m.divided
	asked, _ := jobMends(j, m.placed)
	settings := [2]float64{j.Settings.Narrowest(), j.Settings.Speck()}
	c.mu.Lock()
	before := c.mended
	c.mu.Unlock()
	if before != nil && before.base == base && before.settings == settings && slices.Equal(before.mends, asked) {
		// The rules are new but count separations as they did: colours that
		// only mends ask for come after all others, in the mends' order.
		for _, x := range before.made {
			if x.Do == job.Recolour && x.State != MendLapsed {
				m.rules.named(x.To)
			}
		}
		rules := m.rules
		*m = before.mending
		m.rules = rules
	} else {
		made, err := m.run(ctx, j)
		if err != nil {
			return nil, err
		}
		before = &mendedBefore{base, asked, settings, *m, made}
		c.mu.Lock()
		c.mended = before
		c.mu.Unlock()
	}
	mends := slices.Clone(before.made)
	if curves {
		if err := m.lay(ctx, true); err != nil {
			return nil, err
		}
	}
	b := &builder{job: j, overlay: m.overlay, rules: m.rules, claims: m.claims, divided: m.divided, mends: mends}
	if len(m.layers) > 0 {
		b.mendedMM2, b.uncoveredMM2 = m.changed(mends)
		var err error
		if b.givenAway, err = m.givenAway(ctx); err != nil {
			return nil, err
		}
	}
	return b, nil
}
