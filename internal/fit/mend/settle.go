package mend

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/job"
)

// settler mends all spots of a map.
type settler struct {
	*mending
	settings job.Settings
	before   mending // its map as it began
	had      []Made  // the mends on that, in the job's order
	kept     []Made
	first    int // the first round of the new mends
	done     func(share float64, sofar job.Job)
	job      job.Job // with the mends before

	open []*openSpot
	made []job.Mend
	// areas are where the map was changed by the mends in made.
	areas []geometry.Rect
	total float64         // what there was to do in the beginning
	gone  []geometry.Rect // things that mends took away before
	// hidden are places of things that mends took away since, as they were drawn.
	hidden []geometry.Point
	things keptThings
	spent  *int // edges of the maps of what was tried
	// apart is set once a mend was made of a spot that other mends had left: it was found on a part
	// of the map, and may lie a rounding otherwise on all of it. The map is then not quite the job's.
	apart *bool
	// sparing: what was drawn thin is left alone, see spares.
	sparing bool
	anew    keptThings  // things that were drawn anew, once nothing else is left to do
	firm    []keptThing // lines that stay as they were drawn, and dots that were drawn anew
	rounds  []round     // what stays as round as it was drawn
}

// openSpot is a spot that is not mended yet.
type openSpot struct {
	Spot
	final bool // nothing that was tried makes it any better
	waits bool // see pairHalves
	// solved is what was found for it, while nothing has changed about it; nil for nothing.
	solved *solution
}

// goOn lays the job out that the settler's became by the mends that it made: those on its map
// before are not made again.
func (s *settler) goOn(ctx context.Context, j job.Job) (*laidOut, error) {
	m := s.before
	known := map[job.Mend]Made{}
	for _, x := range s.had {
		known[x.Mend] = x
	}
	now := map[job.Mend]int{}
	mends, _ := jobMends(j, m.placed)
	for i, x := range mends {
		now[x.Mend] = i
	}
	m.layers = slices.Clone(m.layers)
	for i := range m.layers {
		m.layers[i].mend = now[s.had[m.layers[i].mend].Mend]
	}
	made, err := m.runOn(ctx, j, s.first, known)
	return &laidOut{&m, made}, err
}

// startSettling forgets those of a job's mends that lapsed, and looks at what is left.
func startSettling(ctx context.Context, j *job.Job, laid *laidOut) (*settler, error) {
	m, made := laid.mending, laid.made
	s := &settler{mending: m, settings: j.Settings}
	var err error
	for _, x := range made {
		if x.State == Done && x.Do == job.Keep {
			s.kept = append(s.kept, x)
		}
	}
	if s.gone, err = m.lost(ctx, everywhere, s.settings); err != nil {
		return nil, err
	}
	spots, err := s.spots(ctx, s.settings, nil)
	if err != nil {
		return nil, err
	}
	for _, k := range withoutKept(spots, s.kept, s.settings) {
		s.open = append(s.open, &openSpot{Spot: spots[k]})
	}
	var now []int
	*j, s.first, s.had, now = withoutLapsed(*j, made)
	for i := range m.layers {
		m.layers[i].mend = now[m.layers[i].mend]
	}
	m.layers = slices.Clip(m.layers)
	s.job, s.before = *j, *m
	return s, nil
}

// withoutLapsed returns the job without the mends that could not be made, how many rounds
// the others take when none is left out between them, for rounds are few, what became of
// them, and where in that list each is. What is made stays the same.
func withoutLapsed(j job.Job, made []Made) (_ job.Job, rounds int, had []Made, now []int) {
	var taken []uint8
	for _, x := range made {
		if x.State == Done && !x.Do.OfThing() {
			taken = append(taken, x.Round)
		}
	}
	slices.Sort(taken)
	taken = slices.Compact(taken)
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		var mends []job.Mend
		for range j.Items[i].Mends {
			x := made[len(now)]
			now = append(now, len(had))
			if x.State == Done {
				n, _ := slices.BinarySearch(taken, x.Round)
				x.Round = uint8(n)
				mends, had = append(mends, x.Mend), append(had, x)
			}
		}
		j.Items[i].Mends = mends
	}
	return j, len(taken), had, now
}

// with returns the job with the mends that were made.
func (s *settler) with(j job.Job) (job.Job, error) { return job.AddMends(j, s.made) }

