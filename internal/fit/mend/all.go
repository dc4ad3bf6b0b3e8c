package mend

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// Why All keeps a spot: ids of sentences.
const (
	// ReasonTooDense: whatever was tried would show, for thin parts lie so close
	// together that making room for one leaves another one thin, or a lump.
	ReasonTooDense = "unmendable-too-dense"
	// ReasonNowhere: nothing lies beside a gap that could close it.
	ReasonNowhere = "unmendable-nowhere"
)

// All returns the job with a mend for every weak spot that has none yet: first
// things are drawn broader or larger, then what is thin all the same is settled
// between the pieces. Spots are given to a neighbour or widened, whichever changes
// less of the picture; gaps are closed, or opened where they nearly are. But for that
// and for tips that are blunted nothing is left bare by it, and no thing is taken from
// the picture or left a rest of (see part). What cannot be mended is kept, with the
// reason. Once more on the result changes nothing.
//
// A mend is tried before it is made: with what must follow it, since a neighbour
// that it makes thin may have room on its other side. It is made when less is left
// to mend around it afterwards (see toDo), and else the next thing is tried that
// could be done about the spot; what takes something from the picture, such as all
// of a small piece, comes last. So thin neighbours cannot take the same place from
// each other in turn, and it ends: what is left falls by stepSquares at least each
// time, and in between only so much can be tried.
//
// done is told the share that is done, from 0 to 1, now and then, with the job as far as
// it is mended; it may be nil.
//
// It is a pure edit: neither the job nor a plan of it is changed. Cost: some
// milliseconds for each thing that is tried, in a window of the picture (see
// thorough for how much), and a pass of Compute and Weak for some dozen rounds.
func All(ctx context.Context, j job.Job, done func(share float64, sofar job.Job)) (job.Job, error) {
	out, shows, things, err := drawn(ctx, j)
	if err != nil {
		return j, err
	}
	drawnAnew := countMends(out) > countMends(j)
	if done != nil && drawnAnew {
		done(0, out)
	}
	before, spent, first, sparing := math.Inf(1), 0, true, true
	var gone []geometry.Rect
	var anew []keptThing
	firm := slices.DeleteFunc(slices.Clone(things), func(k keptThing) bool { return k.anew && !k.dots })
	var s *settler
	for {
		if s, err = startSettling(ctx, &out, s); err != nil {
			return j, err
		}
		s.done, s.spent, s.sparing, s.anew, s.firm = done, &spent, sparing, anew, firm
		s.leave(things)
		if shows != nil {
			// Of the picture as it was drawn, whatever was drawn anew since.
			if first {
				err = shows.forget(ctx, s.mending, nil)
			} else {
				var lost []geometry.Rect
				lost, err = shows.lost(ctx, s.mending, nil)
				s.gone = append(s.gone, lost...)
			}
			if err != nil {
				return j, err
			}
		}
		if !first && s.takes(s.gone, everywhere, gone) {
			// On the whole map, and one after the other, they took more than in windows.
			if out, err = s.without(ctx, out, j, gone); err != nil {
				return j, err
			}
			if s, err = startSettling(ctx, &out, nil); err != nil {
				return j, err
			}
			s.done, s.spent, s.sparing, s.anew, s.firm = done, &spent, sparing, anew, firm
			s.leave(things)
			for _, o := range s.open {
				o.final = true
			}
		}
		gone = s.gone
		for _, o := range s.open {
			o.final = o.final || s.spares(&o.Spot)
		}
		s.total = s.pending()
		left := s.pending()
		if len(s.open) == 0 {
			if first && !drawnAnew {
				return j, nil
			}
			return out, nil
		}
		first = false
		// What was tried in windows may turn out a little otherwise on the whole
		// map: so once more, while that gets any further.
		if left <= before-s.step() {
			if err := s.settle(ctx); err != nil {
				return j, err
			}
		}
		before = left
		if len(s.made) == 0 && sparing {
			// What is left of what someone drew so is mended all the same, if it looks
			// the same but for being broader: better than listed. What was drawn anew may grow to one
			// side besides, and stays as clean as it is. Of several alike none becomes broad by itself.
			sparing, s.sparing = false, false
			anew = slices.DeleteFunc(slices.Clone(things), func(k keptThing) bool { return k.letters || !k.anew && !k.word })
			s.anew = anew
			things = slices.DeleteFunc(things, func(k keptThing) bool { return !k.letters && !k.several })
			s.leave(things)
			for _, o := range s.open {
				o.final = s.spares(&o.Spot)
			}
			before = s.pending()
			s.total = before
			if err := s.settle(ctx); err != nil {
				return j, err
			}
		}
		if len(s.made) == 0 {
			return s.keepRest(out)
		}
		if out, err = s.with(out); err != nil {
			return j, err
		}
	}
}

