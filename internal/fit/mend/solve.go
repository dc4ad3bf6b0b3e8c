package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// solution is what mends a spot: mends that follow each other, for one may make
// a neighbour thin that has room on its other side.
type solution struct {
	spot   *openSpot
	area   geometry.Rect
	mends  []job.Mend
	layers []layer
	spots  []Spot // that are left in the area
	// whole: none of them is cut off at the side of the window.
	whole bool
	// bends is how much more outlines turn by it, in radians, and gain how much less there is
	// to do, in mm².
	bends, gain float64
}

const (
	// reachWidths is how far around a spot, in narrowest widths, its mends may
	// change anything.
	reachWidths = 1.75
	// marginWidths is how much further what is looked at reaches: where it ends
	// outlines are cut off, which makes spots of its own there.
	marginWidths = 1.5
	// maxChain is how many mends may follow each other.
	maxChain = 4
)

// mostTimes is how many times what is to do about a spot a mend may change, and
// a square of the narrowest width.
const mostTimes = 2

const (
	// thorough is how many edges the maps of what is tried may have together, in a
	// call of MendAll: some seconds. Beyond, no mends follow each other any more,
	// and only the first few options are tried; beyond most nothing is tried.
	thorough = 120_000
	most     = 180_000
	// fewOptions are then left.
	fewOptions = 3
)

// roundingMM2 is how far sums of areas, in mm², may differ by rounding: what lies beside a mend is laid anew with it.
const roundingMM2 = 5e-4

// stepSquares, in squares of the narrowest width, is by how much a mend must lessen
// what is left to do.
const stepSquares = 0.02

func (s *settler) step() float64 {
	w := s.settings.Narrowest()
	return stepSquares * w * w
}

// state is a window with the mends that are tried there.
type state struct {
	mends  []job.Mend
	layers []layer // of the whole map
	spots  []Spot  // that reach into the area
	left   float64 // what is to do about them
	lost   int     // things that are not there any more
	bends  float64 // how much more outlines turn than in the beginning, in radians
	edge   float64 // see edgeMoved
}

// solver tries what can be done about one spot.
type solver struct {
	*mending // a window
	settings job.Settings
	kept     []Made
	area     geometry.Rect
	laid     int // mends that were there before
	spent    *int
	start    state
	before   geometry.Path // outlines of the start
	// strict: someone drew the spot so, and it keeps its corners.
	strict bool
	rounds []round // in the window
}

// solve looks for mends of a spot that leave less to do around it; false when
// there are none.
func (s *settler) solve(ctx context.Context, o *openSpot, area geometry.Rect) (solution, bool, error) {
	if *s.spent > most {
		return solution{}, false, nil
	}
	v, err := s.solver(ctx, o, area)
	if err != nil {
		return solution{}, false, err
	}
	about := &problem{spot: &o.Spot, own: s.toDo(&o.Spot, s.settings), clean: s.clean(&o.Spot)}
	if !slices.ContainsFunc(v.start.spots, func(p Spot) bool { return p.Of == o.Of && !p.Bounds.Intersect(o.Bounds).Empty() }) {
		// As broad as it must be to within rounding, it is not found again here.
		v.start.left += about.own
	}
	best, err := s.halved(ctx, v, about)
	if best == nil && err == nil {
		best, err = s.best(ctx, v, about)
	}
	if err != nil || best == nil {
		return solution{}, false, err
	}
	w := s.settings.Narrowest()
	whole := !slices.ContainsFunc(best.spots, func(p Spot) bool { return !area.Grow(w).Encloses(p.Bounds) })
	return solution{o, area, best.mends, best.layers, best.spots, whole, best.bends, v.start.left - best.left}, true, nil
}

