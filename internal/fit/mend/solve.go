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
	about := &problem{spot: &o.Spot, own: v.ownOf(o), clean: s.clean(&o.Spot)}
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

// ownOf returns what is to do about a spot as it is found in the window, where it is a little larger or smaller than on the whole
// map: what is left there is compared with it. As broad as it must be to within rounding, it may not be found again there.
func (v *solver) ownOf(o *openSpot) float64 {
	is, near := &o.Spot, math.Inf(1)
	for i := range v.start.spots {
		p := &v.start.spots[i]
		if d := p.At.Sub(o.At).Len(); p.Of == o.Of && d < near && !p.Bounds.Intersect(o.Bounds).Empty() {
			is, near = p, d
		}
	}
	own := v.toDo(is, v.settings)
	if is == &o.Spot {
		v.start.left += own
	}
	return own
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
	outlines, err := v.outlines(ctx)
	v.before = sidesIn(outlines)
	return v, err
}

// best tries what may be done about a spot in a window, and returns the best state (see
// better) up to the first clean one in which nothing is left of it, or that which was good for the mirror image of the
// spot; nil where none is better than the start.
func (s *settler) best(ctx context.Context, v *solver, p *problem) (best *state, _ error) {
	options, hard := s.allowed(ctx, p)
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
	return s != nil && s.left <= math.Max(0, v.goal(p))+roundingMM2 // in the window it may be a little smaller
}

// asMuchSquares is, in squares of the narrowest width, by how much what is left to do may differ in states that are as good:
// where two points meet each ends a little elsewhere once something is done about the other.
const asMuchSquares = 0.004

// better returns which of two states is to be made, of which the first, which may be nil, was liked
// better: of two in which nothing is left of the spot the one by which outlines turn less, as long
// as one sees no more of the picture's edge move and a shade stays one, or the one that moves less of that, if it is nearly as
// clean; else the one with the least left to do, of two with as much the one by which outlines turn less; nil where that is not
// enough less than in the beginning for outlines that turn more.
func (v *solver) better(best, next *state, p *problem) *state {
	w := v.settings.Narrowest()
	step := stepSquares * w * w
	switch {
	case v.solves(next, p):
		by := 0.0
		switch stays := v.staysShade(next, p); {
		case best == nil || stays == v.staysShade(best, p):
		case stays:
			by = -shadeTurning
		default:
			by = shadeTurning
		}
		if !v.solves(best, p) || next.bends+by < best.bends-cleanerBy && next.edge <= best.edge+unseenEdgeSquares*w*w ||
			next.edge < best.edge-step && next.bends+by <= max(best.bends+v.edgeTurning(best, next), 0)+cleanTurning {
			return next
		}
	case v.solves(best, p):
	case next.left < v.start.left-step*(1+math.Max(0, next.bends)/cleanTurning) && (best == nil || less(next, best, asMuchSquares*w*w)):
		return next
	}
	return best
}

// unseenEdgeSquares is how much of the picture's edge, in squares of the narrowest width, may move for nobody to see it: the corner of
// a ground between the rays of a sun.
const unseenEdgeSquares = 0.08

// shadeTurning is by how much less outlines must turn, besides, by what takes the end of a shade to something else than what it
// is a shade of: a dark outline beside it would have a fin, and nobody sees it go to the colour beneath.
const shadeTurning = math.Pi

// staysShade reports whether what a state does about a spot is between shades of one colour, of which one may be that of the blank.
func (v *solver) staysShade(s *state, p *problem) bool {
	switch {
	case s == nil || p.spot.Of == own.Bare:
		return false
	case s.mends[0].Do == job.Drop:
		return pale(p.spot.Of, v.settings.BlankColour())
	}
	return s.mends[0].Chosen && s.mends[0].To.DeltaE(p.spot.Of.Colour) <= shadeDeltaE
}

// edgeTurningPerSquare is by how much more outlines may turn, in radians, for each square of the narrowest width by which less of
// the picture's edge moves: where shades meet in a tip at that, none of them goes to the blank, or has a knob. By eye: twice as
// much changed nothing else on the art that was looked at.
const edgeTurningPerSquare = math.Pi / 4

// edgeTurning returns that for two states of which the second moves less of the edge than the first. What is left to the blank on
// purpose would be a thorn.
func (v *solver) edgeTurning(best, next *state) float64 {
	if best.mends[0].Do == job.Drop {
		return 0
	}
	w := v.settings.Narrowest()
	return edgeTurningPerSquare * (best.edge - next.edge) / (w * w)
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
		if next, err = v.follow(ctx, next, p); err != nil {
			return nil, err
		}
	}
	if v.thins(next) {
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
