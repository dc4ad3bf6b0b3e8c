package mend

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

const (
	// alongShare is which share of the border of a point somebody has at least who lies along it, and not
	// only where it ends; hardlyShare is which share one has at most whom one does not see beside it.
	alongShare  = 0.3
	hardlyShare = 0.05
)

// betweenTwo reports whether no more than two lie beside a spot. Across a corner at which three meet a
// straight cut leaves a notch.
func (s *Spot) betweenTwo() bool {
	all := 0
	for _, n := range s.Neighbours {
		if n.Of != s.Of && s.along(n.Of) > hardlyShare {
			all++
		}
	}
	return all <= 2
}

// mostChiselled is how broad, in narrowest widths, a point is at most where it is cut off straight. A long one is
// broad enough no sooner: what is broader than that counts no more.
const mostChiselled = 0.995

// chiselMM returns how broad a point is where it is cut off straight, so that what is left of it up to where it is
// as broad as the narrowest width w reaches no further than that from corner to corner. Straight sides are taken
// for granted.
func (s *Spot) chiselMM(w float64) float64 {
	const steps = 50
	for i := 1; i < steps; i++ {
		end := w * float64(i) / steps
		if math.Hypot(end, s.LengthMM*(1-end/w)) <= bluntReach*w {
			return end
		}
	}
	return mostChiselled * w
}

// straightCut reports whether a mend cuts a point off in a straight line; w is the narrowest width, and stands for all
// that is thin.
func straightCut(m job.Mend, w float64) bool {
	return m.Spot == job.Tip && m.Do == job.Give && m.WidthMM > 0 && m.WidthMM != w
}

// cutOff returns what of a point a mend gives away or leaves bare, what of a neck is thinner than
// asked, and all of any other spot; nil for nothing. Errors as own.Lay.
func (s *Spot) cutOff(ctx context.Context, mend job.Mend, w float64) (*Spot, error) {
	if mend.Do != job.Give && mend.Do != job.Drop || mend.WidthMM == w {
		return s, nil
	}
	if s.Kind == weak.Neck && mend.WidthMM > 0 {
		thin, err := s.thinner(ctx, mend.WidthMM)
		if err != nil || len(thin) == 0 {
			return nil, err
		}
		return s.part(thin), nil
	}
	if mend.WidthMM > 0 {
		return s.chiselled(ctx, mend.WidthMM, w)
	}
	return s.blunt(ctx, w)
}

// chiselled returns the end of a point that is to be cut off in a straight line across it, where that is
// as broad as asked or, so that the rest of it counts no more, further in; nil where there is none. Cut off
// as a disc leaves it, the point ends round, and who takes the end alone gets a cusp between that
// and who lies on the other side; cut off straight it gets a corner. w is the narrowest width. Errors as own.Lay.
func (s *Spot) chiselled(ctx context.Context, width, w float64) (*Spot, error) {
	if s.Kind != weak.Point || s.whole == nil {
		return nil, nil
	}
	if width > w {
		return s.cutBeyond(ctx, width, w)
	}
	tip, longest := s.tip(), s.Bounds.Longer()
	for ; width < w; width += bluntStep * w {
		end, err := s.beyondCut(ctx, tip, width)
		if err != nil {
			return nil, err
		}
		if len(end) == 0 {
			continue
		}
		if longest > bluntLongest*w {
			return s.part(end), nil
		}
		if blunt, err := s.bluntWithout(ctx, end, w); err != nil || blunt {
			return s.part(end), err
		}
	}
	return nil, nil
}

// beyondCut returns what of a point lies beyond a straight line across it where it is as broad as asked, up
// to its tip; nothing where it is nowhere so broad. Errors as own.Lay.
func (s *Spot) beyondCut(ctx context.Context, tip geometry.Point, width float64) (geometry.Path, error) {
	at, ok := s.broadAt(tip, width)
	if !ok {
		return nil, nil
	}
	covered, err := s.covered(ctx)
	if err != nil {
		return nil, err
	}
	return beyondLine(ctx, covered, at, tip, width)
}

// cutBeyond returns what of a point lies beyond a straight line across it where it is a little broader than the
// narrowest width w: further in than it is thin; nil where its sides do not go on so. Errors as own.Lay.
func (s *Spot) cutBeyond(ctx context.Context, width, w float64) (*Spot, error) {
	tip := s.tip()
	at, ok := s.broadAt(tip, mostChiselled*w)
	if !ok {
		return nil, nil
	}
	at = tip.Lerp(at, width/(2*s.whole.Distance(at)))
	if 2*s.whole.Distance(at) < nearlyBroad*width {
		return nil, nil
	}
	end, err := beyondLine(ctx, s.whole, at, tip, width)
	if err != nil || len(end) == 0 {
		return nil, err
	}
	return s.part(end), nil
}

// beyondLine returns what of an outline lies beyond a straight line through a place, across the way from there to
// a tip, up to that. Errors as own.Lay.
func beyondLine(ctx context.Context, outline geometry.Path, at, tip geometry.Point, width float64) (geometry.Path, error) {
	way := tip.Sub(at)
	far := way.Len()
	if far < own.HealMM {
		return nil, nil
	}
	way = way.Mul(1 / far)
	across, out := geometry.Pt(-way.Y, way.X).Mul(width+far), way.Mul(far+width)
	beyond := evenOdd(geometry.Path{clockwise(at.Add(across), at.Add(across).Add(out), at.Sub(across).Add(out), at.Sub(across))}, outline)
	d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{beyond}}, planar.RegionOptions{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	// What is thin beside the base of a broad point lies beyond the line, too.
	var end geometry.Path
	for i := range d.Pieces {
		if o := d.Outline(i); o.Nears(tip, 2*own.HealMM) {
			end = append(end, o...)
		}
	}
	return end, nil
}

// nearlyBroad is which share of what is asked the middle of a point comes to at least: what is as broad as the
// narrowest width is no longer part of it.
const nearlyBroad = 0.95

// broadAt returns the place on the middle of a point, the nearest to its tip, at which it is as broad as
// asked, or the broadest if that is nearly so; false where it is nowhere.
func (s *Spot) broadAt(tip geometry.Point, width float64) (geometry.Point, bool) {
	best, broadest, near := tip, 0.0, math.Inf(1)
	for _, l := range s.Spine {
		n := math.Ceil(l[1].Sub(l[0]).Len()/seenMM) + 1
		for k := range int(n) + 1 {
			at := l[0].Lerp(l[1], float64(k)/n)
			broad, d := math.Min(2*s.whole.Distance(at), width), at.Sub(tip).Len()
			if broad > broadest || broad == broadest && d < near {
				best, broadest, near = at, broad, d
			}
		}
	}
	return best, broadest >= nearlyBroad*width
}
