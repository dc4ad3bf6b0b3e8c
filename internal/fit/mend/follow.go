package mend

import (
	"context"
	"slices"

	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// follow mends what a mend has made weak, the largest first, while there is less
// left to do each time.
func (v *solver) follow(ctx context.Context, from *state, p *problem) (*state, error) {
	for len(from.mends) < maxChain && from.left > v.goal(p)+roundingMM2 {
		spot := v.fresh(from)
		if spot == nil {
			return from, nil
		}
		better, err := v.next(ctx, from, spot, p)
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

// goal is what is left to do once nothing is of a spot, and nothing came about.
func (v *solver) goal(p *problem) float64 { return v.start.left - p.own }

// next returns the best of what a mend of a spot makes of a state, within the area; nil where
// none may be made.
func (v *solver) next(ctx context.Context, from *state, spot *Spot, p *problem) (better *state, _ error) {
	outside := func(l layer) bool { return !v.area.Encloses(l.path.Bounds().Intersect(v.page)) }
	mended := max(v.goal(p), from.left-v.toDo(spot, v.settings)) + roundingMM2
	options, hard := v.remedies(spot, v.settings)
	given := v.gaveMost(spot, from.mends[0])
	if endedSooner(from.mends[0], p.spot, spot) {
		given, hard = true, len(options)
	}
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

// endedSooner reports whether a fresh spot is what a point ends in now that a mend has cut it off: that goes, too, for made broad it
// would be a knob.
func endedSooner(m job.Mend, point, fresh *Spot) bool {
	return point.Kind == weak.Point && m.Do != job.Widen && fresh.Kind != weak.Gap && fresh.Of == point.Of && !fresh.Bounds.Intersect(point.Bounds).Empty()
}

// gaveMost reports whether a spot is, along more than half of its middle, of whom mends gave what was another one's there.
// What was thin goes on to be thin: made broad, it would be a blot that nobody drew. A space that is closed may be closed a
// little further, and closed again where the first mend left a tip to the blank: opened, it would have a knob there.
func (v *solver) gaveMost(s *Spot, first job.Mend) bool {
	if s.Of == own.Bare {
		return s.Kind == weak.Gap && first.Do == job.Drop
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
