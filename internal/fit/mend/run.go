package mend

import (
	"context"
	"math"
	"slices"
	"sync"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// Made is a mend of the job and what became of it.
type Made struct {
	job.Mend
	Item job.ItemID
	// At is the place on the board, where the layer lies now.
	At    geometry.Point
	State State
	// SpotMM is how broad the spot was, and Of what it was cut from: own.Bare for a
	// gap, or when there is no such spot.
	SpotMM float64
	Of     own.Material
	// AreaMM2 is how much of the picture changed hands by it.
	AreaMM2 float64
}

// State is what became of a mend.
type State uint8

const (
	// Done says that the spot was found again and the mend made.
	Done State = iota
	// Lapsed says that no such spot is there any longer, or its layer is gone.
	Lapsed
	// Refused says that the spot is there, but not what the mend asks for, such as a
	// neighbour to give it to.
	Refused
)

// jobMends lists the mends of all items with where they are on the board; false for
// those that are not about a spot of the map: their layer is not there, or they are
// about a thing.
func jobMends(j job.Job, placed []own.Placed) ([]Made, []bool) {
	at := map[job.LayerID]*own.Placed{}
	for i := range placed {
		at[placed[i].Layer.ID] = &placed[i]
	}
	var out []Made
	var there []bool
	for _, it := range j.Items {
		for _, m := range it.Mends {
			p, ok := at[m.Layer]
			made := Made{Mend: m, Item: it.ID, State: Lapsed}
			if ok {
				made.At = p.Transform.Apply(m.At)
			}
			if m.Do.OfThing() && ok {
				// It was made as the layer was drawn.
				for _, t := range p.Mended {
					if t.Mend == m {
						made.State, made.AreaMM2 = Done, t.AreaMM2
						made.SpotMM, made.Of = m.Drawn*math.Sqrt(math.Abs(p.Transform.Det())), own.Material{Colour: p.Layer.Colour}
					}
				}
				ok = false
			}
			out, there = append(out, made), append(there, ok)
		}
	}
	return out, there
}

// nearWidths is how near to a mend, in narrowest widths, its spot is looked for first.
const nearWidths = 0.3

// farWidths is how near it is looked for then.
const farWidths = 1.1

// run makes the job's mends, round by round, and says what became of each.
func (m *mending) run(ctx context.Context, j job.Job) ([]Made, error) {
	return m.runOn(ctx, j, 0, nil)
}

// laidOut is a job on its map, with what became of its mends.
type laidOut struct {
	*mending
	made []Made
}

// layOut makes the mends that a job has.
func layOut(ctx context.Context, j job.Job, known *memory) (*laidOut, error) {
	m, err := startWith(ctx, j, known)
	if err != nil {
		return nil, err
	}
	made, err := m.run(ctx, j)
	return &laidOut{m, made}, err
}

// runOn makes the mends of a round and all later ones; known are those before, which lie
// on the map already. What is kept is looked for last, on what the others have made.
func (m *mending) runOn(ctx context.Context, j job.Job, first int, known map[job.Mend]Made) ([]Made, error) {
	mends, there := jobMends(j, m.placed)
	last := -1
	for i, x := range mends {
		if k, ok := known[x.Mend]; ok && x.Do != job.Keep && int(x.Round) < first {
			mends[i], there[i] = k, false
		}
		if there[i] && x.Do != job.Keep {
			last = max(last, int(x.Round))
		}
	}
	for round := first; round <= last; round++ {
		var now []int
		for i, x := range mends {
			if there[i] && int(x.Round) == round && x.Do != job.Keep {
				now = append(now, i)
			}
		}
		if len(now) == 0 {
			continue
		}
		if err := m.makeRound(ctx, mends, now, j.Settings); err != nil {
			return nil, err
		}
	}
	return mends, m.keep(ctx, mends, there, j.Settings)
}

// makeRound makes the mends of a list that are of one round.
func (m *mending) makeRound(ctx context.Context, mends []Made, now []int, s job.Settings) error {
	spots, err := m.spotsAbout(ctx, mends, now, s)
	if err != nil {
		return err
	}
	laid := len(m.layers)
	err = match(mends, now, spots, s.Narrowest(), func(i int, spot *Spot) error {
		x := &mends[i]
		layers, err := m.layersOf(ctx, spot, x.Mend, s)
		if err != nil {
			return err
		}
		if len(layers) == 0 {
			x.State = Refused
		}
		for _, l := range layers {
			l.mend = i
			m.layers = append(m.layers, l)
		}
		return nil
	})
	if err == nil && len(m.layers) > laid {
		err = m.lay(ctx)
	}
	return err
}

// spotsAbout finds the spots that mends may be about. Nearly always a spot lies where it was.
// Looking further costs more; and where outlines are cut off, a spot that goes on there may
// look like something else, so that at last all are looked for. What is found then hangs on nothing but the job: it is the same
// for who mends all, and knows all spots, as for who opens the job again.
func (m *mending) spotsAbout(ctx context.Context, mends []Made, now []int, s job.Settings) ([]Spot, error) {
	w := s.Narrowest()
	areas := func(within float64) (out []geometry.Rect) {
		for _, i := range now {
			at := mends[i].At
			out = append(out, geometry.Rect{Min: at, Max: at}.Grow(within))
		}
		return out
	}
	for _, within := range [...][]geometry.Rect{areas(nearWidths * w), areas(farWidths * w)} {
		spots, err := m.look(ctx, s, within)
		if err != nil {
			return nil, err
		}
		near := NewFinder(spots)
		if !slices.ContainsFunc(now, func(i int) bool { return near.Again(&mends[i], nearWidths*w) < 0 }) {
			return spots, nil
		}
	}
	return m.spots(ctx, s, nil)
}

// keep finds the spots again that are kept as they are.
func (m *mending) keep(ctx context.Context, mends []Made, there []bool, s job.Settings) error {
	var kept []int
	for i := range mends {
		if there[i] && mends[i].Do == job.Keep {
			kept = append(kept, i)
		}
	}
	if len(kept) == 0 {
		return nil
	}
	// What is kept must be what would be found weak.
	spots, err := m.spots(ctx, s, nil)
	if err != nil {
		return err
	}
	return match(mends, kept, spots, s.Narrowest(), func(int, *Spot) error { return nil })
}

// match finds the spots again that some of the mends are about, each its own, which makes
// them Done.
func match(mends []Made, some []int, spots []Spot, within float64, found func(i int, s *Spot) error) error {
	taken, near := map[int]bool{}, NewFinder(spots)
	for _, i := range some {
		x := &mends[i]
		k := near.Again(x, within)
		if k < 0 || taken[k] {
			continue
		}
		taken[k] = true
		x.State, x.SpotMM, x.Of = Done, spots[k].WidthMM, spots[k].Of
		if err := found(i, spots[k].as(x.Spot)); err != nil {
			return err
		}
	}
	return nil
}

// withoutKept returns which spots no mend keeps. What is of another kind by now is tried again: a pen may have taken the rest of it.
func withoutKept(spots []Spot, kept []Made, s job.Settings) []int {
	keep, near := map[int]bool{}, NewFinder(spots)
	for _, x := range kept {
		if k := near.Nearest(x.At, x.Spot, s.Narrowest()); k >= 0 {
			keep[k] = true
		}
	}
	var open []int
	for k := range spots {
		if !keep[k] {
			open = append(open, k)
		}
	}
	return open
}

// changed returns the area that mends gave to someone else, and how much of it
// nobody has any longer; it adds each mend's share to the list.
func (m *mending) changed(mends []Made) (changed, uncovered float64) {
	for f, was := range m.unmended {
		before, stacked := m.Owner(was)
		after, still := m.Owner(m.Fresh[f])
		if before == after && stacked == still {
			continue
		}
		area := m.Map.AreaMM2(planar.FaceID(f))
		changed += area
		if after == own.Bare {
			uncovered += area
		}
		if k, ok := m.took[m.Map.CoverID(planar.FaceID(f))]; ok && m.layers[k].mend >= 0 {
			mends[m.layers[k].mend].AreaMM2 += area
		}
	}
	return changed, uncovered
}

// Result is what the mends of a job made of its places.
type Result struct {
	*own.Places
	// Made are the mends, in the job's order.
	Made []Made
	// ChangedMM2 is how much of the picture changed hands, and UncoveredMM2 how much
	// of that nobody has any longer.
	ChangedMM2, UncoveredMM2 float64
	// GivenAway are the pieces of the art of which nothing is left.
	GivenAway []GivenAway
}

// Cache remembers mends that were made on a map that is still the same. The zero
// value is ready; it may be used from several goroutines.
type Cache struct {
	mu   sync.Mutex
	last *before
	// answers are what outlines answered when mends were made last, all of them or those of a job, for
	// the one who looks for spots next; nil for nothing.
	answers *weak.Memory
}

// Answers returns what outlines answered when mends were made last, nil where that is not known, and forgets it: it is
// large, and of use to one.
func (c *Cache) Answers() *weak.Memory {
	c.mu.Lock()
	defer c.mu.Unlock()
	answers := c.answers
	c.answers = nil
	return answers
}

type before struct {
	base      *own.Division // the map without mends
	materials []own.Material
	asked     []Made
	limits    [2]float64
	mending   mending
	made      []Made
}

func limitsOf(s job.Settings) [2]float64 { return [2]float64{s.Narrowest(), s.Speck()} }

// changing returns the mends that change anything.
func changing(mends []Made) []Made {
	return slices.DeleteFunc(slices.Clone(mends), func(x Made) bool { return x.Do == job.Keep })
}

// keeping returns what was made, for a list with the same mends in which others say what
// is kept: that is looked for again.
func (b *before) keeping(ctx context.Context, asked []Made, there []bool, s job.Settings) (*before, error) {
	again := &before{b.base, b.materials, asked, b.limits, b.mending, slices.Clone(asked)}
	now := make([]int, len(b.made)) // where each mend stands
	k := 0
	for i, x := range b.made {
		if now[i] = -1; x.Do == job.Keep {
			continue
		}
		for asked[k].Do == job.Keep {
			k++
		}
		now[i], again.made[k] = k, x
		k++
	}
	again.mending.layers = slices.Clone(b.mending.layers)
	for i := range again.mending.layers {
		l := &again.mending.layers[i]
		l.mend = now[l.mend]
	}
	return again, again.mending.keep(ctx, again.made, there, s)
}

// Make makes the mends of a job whose art owns the given places, with chords for
// outlines; curves gives the result the art's own curves. Errors as own.Lay.
func (c *Cache) Make(ctx context.Context, j job.Job, placed []own.Placed, p *own.Places, curves bool) (*Result, error) {
	asked, there := jobMends(j, placed)
	limits := limitsOf(j.Settings)
	c.mu.Lock()
	b := c.last
	c.mu.Unlock()
	if b == nil || b.base != p.Division || b.limits != limits || !slices.Equal(changing(b.asked), changing(asked)) || !slices.Equal(b.materials, p.Materials) {
		m := newMending(p, placed)
		if m.answers = c.Answers(); m.answers == nil {
			m.answers = new(weak.Memory)
		}
		made, err := m.run(ctx, j)
		if err != nil {
			return nil, err
		}
		answers := m.answers
		m.answers = nil // they are large, and the next map is another one
		b = &before{p.Division, p.Materials, asked, limits, *m, made}
		c.mu.Lock()
		c.last, c.answers = b, answers
		c.mu.Unlock()
	}
	if !slices.Equal(b.asked, asked) {
		again, err := b.keeping(ctx, asked, there, j.Settings)
		if err != nil {
			return nil, err
		}
		b = again
		c.mu.Lock()
		c.last = b
		c.mu.Unlock()
	}
	m := b.mending
	m.changedBy = nil
	// By the rules as they are now: names and flags may have changed.
	if err := m.divide(ctx, p.Rules, curves, m.Division); err != nil {
		return nil, err
	}
	out := &Result{Places: m.Places, Made: slices.Clone(b.made)}
	for _, x := range out.Made {
		if x.Do.OfThing() {
			out.ChangedMM2 += x.AreaMM2
		}
	}
	if len(m.layers) == 0 {
		return out, nil
	}
	changed, uncovered := m.changed(out.Made)
	out.ChangedMM2, out.UncoveredMM2 = out.ChangedMM2+changed, uncovered
	var err error
	out.GivenAway, err = m.givenAway(ctx)
	return out, err
}