// solver cuts a window out of the map and looks at what is there.
func (s *settler) solver(ctx context.Context, o *openSpot, area geometry.Rect) (*solver, error) {
	m, err := s.window(ctx, area.Grow(marginWidths*s.settings.Narrowest()))
	if err != nil {
		return nil, err
	}
	v := &solver{mending: m, settings: s.settings, kept: s.kept, area: area, laid: len(m.layers), spent: s.spent, strict: !s.sparing && !s.crumb(&o.Spot)}
	for _, r := range s.rounds {
		if !r.bounds.Intersect(v.around()).Empty() {
			v.rounds = append(v.rounds, r)
		}
	}
	if err := v.look(ctx, &v.start); err != nil {
		return nil, err
	}
	lost, err := v.lost(ctx, v.around(), v.settings)
	if err != nil {
		return nil, err
	}
	v.start.lost = len(lost)
	v.before, err = v.outlines(ctx)
	return v, err
}

// best tries what may be done about a spot in a window, and returns the best state (see
// better) up to the first clean one in which nothing is left of it, or that which was good for the mirror image of the
// spot; nil where none is better than the start.
func (s *settler) best(ctx context.Context, v *solver, p *problem) (best *state, _ error) {
	options, hard := s.allowed(p)
	options, hard, twin := s.twinFirst(p.spot, options, hard)
	for i, mend := range options {
		if i == hard && best != nil || *s.spent > thorough && i >= fewOptions {
			break
		}
		// On the whole map: a spot may reach out of the window.
		l, err := s.layersOf(ctx, p.spot, mend, s.settings)
		if err != nil {
			return nil, err
		}
		next, err := v.goodTry(ctx, p, mend, l)
		if err != nil {
			return nil, err
		}
		if next == nil {
			continue
		}
		best = v.better(best, next, p)
		if v.solves(best, p) && (twin && i == 0 || v.enough(best)) {
			return best, nil
		}
	}
	return best, nil
}

// enough reports whether nothing else need be tried than what leads to a state: outlines hardly turn more in it and no more of the
// picture's edge moves, or a point stays one; or too much was tried.
func (v *solver) enough(s *state) bool {
	w := v.settings.Narrowest()
	return staysPointed(s.mends[0]) || s.bends <= cleanTurning && s.edge <= v.start.edge+stepSquares*w*w || *v.spent > thorough
}

// halved gives the end of a half to the other one, in a straight line where both are broad enough; nil where that is no
// good, or it is no half.
func (s *settler) halved(ctx context.Context, v *solver, p *problem) (*state, error) {
	if p.spot.half == nil {
		return nil, nil
	}
	mend := s.about(p.spot, 0)
	mend.Do, mend.To, mend.Chosen, mend.WidthMM = job.Give, p.spot.half.Colour, true, halfCut*s.settings.Narrowest()
	l, err := s.layersOf(ctx, p.spot, mend, s.settings)
	if err != nil {
		return nil, err
	}
	next, err := v.goodTry(ctx, p, mend, l)
	if err != nil || next == nil || next.left > v.start.left-s.step() {
		return nil, err
	}
	return next, nil
}

const (
	// cleanTurning is how much more outlines may turn by what is done about a spot, in radians,
	// for nothing else to be tried.
	cleanTurning = math.Pi / 4
	// cleanerBy is how much less they must turn for something to be done that is liked less.
	cleanerBy = math.Pi / 8
)

// solves reports whether nothing is left of a spot in a state; nil is none.
func (v *solver) solves(s *state, p *problem) bool {
	return s != nil && s.left <= math.Max(0, v.start.left-p.own)+roundingMM2 // in the window it may be a little smaller
}

// asMuchSquares is, in squares of the narrowest width, by how much what is left to do may differ in states that are as good:
// where two points meet each ends a little elsewhere once something is done about the other.
const asMuchSquares = 0.004