// pending is what is to do about spots that something can still be tried about.
func (s *settler) pending() float64 {
	sum := 0.0
	for _, o := range s.open {
		if !o.final {
			sum += s.toDo(&o.Spot, s.settings)
		}
	}
	return sum
}

// settle mends until nothing gets any better.
func (s *settler) settle(ctx context.Context) error {
	for {
		cases, err := s.solutions(ctx)
		if err != nil || len(cases) == 0 {
			return err
		}
		if err := s.commit(ctx, cases); err != nil {
			return err
		}
		if s.done != nil && s.total > 0 {
			sofar, err := s.with(s.job)
			if err != nil {
				return err
			}
			s.done(math.Max(0, 1-s.pending()/s.total), sofar)
		}
	}
}

// turningPerMM2 is how much more outlines may turn, in radians, by what is done about a spot for
// each mm² that there is less to do, to be as good.
const turningPerMM2 = 1

const (
	// comparing is how many edges the maps of what is tried may have together, in a call of All, while spots
	// beside each other are compared, of which there are many. Beyond, the smallest is mended first: with as many
	// as the scales of a fish none would be left for the last of them. Fewer are compared to the end.
	comparing = thorough / 3
	many      = 90
)

// compares reports whether there is time to compare spots beside each other.
func (s *settler) compares() bool { return *s.spent <= s.comparing() }

// comparing is up to how many edges there is.
func (s *settler) comparing() int {
	if len(s.open) <= many {
		return thorough
	}
	return comparing
}

// solutions solves the spots that are open, and returns what lies apart: of spots beside each
// other that one is mended first by which outlines turn least for what it mends. So of a vein that
// runs out at the edge of a leaf the end goes, and with it the points of the leaf on both sides of it.
func (s *settler) solutions(ctx context.Context) (cases []solution, _ error) {
	s.sortOpen()
	s.pairHalves()
	known := map[*openSpot]ahead{}
	var found []solution
	stuck := map[*openSpot]geometry.Rect{}
	for i, o := range s.open {
		if o.final || o.waits {
			continue
		}
		area := s.areaOf(o)
		if s.full(area) {
			o.final = true
			continue
		}
		if s.passesOver(area, found) {
			continue
		}
		if err := s.solveNext(ctx, s.open[i:], found, known); err != nil {
			return nil, err
		}
		if o.solved != nil {
			found = append(found, *o.solved)
		} else {
			stuck[o] = area
		}
	}
	slices.SortStableFunc(found, func(a, b solution) int {
		return cmp.Or(compareBool(waits(&a, found), waits(&b, found)), cmp.Compare(a.bends-turningPerMM2*a.gain, b.bends-turningPerMM2*b.gain))
	})
	var taken []geometry.Rect // by cases, and by what waits to become one
	for _, c := range found {
		if c.spot.solved = nil; reaches(c.area, taken) {
			continue
		}
		taken = append(taken, c.area)
		// What was found for its mirror image is tried on it first, next time.
		if !slices.ContainsFunc(cases, func(d solution) bool { return s.strays(&c, &d) }) {
			cases = append(cases, c)
		}
	}
	// What lies beside something that is being mended is looked at again afterwards.
	for o, area := range stuck {
		o.final = !reaches(area, taken)
	}
	return cases, nil
}

// full reports whether there are no rounds left for mends in an area.
func (s *settler) full(area geometry.Rect) bool { return s.roundOf(area) >= job.MaxRounds-maxChain }

// passesOver reports whether what lies in an area waits for what was found for others: see comparing.
func (s *settler) passesOver(area geometry.Rect, found []solution) bool {
	return !s.compares() && slices.ContainsFunc(found, func(c solution) bool { return !c.area.Intersect(area).Empty() })
}

// ahead is what was found for a spot before its turn came, when so much was spent, and what that took.
type ahead struct {
	solved      *solution
	from, spent int
}

// holds reports whether the same is found for it once so much is spent: what is tried hangs on that only where it
// comes to a limit.
func (a ahead) holds(spent int) bool {
	return spent == a.from || spent <= most && (a.from > thorough || spent+a.spent <= thorough)
}