// with returns the job with the mends that were made.
func (s *settler) with(j job.Job) (_ job.Job, err error) {
	for _, mend := range s.made {
		if j, err = job.AddMend(j, mend); err != nil {
			return j, err
		}
	}
	return j, nil
}

// startSettling makes the mends that a job has, forgets those that lapsed, and
// looks at what is left. What was made for the settler before is not made again.
func startSettling(ctx context.Context, j *job.Job, last *settler) (*settler, error) {
	var m *mending
	var made []Made
	var err error
	if last != nil {
		m = last.mending
		m.layers, m.whole = m.layers[:last.laid], nil
		if err = m.lay(ctx); err == nil {
			made, err = m.runOn(ctx, *j, last.first, last.known)
		}
	} else if m, err = start(ctx, *j); err == nil {
		made, err = m.run(ctx, *j)
	}
	if err != nil {
		return nil, err
	}
	s := &settler{mending: m, settings: j.Settings, laid: len(m.layers)}
	for _, x := range made {
		if x.State == Done && x.Do == job.Keep {
			s.kept = append(s.kept, x)
		}
	}
	if s.gone, err = m.lost(ctx, everywhere); err != nil {
		return nil, err
	}
	spots, err := s.spots(ctx, s.settings, nil)
	if err != nil {
		return nil, err
	}
	for _, k := range withoutKept(spots, s.kept, s.settings) {
		s.open = append(s.open, &openSpot{Spot: spots[k]})
	}
	*j, s.first, s.known = withoutLapsed(*j, made)
	s.job = *j
	return s, nil
}

// withoutLapsed returns the job without the mends that could not be made, and
// how many rounds the others take when none is left out between them: rounds are
// few; and these. What is made stays the same.
func withoutLapsed(j job.Job, made []Made) (job.Job, int, map[job.Mend]Made) {
	done, known := map[job.Mend]Made{}, map[job.Mend]Made{}
	var rounds []uint8
	for _, x := range made {
		if x.State == Done {
			done[x.Mend] = x
			if !x.Do.OfThing() {
				rounds = append(rounds, x.Round)
			}
		}
	}
	slices.Sort(rounds)
	rounds = slices.Compact(rounds)
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		var mends []job.Mend
		for _, m := range j.Items[i].Mends {
			if x, ok := done[m]; ok {
				n, _ := slices.BinarySearch(rounds, m.Round)
				m.Round = uint8(n)
				mends = append(mends, m)
				x.Mend = m
				known[m] = x
			}
		}
		j.Items[i].Mends = mends
	}
	return j, len(rounds), known
}

// leave has the mends leave things as they are, and take nothing from them nor from what is firm.
func (s *settler) leave(things []keptThing) {
	s.things, s.whole = things, make([]bool, len(s.placed))
	for i, p := range s.placed {
		is := func(k keptThing) bool { return k.layer == p.Layer.ID }
		s.whole[i] = slices.ContainsFunc(things, is) || slices.ContainsFunc(s.firm, is)
	}
}

// keepRest keeps what could not be mended, with the reason.
func (s *settler) keepRest(j job.Job) (job.Job, error) {
	out := j
	for _, o := range s.open {
		mend := s.about(&o.Spot, min(s.first, job.MaxRounds-1))
		mend.Do, mend.Reason = job.Keep, ReasonTooDense
		if _, ok := s.target(&o.Spot, job.Mend{Do: job.Give}); !ok && o.Of == own.Bare {
			mend.Reason = ReasonNowhere
		}
		var err error
		if out, err = job.AddMend(out, mend); err != nil {
			return j, err
		}
	}
	return out, nil
}

