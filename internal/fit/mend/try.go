package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
)

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
	before   *outlineSides // of the start
	// strict: someone drew the spot so, and it keeps its corners.
	strict bool
	rounds []round // in the window
}

// try adds a mend of a spot to a state; nil when it would change much more of the picture
// than there is to do about the spot, take a thing away, or make lumps.
func (v *solver) try(ctx context.Context, from *state, spot *Spot, mend job.Mend, layers []layer) (*state, error) {
	next, err := v.layOn(ctx, from, mend, layers)
	if err != nil {
		return nil, err
	}
	w := v.settings.Narrowest()
	if v.taken && !loose(spot, w) || v.changedLast() > v.mostChanged(spot) {
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
	next.edge = v.edgeMoved(v.settings.BlankColour())
	return next, nil
}

// mostPointed is how much less outlines turn, in radians, where an end goes that is a mere point: what turns more has a head, as
// a spear has, and is missed.
const mostPointed = 2.5 * math.Pi

// misshapes reports whether the last mend of a state that has just been laid makes lumps, or
// changes the corners of what keeps them. Nobody sees that of a hairline that goes; a bar in its place is as broad as any.
func (v *solver) misshapes(ctx context.Context, s *state, spot *Spot, layers []layer) (bool, error) {
	after, err := v.outlines(ctx)
	if err != nil {
		return false, err
	}
	all, n := turningAt(after, s.layers)-turningAt(v.before.outlines, s.layers), float64(len(s.mends))
	turns := math.Max(all/n, all-(n-1)*followTurning)
	mend, w := s.mends[len(s.mends)-1], v.settings.Narrowest()
	s.bends = all
	switch {
	case unseen(spot, mend):
		return false, nil
	case dents(v.rounds, v.before, sidesIn(after), spot, mend, layers), mend.Do == job.Give && mend.Spot == job.Tip && turns < -mostPointed:
		return true, nil
	}
	// What is closed all along is a notch no longer.
	straight := layers[len(layers)-1].straight || mend.Do == job.Give && narrow(spot, w)
	lumps := lumpy(mend, v.mostTurning(spot, mend, w), straight, spot.LengthMM/w, turns)
	return lumps || !straight && v.movesCorners(spot, mend, turns), nil
}

// unseen reports whether nobody sees what a mend does: a hairline goes.
func unseen(s *Spot, m job.Mend) bool { return hair(s) && (m.Do == job.Give || m.Do == job.Drop) }

// movesCorners reports whether a mend of a spot that must leave as many corners as there are does not, where outlines turn so
// much more by it. A whole piece keeps them by itself.
func (v *solver) movesCorners(s *Spot, mend job.Mend, turns float64) bool {
	return v.strict && !(mend.Do == job.Widen && mend.Whole) && math.Abs(turns) > mostDrawnTurning(s, mend, v.settings.Narrowest())
}

// mostTimes is how many times what is to do about a spot a mend may change, and
// a square of the narrowest width.
const mostTimes = 2

// mostChanged returns how much of the picture, in mm², a mend of a spot may change.
func (v *solver) mostChanged(s *Spot) float64 {
	w := v.settings.Narrowest()
	return mostTimes*v.toDo(s, v.settings) + w*w
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

// mostErased is how much of a line, in narrowest widths, may go where something beside it is made
// broad: what ends at it takes so much at most, and of a line with a gap in it one sees that.
const mostErased = 0.5

// erases reports whether a mend that makes something broad goes through a line of another material
// that someone drew: it lies on the map already, and its layers are given. A line that is only
// made thinner is left to thins.
func (v *solver) erases(mend job.Mend, spot *Spot, layers []layer) bool {
	if mend.Do != job.Widen {
		return false
	}
	w := v.settings.Narrowest()
	var bounds []geometry.Rect // of the layers, in which there may be thousands of sides
	for i := range layers {
		bounds = append(bounds, layers[i].path.Bounds())
	}
	for i := range v.start.spots {
		p := &v.start.spots[i]
		if p.Of == spot.Of || p.Of == own.Bare || p.LengthMM < drawnTimes*w || hair(p) {
			continue
		}
		gone := 0.0
		for _, l := range p.Spine {
			at := l[0].Lerp(l[1], 0.5)
			if !slices.ContainsFunc(bounds, func(b geometry.Rect) bool { return b.Contains(at) }) {
				continue
			}
			if f := v.Map.Locate(at); f >= 0 {
				if of, _ := v.Owner(v.Fresh[f]); of == spot.Of {
					gone += l[1].Sub(l[0]).Len()
				}
			}
		}
		if gone > mostErased*w && v.drawn(p) {
			return true
		}
	}
	return false
}