// solveNext solves the first of the spots that are left, and side by side with it others, for which it is then known what
// is found. What is found is as one after the other.
func (s *settler) solveNext(ctx context.Context, left []*openSpot, found []solution, known map[*openSpot]ahead) error {
	o := left[0]
	if _, ok := known[o]; !ok && o.solved == nil {
		if err := s.solveAhead(ctx, s.nextFew(left, found, known), known); err != nil {
			return err
		}
	}
	if a := known[o]; o.solved == nil && a.holds(*s.spent) {
		*s.spent += a.spent
		o.solved = a.solved
		return nil
	}
	return s.solveOnce(ctx, o, s.areaOf(o))
}

// nextFew returns the first of the spots that are left, and others that are solved side by side with it: as far as one can tell
// before anything is found for it, they will not be passed over for its sake.
func (s *settler) nextFew(left []*openSpot, found []solution, known map[*openSpot]ahead) (some []*openSpot) {
	short := *s.spent > s.comparing()/2
	for _, o := range left {
		if len(some) == parallel.Workers {
			break
		}
		if _, is := known[o]; is || o.final || o.waits || o.solved != nil {
			continue
		}
		area := s.areaOf(o)
		if s.full(area) || s.passesOver(area, found) {
			continue
		}
		if !short || !slices.ContainsFunc(some, func(p *openSpot) bool { return !s.areaOf(p).Intersect(area).Empty() }) {
			some = append(some, o)
		}
	}
	return some
}

// solveAhead solves spots side by side, each as if it were the next, and leaves them open.
func (s *settler) solveAhead(ctx context.Context, some []*openSpot, known map[*openSpot]ahead) error {
	spent, errs := make([]int, len(some)), make([]error, len(some))
	err := parallel.Do(ctx, len(some), func(i int) {
		one := *s
		spent[i], one.spent = *s.spent, &spent[i]
		errs[i] = one.solveOnce(ctx, some[i], s.areaOf(some[i]))
	})
	if err = cmp.Or(append(errs, err)...); err != nil {
		return err
	}
	for i, o := range some {
		known[o] = ahead{o.solved, *s.spent, spent[i] - *s.spent}
		o.solved = nil
	}
	return nil
}

// solveOnce solves a spot, unless that was done and nothing has changed about it since.
func (s *settler) solveOnce(ctx context.Context, o *openSpot, area geometry.Rect) error {
	if o.solved != nil {
		return nil
	}
	c, ok, err := s.solve(ctx, o, area)
	if crowded := (*planar.ComplexityError)(nil); err != nil && !errors.As(err, &crowded) {
		return err
	}
	if err == nil && ok {
		o.solved = &c
	}
	return nil
}

// sortOpen puts the smallest spots first. What becomes broad comes before what is blunted:
// beside it there is no point any more.
func (s *settler) sortOpen() {
	blunt := make(map[*openSpot]bool, len(s.open)) // each is asked once: it may take going round its piece
	for _, o := range s.open {
		blunt[o] = o.Kind != weak.Point || blunts(&o.Spot, s.settings.Narrowest())
	}
	slices.SortStableFunc(s.open, func(a, b *openSpot) int {
		return cmp.Or(compareBool(blunt[a], blunt[b]), cmp.Compare(a.AreaMM2, b.AreaMM2))
	})
}

// areaOf returns where mending a spot may change anything.
func (s *settler) areaOf(o *openSpot) geometry.Rect {
	w := s.settings.Narrowest()
	area := o.Bounds
	if o.whole != nil && o.pieceMM2() < smallSquares*w*w {
		area = area.Union(o.whole.Bounds())
	}
	return area.Grow(reachWidths * w)
}

// waits reports whether one of what was found is done after the others: an end that goes to what is
// larger and made broad beside it, as the corner of a neck goes to the shade that ends there. Once that is broad
// there may be no such end any more, and given away before it leaves a step.
func waits(c *solution, found []solution) bool {
	given := c.mends[0]
	if given.Do != job.Give || hair(&c.spot.Spot) {
		return false
	}
	return slices.ContainsFunc(found, func(o solution) bool {
		return o.spot != c.spot && o.spot.AreaMM2 > c.spot.AreaMM2 && o.mends[0].Do == job.Widen && o.spot.Of != c.spot.Of && !o.spot.Bounds.Intersect(c.spot.Bounds).Empty() &&
			c.spot.along(o.spot.Of) > endsShare && (!given.Chosen || given.To == o.spot.Of.Colour)
	})
}

// compareBool orders false before true.
func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}