// better returns which of two states is to be made, of which the first, which may be nil, was liked
// better: of two in which nothing is left of the spot the one by which outlines turn less, as long
// as it moves no more of the picture's edge, or the one that moves less of that, if it is as clean; else
// the one with the least left to do, of two with as much the one by which outlines turn less; nil where that is no less than
// in the beginning.
func (v *solver) better(best, next *state, p *problem) *state {
	w := v.settings.Narrowest()
	step := stepSquares * w * w
	switch {
	case v.solves(next, p):
		if !v.solves(best, p) || next.bends < best.bends-cleanerBy && next.edge <= best.edge+step ||
			next.edge < best.edge-step && next.bends <= math.Max(best.bends, 0)+cleanTurning {
			return next
		}
	case v.solves(best, p):
	case next.left < v.start.left-step && (best == nil || less(next, best, asMuchSquares*w*w)):
		return next
	}
	return best
}

// less reports whether a state leaves less to do than another one, or by which outlines turn less if it is as much.
func less(next, best *state, asMuch float64) bool {
	if math.Abs(next.left-best.left) > asMuch {
		return next.left < best.left
	}
	return next.bends < best.bends-cleanerBy
}

// goodTry tries a mend of the spot, with what must follow it; nil when it may not be, or
// leaves something thinner than it was.
func (v *solver) goodTry(ctx context.Context, p *problem, mend job.Mend, l []layer) (*state, error) {
	if len(l) == 0 {
		return nil, nil
	}
	next, err := v.try(ctx, &v.start, p.spot, mend, l)
	if err != nil || next == nil {
		return nil, err
	}
	w := v.settings.Narrowest()
	if !p.clean && !straightCut(mend, w) && next.left < v.start.left+w*w && *v.spent <= thorough {
		if next, err = v.follow(ctx, next, v.start.left-p.own); err != nil {
			return nil, err
		}
	}
	if v.thins(next) || p.clean && v.eats(next, p.spot.Of) {
		return nil, nil
	}
	return next, nil
}

// thinnerTimes is how many times as broad as it was something must stay.
const thinnerTimes = 0.75

// thins reports whether in a state something is left much thinner than it was: so a
// mast would become a hair beside a space that was made broad.
func (v *solver) thins(s *state) bool {
	w := v.settings.Narrowest()
	for i := range s.spots {
		p := &s.spots[i]
		if p.Kind == weak.Speck || p.Kind == weak.Point || p.AreaMM2 < crumbSquares*w*w {
			continue // a point's width is a mean
		}
		was := w
		for k := range v.start.spots {
			if q := &v.start.spots[k]; q.Of == p.Of && q.Kind != weak.Speck && !q.Bounds.Intersect(p.Bounds).Empty() {
				was = math.Min(was, q.WidthMM)
			}
		}
		if p.WidthMM < thinnerTimes*was {
			return true
		}
	}
	return false
}

// eats reports whether a state takes from what is thin, of another material, and stays so: a
// long line is as thin as ever where it becomes a hair.
func (v *solver) eats(s *state, grows own.Material) bool {
	w := v.settings.Narrowest()
	for i := range v.start.spots {
		p := &v.start.spots[i]
		if p.Of == grows || p.Of == own.Bare {
			continue
		}
		left := 0.0
		for k := range s.spots {
			if q := &s.spots[k]; q.Of == p.Of && !q.Bounds.Intersect(p.Bounds).Empty() {
				left += q.AreaMM2
			}
		}
		if left > 0 && left < p.AreaMM2-stepSquares*w*w {
			return true
		}
	}
	return false
}

// follow mends what a mend has made weak, the largest first, while there is less
// left to do each time.
func (v *solver) follow(ctx context.Context, from *state, goal float64) (*state, error) {
	for len(from.mends) < maxChain && from.left > goal+roundingMM2 {
		spot := v.fresh(from)
		if spot == nil {
			return from, nil
		}
		better, err := v.next(ctx, from, spot, goal)
		if err != nil {
			return from, err
		}
		if better == nil || better.left >= from.left-roundingMM2 {
			return from, nil
		}
		from = better
	}
	return from, nil
}