// settler mends all spots of a map.
type settler struct {
	*mending
	settings job.Settings
	kept     []Made
	first    int // the first round of the new mends
	laid     int // layers of the mends before
	known    map[job.Mend]Made
	done     func(share float64, sofar job.Job)
	job      job.Job // with the mends before

	open []*openSpot
	made []job.Mend
	// areas are where the map was changed by the mends in made.
	areas  []geometry.Rect
	total  float64         // what there was to do in the beginning
	gone   []geometry.Rect // things that mends took away before
	things []keptThing
	spent  *int // edges of the maps of what was tried
	// sparing: what was drawn thin is left alone, see spares.
	sparing bool
	anew    []keptThing // things that were drawn anew, once nothing else is left to do
	firm    []keptThing // lines that stay as they were drawn, and dots that were drawn anew
}

// openSpot is a spot that is not mended yet.
type openSpot struct {
	Spot
	final bool // nothing that was tried makes it any better
}

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
		var cases []solution
		// What becomes broad comes before what is blunted: beside it there is no point any more.
		blunt := func(o *openSpot) int {
			if o.Kind == weak.Point && !blunts(&o.Spot, s.settings.Narrowest()) {
				return 0
			}
			return 1
		}
		slices.SortStableFunc(s.open, func(a, b *openSpot) int {
			return cmp.Or(cmp.Compare(blunt(a), blunt(b)), cmp.Compare(a.AreaMM2, b.AreaMM2))
		})
		for _, o := range s.open {
			if o.final {
				continue
			}
			area := s.areaOf(o)
			if s.roundOf(area) >= job.MaxRounds-maxChain {
				o.final = true
				continue
			}
			if slices.ContainsFunc(cases, func(c solution) bool { return !c.area.Intersect(area).Empty() }) {
				continue // something beside it is being mended: look again afterwards
			}
			c, ok, err := s.solve(ctx, o, area)
			if crowded := (*planar.ComplexityError)(nil); err != nil && !errors.As(err, &crowded) {
				return err
			}
			if err != nil || !ok {
				o.final = true
				continue
			}
			cases = append(cases, c)
		}
		if len(cases) == 0 {
			return nil
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

// areaOf returns where mending a spot may change anything.
func (s *settler) areaOf(o *openSpot) geometry.Rect {
	w := s.settings.Narrowest()
	area := o.Bounds
	if o.whole != nil && math.Abs(o.whole.SignedArea()) < smallSquares*w*w {
		area = area.Union(o.whole.Bounds())
	}
	return area.Grow(reachWidths * w)
}

// commit lays what was found for spots that lie apart on the whole map, and
// looks what became of them.
func (s *settler) commit(ctx context.Context, cases []solution) error {
	laid := len(s.layers)
	for _, c := range cases {
		s.layers = append(s.layers, c.layers...)
	}
	err := s.lay(ctx)
	var spots []Spot
	var lost []geometry.Rect
	if err == nil {
		lost, err = s.lost(ctx, everywhere)
	}
	if err == nil {
		// What was left in the window is left here, but for what it cut off. Where that
		// may be why nothing is gained it is looked at here, too.
		var areas []geometry.Rect
		for i := range cases {
			c := &cases[i]
			if _, before, after := s.became(c, c.spots); after > before-s.step() {
				c.whole = false
			}
			if !c.whole {
				areas = append(areas, c.area)
			}
		}
		if len(areas) > 0 {
			var open []Spot
			for _, o := range s.open {
				open = append(open, o.Spot)
			}
			spots, err = s.spots(ctx, s.settings, withPlaces(areas, open))
		}
	}
	s.layers = s.layers[:laid]
	var crowded *planar.ComplexityError
	if errors.As(err, &crowded) { // none of these, then
		for _, c := range cases {
			c.spot.final = true
		}
		return s.lay(ctx)
	}
	if err != nil {
		return err
	}
	again := false
	for _, c := range cases {
		found := spots
		if c.whole {
			found = c.spots
			s.setWhole(found)
		}
		now, before, after := s.became(&c, found)
		if after > before-s.step() || s.takes(lost, c.area, s.gone) {
			c.spot.final, again = true, true
			continue
		}
		round := s.roundOf(c.area)
		for i, m := range c.mends {
			m.Round = uint8(round + i)
			s.made = append(s.made, m)
			s.areas = append(s.areas, c.area)
		}
		s.layers = append(s.layers, c.layers...)
		s.open = append(slices.DeleteFunc(s.open, func(o *openSpot) bool { return !o.Bounds.Intersect(c.area).Empty() }), now...)
	}
	if again {
		return s.lay(ctx)
	}
	return nil
}

// became returns which of the spots that were found are in the area of what was tried, and
// how much there was to do there before and is now.
func (s *settler) became(c *solution, found []Spot) (now []*openSpot, before, after float64) {
	for _, k := range withoutKept(found, s.kept, s.settings) {
		if p := &found[k]; !p.Bounds.Intersect(c.area).Empty() {
			now = append(now, &openSpot{Spot: *p, final: s.spares(p)})
			after += s.toDo(p, s.settings)
		}
	}
	for _, o := range s.open {
		if !o.Bounds.Intersect(c.area).Empty() {
			before += s.toDo(&o.Spot, s.settings)
		}
	}
	return now, before, after
}

// setWhole gives spots that were found in a window the pieces that they are in.
func (s *settler) setWhole(spots []Spot) {
	for i := range spots {
		p := &spots[i]
		if p.Of == own.Bare {
			continue
		}
		of := &s.Separations[slices.Index(s.Materials, p.Of)]
		for k := range of.Pieces {
			if !of.Pieces[k].Bounds.Contains(p.At) {
				continue
			}
			if o := of.Pieces[k].Outline.Flatten(spotSagittaMM); geometry.NewEnclosure(o).Holds(p.At) {
				p.whole = o
				break
			}
		}
	}
}

// everywhere is where no map ends.
var everywhere = geometry.Rect{Min: geometry.Pt(math.Inf(-1), math.Inf(-1)), Max: geometry.Pt(math.Inf(1), math.Inf(1))}

// takes reports whether anything that lies in an area is among what is lost now and
// was not before.
func (s *settler) takes(lost []geometry.Rect, area geometry.Rect, before []geometry.Rect) bool {
	return slices.ContainsFunc(lost, func(r geometry.Rect) bool {
		return !r.Intersect(area).Empty() && !slices.ContainsFunc(before, func(g geometry.Rect) bool { return same(g, r) })
	})
}

// same reports whether two rectangles are the same but for rounding.
func same(a, b geometry.Rect) bool {
	return a.Grow(own.HealMM).Encloses(b) && b.Grow(own.HealMM).Encloses(a)
}

// without takes back mends that from has not, about what was lost since before.
func (s *settler) without(ctx context.Context, j, from job.Job, before []geometry.Rect) (job.Job, error) {
	made, _ := jobMends(j, s.placed)
	had := map[job.Mend]bool{}
	for _, it := range from.Items {
		for _, m := range it.Mends {
			had[m] = true
		}
	}
	var back []job.Mend
	for _, x := range made {
		at := geometry.Rect{Min: x.At, Max: x.At}.Grow(s.settings.Narrowest())
		if !had[x.Mend] && !x.Do.OfThing() && s.takes(s.gone, at, before) {
			back = append(back, x.Mend)
		}
	}
	return job.ForgetMends(j, back)
}

// roundOf returns the round of a mend in an area: after those that were made
// about it. Mends that have nothing to do with each other share their rounds.
func (s *settler) roundOf(area geometry.Rect) int {
	round := s.first
	for i, a := range s.areas {
		if !a.Intersect(area).Empty() {
			round = max(round, int(s.made[i].Round)+1)
		}
	}
	return round
}
