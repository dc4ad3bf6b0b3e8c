package mend

import (
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// mostTries is how many things are tried about a thing.
const mostTries = 4

type drawer struct {
	job      job.Job
	settings job.Settings
	picture  *picture
	things   map[job.LayerID]*thing.Finder
	tries    int
	kept     []keptThing
	figures  bool // what is no line, dot or letter too
	// anew are things that were drawn anew.
	anew map[thingKey]bool
	// failed are things about which nothing was any good, and nothing has changed since.
	failed map[thingKey]bool
	known  *memory
	// now is the job laid out, nil where that was not done yet, and spots are those that
	// nobody keeps there.
	now   *laidOut
	spots []Spot
}

func newDrawer(j job.Job, known *memory) *drawer {
	return &drawer{job: j, settings: j.Settings, things: map[job.LayerID]*thing.Finder{}, anew: map[thingKey]bool{}, failed: map[thingKey]bool{}, known: known}
}

// keptThing is a line, lettering or a dot that was drawn anew or by a pen: mends of spots
// leave it as clean as it is. What they fill about it would make lumps of it.
type keptThing struct {
	layer   job.LayerID
	of      own.Material
	areas   []geometry.Rect
	word    bool // its spaces are as much of it as what is cut
	letters bool // they keep their points
	// anew: it was drawn anew and not only left as it is.
	anew bool
	dots bool // they stay as round as they are
	// several: they are alike, and stay so.
	several bool
	// star: they are the points of one piece, and may be blunted, all alike.
	star bool
	// needles: they are rays with straight sides, and may become broader as tapered says, all or none.
	needles bool
	// high is how high the highest letter is, in mm, or how broad if that is less: of what an underline joins all is one.
	high float64
}

// crumbSquares is how large, in squares of the narrowest width, a spot may be that
// such a thing takes in: the corner between two lines.
const crumbSquares = 0.15

// hardlyThin is how broad, in narrowest widths, a space beside dashes is at least that is opened all
// the same: so little shows nowhere.
const hardlyThin = 0.95

// besideShare is the share of its border from which on a spot lies beside a thing: what runs
// along a line on one side has nearly half of it there. What only ends at one may be mended.
const besideShare = 0.25

// spares reports whether a spot that a thing reaches is to be left as it is for its sake.
func (k *keptThing) spares(s *Spot, w float64) bool {
	if k.star || k.needles && s.Kind == weak.Point {
		return false
	}
	if !k.letters && loose(s, w) {
		return false
	}
	if k.anew && k.several && s.Kind != weak.Speck && s.WidthMM > hardlyThin*w {
		return false
	}
	if k.notch(s, w) {
		return false
	}
	return k.of == s.Of || s.along(k.of) > besideShare && (k.word || s.AreaMM2 > crumbSquares*w*w)
}

const (
	// notchWidth is how broad, in narrowest widths, what lies in a notch is at most on average: of one with straight sides it
	// is nearly half.
	notchWidth = 0.49
	// notchShare is how long it is at most, in the height of the highest letter: chosen by eye, on names of 8 to 14 mm in three
	// faces. At half of the height a 6 was closed.
	notchShare = 0.22
)

// notch reports whether a spot ends in a notch of a letter, such as where the arch of an r leaves its stem, or is a corner of
// one, such as of the arm of a k. It may be blunted: so little of a letter's corners is filled or lost by it that nobody sees
// it. A round one, as between the arch of an a and its bowl, is part of its shape, and so is what reaches far into a small letter.
func (k *keptThing) notch(s *Spot, w float64) bool {
	if !k.letters || !k.word || s.Kind != weak.Point || len(s.Neighbours) != 1 || k.of != s.Of && s.Neighbours[0].Of != k.of {
		return false
	}
	return s.WidthMM < notchWidth*w && s.LengthMM <= notchShare*k.high && blunts(s, w)
}

const (
	// gainShare is how much of what there was to do may be left of it when a thing is
	// drawn anew: less of a gain is not worth another look of the drawing.
	gainShare = 0.75
	// mostGrown is how many times what is to do about it a thing may grow by, and a
	// square of the narrowest width: lines of a third of that become three times as
	// broad.
	mostGrown = 4
	// freshShare is how much what becomes thin beside a thing counts of what there is
	// to do about it: a space that is narrower than before is still the space.
	freshShare = 0.5
	// goodShare is how little may be left for nothing else to be tried that changes
	// more of the look.
	goodShare = 0.1
)

// pass tries what can be done about all things with spots, and reports whether
// anything was.
func (d *drawer) pass(ctx context.Context) (bool, error) {
	if err := d.lookNow(ctx); err != nil {
		return false, err
	}
	m, before := d.now.mending, indexSpots(d.spots)
	all, err := d.attempts(ctx, m, d.spots)
	attempts := slices.DeleteFunc(slices.Clone(all), func(a *attempt) bool {
		return len(a.options) == 0 && !a.pen || d.failed[a.key()] || a.before.own == 0 && d.anew[a.key()]
	})
	if err != nil {
		return false, err
	}
	var chosen []*attempt
	if d.figures { // nothing else is drawn anew afterwards
		defer func() { d.leave(all, chosen) }()
	}
	if len(attempts) == 0 {
		return false, nil
	}
	if err := d.picture.forget(ctx, m, attempts); err != nil {
		return false, err
	}
	if err := d.picture.outline(ctx, m); err != nil {
		return false, err
	}
	defer func() { d.remember(attempts, chosen) }()
	if err := d.tryAll(ctx, attempts, before); err != nil {
		return false, err
	}
	if chosen, err = d.choose(ctx, all, attempts, before); err != nil {
		return false, err
	}
	alone, err := d.alone(ctx, all, attempts, chosen)
	chosen = append(chosen, alone...)
	return len(chosen) > 0, err
}

// trial is a job in which something is tried.
type trial struct {
	job    job.Job
	laid   *laidOut
	spots  []Spot          // about what is tried
	lost   []geometry.Rect // things about it that do not show any more
	sheets sheets
}

// try lays out a job in which something is tried.
func (d *drawer) try(ctx context.Context, j job.Job, about []*attempt) (*trial, error) {
	laid, spots, err := d.look(ctx, j, about)
	if err != nil {
		return nil, err
	}
	lost, err := d.picture.lost(ctx, laid.mending, about)
	if err != nil {
		return nil, err
	}
	all, err := laid.enclosed(ctx)
	return &trial{j, laid, spots, lost, all}, err
}

// judge judges option n of an attempt by a trial that it is part of.
func (d *drawer) judge(t *trial, a *attempt, n int, before *spotIndex) (left todo, ok bool) {
	left, ok = a.judge(t.laid.mending, d.picture, before, t.spots, t.lost, a.options[n], d.settings)
	w := d.settings.Narrowest()
	return left, ok && !d.picture.crowds(t.laid.mending, t.sheets, a, a.options[n], w) && !d.picture.emerges(t.sheets, a, a.options[n], w) &&
		!d.picture.strays(a, t.laid.mending, w) && !d.picture.eaten(t.laid.mending, t.sheets, a, t.spots) && !a.fills(t.laid.mending, t.sheets, before, w)
}

// tryAll tries the options of all attempts, the first of each together, then the second, and
// finds the best of each.
func (d *drawer) tryAll(ctx context.Context, attempts []*attempt, before *spotIndex) error {
	sets := together(attempts)
	for n := range d.tries {
		j := d.job
		var tried []*attempt
		for _, set := range sets {
			if !slices.ContainsFunc(set, (*attempt).wants) {
				continue
			}
			for _, a := range set {
				if n < len(a.options) {
					j, tried = a.with(j, n), append(tried, a)
				}
			}
		}
		if len(tried) == 0 {
			return nil
		}
		t, err := d.try(ctx, j, tried)
		if err != nil {
			return err
		}
		for _, a := range tried {
			if left, ok := d.judge(t, a, n, before); ok {
				a.good[n] = left
			}
		}
		for _, set := range sets {
			prefer(set)
		}
	}
	return nil
}

// choose makes the best of all attempts that are good together: what is best by itself need
// not be so beside the others. On an error it returns those that it came to.
func (d *drawer) choose(ctx context.Context, all, attempts []*attempt, before *spotIndex) ([]*attempt, error) {
	chosen := alike(all, slices.DeleteFunc(slices.Clone(attempts), func(a *attempt) bool { return a.best < 0 || !a.gains(a.left) }))
	for range mostVerified {
		if len(chosen) == 0 {
			break
		}
		j := d.job
		for _, a := range chosen {
			j = a.with(j, a.best)
		}
		t, err := d.try(ctx, j, chosen)
		if err != nil {
			return chosen, err
		}
		good := alike(all, slices.DeleteFunc(slices.Clone(chosen), func(a *attempt) bool {
			left, ok := d.judge(t, a, a.best, before)
			return !ok || !a.gains(left)
		}))
		if len(good) == len(chosen) {
			d.job, d.now = t.job, t.laid
			break
		}
		chosen = good
	}
	return chosen, nil
}

// remember keeps what a pass has drawn anew, or what a pen drew, from mends of spots, and what
// about nothing was any good and nothing has changed from the next pass.
func (d *drawer) remember(attempts, chosen []*attempt) {
	for _, a := range attempts {
		if anew := slices.Contains(chosen, a); a.pen || anew {
			d.kept = append(d.kept, keptThing{
				layer: a.layer, of: a.of, areas: a.areas, word: a.moves, letters: a.letters(), anew: anew, dots: a.dots,
				several: len(a.members) > 1 && (!anew || a.dashes), high: a.high(),
			})
		}
		d.anew[a.key()] = d.anew[a.key()] || slices.Contains(chosen, a)
		d.failed[a.key()] = !slices.ContainsFunc(chosen, func(c *attempt) bool {
			return c != a && slices.ContainsFunc(a.areas, func(r geometry.Rect) bool { return reaches(r, c.areas) })
		})
	}
}

// leave keeps small things that go with each other as they were drawn, where they could not be drawn anew: mends of
// spots would make some of them larger, and join others.
func (d *drawer) leave(all, chosen []*attempt) {
	for _, a := range all {
		if a.small && !slices.Contains(chosen, a) && slices.ContainsFunc(all, func(b *attempt) bool { return a != b && b.small && a.goesWith(b) }) {
			d.kept = append(d.kept, keptThing{layer: a.layer, of: a.of, areas: a.areas, letters: true, several: true})
		}
	}
}

const (
	// mostVerified is how often things that do not go together are dropped.
	mostVerified = 4
	// mostAlone is how many things are tried by themselves, and twoOptions how much
	// about each: each takes a look at the whole picture.
	mostAlone  = 2
	twoOptions = 2
)

// alone tries things by themselves that were no good among all others.
func (d *drawer) alone(ctx context.Context, all, attempts, chosen []*attempt) (good []*attempt, _ error) {
	if d.tries < mostTries { // each takes a look at a large map
		return nil, nil
	}
	w := d.settings.Narrowest()
	left := mostAlone
	for _, a := range attempts {
		if slices.Contains(chosen, a) || slices.ContainsFunc(all, func(b *attempt) bool { return a != b && a.goesWith(b) }) ||
			len(a.options) == 0 || a.before.all() < freshShare*w*w {
			continue
		}
		if left == 0 {
			break
		}
		left--
		if err := d.lookNow(ctx); err != nil {
			return good, err
		}
		if err := d.picture.forget(ctx, d.now.mending, attempts); err != nil {
			return good, err
		}
		made, err := d.byItself(ctx, a)
		if err != nil {
			return good, err
		}
		if made {
			good = append(good, a)
		}
	}
	return good, nil
}

// byItself makes the first of the options of a thing that is good, and reports whether one is.
func (d *drawer) byItself(ctx context.Context, a *attempt) (bool, error) {
	before := indexSpots(d.spots)
	for n := range min(twoOptions, len(a.options)) {
		t, err := d.try(ctx, a.with(d.job, n), []*attempt{a})
		if err != nil {
			return false, err
		}
		if left, ok := d.judge(t, a, n, before); ok && a.gains(left) {
			d.job, d.now, a.best = t.job, t.laid, n
			return true, nil
		}
	}
	return false, nil
}

// with returns the job with option n of an attempt, which is tried from now on.
func (a *attempt) with(j job.Job, n int) job.Job {
	a.trying = a.options[n]
	return with(j, a.trying)
}

// with returns the job with mends of things.
func with(j job.Job, mends []job.Mend) job.Job {
	for _, m := range mends {
		if out, err := job.AddMend(j, m); err == nil { // else the layer is not there
			j = out
		}
	}
	return j
}

// lookNow lays the job out as it is by now, where that was not done before, and finds its
// spots.
func (d *drawer) lookNow(ctx context.Context) (err error) {
	if d.now == nil {
		if d.now, err = layOut(ctx, d.job, d.known); err != nil {
			return err
		}
	}
	d.spots, err = d.open(ctx, d.now, nil)
	return err
}

// look lays a job out in which something is tried, and finds the spots about that.
func (d *drawer) look(ctx context.Context, j job.Job, about []*attempt) (*laidOut, []Spot, error) {
	laid, err := layOut(ctx, j, d.known)
	if err != nil {
		return nil, nil, err
	}
	var areas []geometry.Rect
	for _, a := range about {
		areas = append(areas, a.areas...)
	}
	spots, err := d.open(ctx, laid, withPlaces(areas, d.spots))
	if err == nil {
		err = laid.simplify(ctx)
	}
	return laid, spots, err
}

// open finds the spots that nobody keeps: all of them, or those that reach into some areas.
func (d *drawer) open(ctx context.Context, laid *laidOut, areas []geometry.Rect) ([]Spot, error) {
	all, err := laid.spots(ctx, d.settings, areas)
	if err != nil {
		return nil, err
	}
	var kept []Made
	for _, x := range laid.made {
		if x.State == Done && x.Do == job.Keep {
			kept = append(kept, x)
		}
	}
	var open []Spot
	for _, k := range withoutKept(all, kept, d.settings) {
		open = append(open, all[k])
	}
	return open, nil
}