// next returns the best of what a mend of a spot makes of a state, within the area; nil where
// none may be made.
func (v *solver) next(ctx context.Context, from *state, spot *Spot, goal float64) (better *state, _ error) {
	outside := func(l layer) bool { return !v.area.Encloses(l.path.Bounds().Intersect(v.page)) }
	mended := max(goal, from.left-v.toDo(spot, v.settings)) + roundingMM2
	options, hard := v.remedies(spot, v.settings)
	given := v.gaveMost(spot)
	for _, mend := range v.frontLast(spot, options, hard, v.settings.Narrowest())[:hard] {
		if mend.Do == job.Widen && (given || mend.Whole || mend.Smooth) || straightCut(mend, v.settings.Narrowest()) {
			continue // to draw the outline of a whole piece takes longer than all else that may follow
		}
		l, err := v.layersOf(ctx, spot, mend, v.settings)
		if err != nil {
			return nil, err
		}
		if len(l) == 0 || slices.ContainsFunc(l, outside) {
			continue
		}
		next, err := v.try(ctx, from, spot, mend, l)
		if err != nil {
			return nil, err
		}
		better = cleaner(better, next, mended)
		if better != nil && better.left <= mended && better.bends <= from.bends+cleanTurning {
			break
		}
	}
	return better, nil
}

// gaveMost reports whether a spot is, along more than half of its middle, of whom mends gave what was another one's there.
// What was thin goes on to be thin: made broad, it would be a blot that nobody drew. A space that is closed may be closed a
// little further.
func (v *solver) gaveMost(s *Spot) bool {
	if s.Of == own.Bare {
		return false
	}
	given, all := 0.0, 0.0
	for _, l := range s.Spine {
		length := l[1].Sub(l[0]).Len()
		all += length
		if f := v.Map.Locate(l[0].Lerp(l[1], 0.5)); f >= 0 {
			if of, single := v.Owner(v.unmended[f]); single && of != s.Of && of != own.Bare {
				given += length
			}
		}
	}
	return given > all/2
}

// cleaner returns which of two states, either of which may be nil, is to be made: of two with no more
// left to do than is mended the one by which outlines turn less; else the one with less left.
func cleaner(best, next *state, mended float64) *state {
	switch {
	case best == nil:
		return next
	case next == nil:
	case next.left > mended || best.left > mended:
		if next.left < best.left {
			return next
		}
	case next.bends < best.bends-cleanerBy:
		return next
	}
	return best
}

// fresh returns the largest spot of a state that was not there in the beginning,
// nil without any.
func (v *solver) fresh(s *state) *Spot {
	var largest *Spot
	for k := range s.spots {
		p := &s.spots[k]
		if largest != nil && p.AreaMM2 <= largest.AreaMM2 {
			continue
		}
		if !slices.ContainsFunc(v.start.spots, func(q Spot) bool {
			return q.Of == p.Of && q.Kind == p.Kind && q.At.Sub(p.At).Len() < 0.05
		}) {
			largest = p
		}
	}
	return largest
}

// try adds a mend of a spot to a state; nil when it would change much more of the picture
// than there is to do about the spot, take a thing away, or make lumps.
func (v *solver) try(ctx context.Context, from *state, spot *Spot, mend job.Mend, layers []layer) (*state, error) {
	next, err := v.layOn(ctx, from, mend, layers)
	if err != nil {
		return nil, err
	}
	w := v.settings.Narrowest()
	if v.taken && !loose(spot, w) || v.changedLast() > v.mostChanged(spot, mend) {
		return nil, nil
	}
	if bad, err := v.misshapes(ctx, next, spot, layers); err != nil || bad || v.erases(mend, spot, layers) {
		return nil, err
	}
	if err := v.look(ctx, next); err != nil || next.left >= v.start.left+w*w {
		return next, err
	}
	lost, err := v.lost(ctx, v.around(), v.settings)
	if err != nil || len(lost) > v.start.lost {
		return nil, err
	}
	return next, nil
}

// layOn lays a mend on the window, over those of a state.
func (v *solver) layOn(ctx context.Context, from *state, mend job.Mend, layers []layer) (*state, error) {
	next := &state{mends: append(slices.Clip(from.mends), mend), layers: slices.Clip(from.layers)}
	for _, l := range layers {
		l.mend = -1
		next.layers = append(next.layers, l)
	}
	v.layers, v.last = v.layers[:v.laid], len(layers)
	for _, l := range next.layers {
		v.layers = append(v.layers, l.within(v.around()))
	}
	if err := v.lay(ctx); err != nil {
		return nil, err
	}
	*v.spent += v.Map.NumEdges()
	next.edge = v.edgeMoved()
	return next, nil
}

// mostPointed is how much less outlines turn, in radians, where an end goes that is a mere point: what turns more has a head, as
// a spear has, and is missed.
const mostPointed = 2.5 * math.Pi

// misshapes reports whether the last mend of a state that has just been laid makes lumps, or
// changes the corners of what keeps them. Nobody sees that of a hairline.
func (v *solver) misshapes(ctx context.Context, s *state, spot *Spot, layers []layer) (bool, error) {
	after, err := v.outlines(ctx)
	if err != nil {
		return false, err
	}
	all, n := turningAt(after, s.layers)-turningAt(v.before, s.layers), float64(len(s.mends))
	turns := math.Max(all/n, all-(n-1)*followTurning)
	if s.bends = all; hair(spot) {
		return false, nil
	}
	mend, w := s.mends[len(s.mends)-1], v.settings.Narrowest()
	if dents(v.rounds, v.before, after, spot, mend, layers) {
		return true, nil
	}
	if mend.Do == job.Give && mend.Spot == job.Tip && turns < -mostPointed {
		return true, nil
	}
	// What is closed all along is a notch no longer.
	straight := layers[len(layers)-1].straight || mend.Do == job.Give && narrow(spot, w)
	// A small notch that fills up makes an outline simpler.
	simpler := spot.AreaMM2 <= drawnSquares*w*w && turns < 0 && turns > -math.Pi
	return lumpy(mend, v.mostTurning(spot, mend, len(layers), w), straight, spot.LengthMM/w, turns) || v.keepsCorners(spot, mend) && !straight && !simpler && math.Abs(turns) > mostDrawnTurning(spot, mend, w), nil
}

// keepsCorners reports whether a mend of a spot must leave as many corners as there are. A whole
// piece keeps them by itself, and nobody sees those of a crumb.
func (v *solver) keepsCorners(s *Spot, mend job.Mend) bool {
	w := v.settings.Narrowest()
	return v.strict && !(mend.Do == job.Widen && mend.Whole) && s.AreaMM2 > crumbSquares*w*w
}

// mostChanged returns how much of the picture, in mm², a mend of a spot may change.
func (v *solver) mostChanged(s *Spot, mend job.Mend) float64 {
	w := v.settings.Narrowest()
	most := mostTimes*v.toDo(s, v.settings) + w*w
	if mend.Do != job.Widen || !mend.Whole {
		return most
	}
	// However small it is, it must become as large as any, and what covers its ends moves along.
	if most += w * w / 2; s.Kind == weak.Speck {
		most = math.Max(most, growing(s, v.settings))
	}
	return most
}

// around is what lies in the window.
func (v *solver) around() geometry.Rect { return v.area.Grow(marginWidths * v.settings.Narrowest()) }

// look finds the spots of a state that has just been laid.
func (v *solver) look(ctx context.Context, s *state) error {
	spots, err := v.spots(ctx, v.settings, []geometry.Rect{v.area})
	if err != nil {
		return err
	}
	s.spots, s.left = nil, 0
	for _, k := range withoutKept(spots, v.kept, v.settings) {
		if p := &spots[k]; !p.Bounds.Intersect(v.area).Empty() {
			s.spots = append(s.spots, *p)
			s.left += v.toDo(p, v.settings)
		}
	}
	return nil
}
