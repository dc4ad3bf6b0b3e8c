package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

// tip returns where a point ends: the corner of it that is furthest from its piece.
func (s *Spot) tip() geometry.Point {
	var base []geometry.Point
	whole := s.ofPiece().inside() // it may have ten thousand sides
	for _, c := range s.Outline {
		for a, b := range c.Sides() {
			if mid := a.Lerp(b, 0.5); !whole.Nears(mid, own.HealMM/4) {
				base = append(base, mid)
			}
		}
	}
	best, far := s.At, 0.0
	for _, c := range s.Outline {
		for a := range c.Sides() {
			near := math.Inf(1)
			for _, b := range base {
				if near = math.Min(near, a.Sub(b).Len()); near <= far {
					break
				}
			}
			if near > far && len(base) > 0 {
				best, far = a, near
			}
		}
	}
	return best
}

// goesOn returns from where, a width back along its middle, a point goes on to its tip, and which way, as a
// vector of that length; none where it is too short to tell.
func (s *Spot) goesOn(tip geometry.Point, width float64) (from, way geometry.Point) {
	from, near := tip, math.Inf(1)
	for _, l := range s.Spine {
		n := math.Ceil(l[1].Sub(l[0]).Len() / (width / 8))
		for k := range int(n) + 1 {
			at := l[0].Lerp(l[1], float64(k)/math.Max(n, 1))
			if off := math.Abs(at.Sub(tip).Len() - width); off < near {
				from, near = at, off
			}
		}
	}
	if way = tip.Sub(from); way.Len() < width/2 {
		return from, geometry.Point{}
	}
	return from, way.Mul(width / way.Len())
}

// beyondTip covers what lies beyond a tip, the way that the point goes, as far as that is long.
func beyondTip(tip, way geometry.Point) geometry.Contour {
	across := geometry.Pt(-way.Y, way.X).Mul(1.5)
	return clockwise(tip.Add(across), tip.Add(across).Add(way), tip.Sub(across).Add(way), tip.Sub(across))
}

const (
	// pastTip is how far from a tip, in narrowest widths, one looks for the picture's edge: about as far as a tip is cut off. edgeBend
	// is by how many degrees it may bend there: what bends more has a corner, at which pale wedges beside dark hair end (by eye).
	pastTip  = 0.5
	edgeBend = 24
	// tailTimes is how long, in narrowest widths, the end of a point is at least that is too thin to be seen: so far the edge
	// runs on beside who lies there.
	tailTimes = 2
)

// edgeRunsOn reports whether the picture's edge, along which a point lies, runs on past its tip as it came, beside who lies
// there, as that of a globe does past the tip of a sea between it and a coast: the blank has half of a circle about the tip.
func (m *mending) edgeRunsOn(s *Spot, w float64) bool {
	if s.AreaMM2 < 2*seenMM*s.LengthMM && s.LengthMM > tailTimes*w {
		return true
	}
	if s.whole == nil {
		return false
	}
	around := m.aroundTip(s, pastTip*w)
	return around.plain && max(around.bare-180, 180-around.bare) <= edgeBend
}

// ofTip is who lies around the tip of a point at the picture's edge: of how many degrees the blank has, and who lies beyond it.
type ofTip struct {
	bare, beyond int
	// plain: there are the point, the blank, and one who lies beyond.
	plain bool
	// from is a place of whom lies beyond, beside the point.
	from geometry.Point
}

// aroundTip looks around the tip of a point, so far from it.
func (m *mending) aroundTip(s *Spot, far float64) (o ofTip) {
	const degrees = 3
	tip, changes, others := s.tip(), 0, 0
	at := func(a int) geometry.Point {
		sin, cos := math.Sincos(float64(a) * math.Pi / 180)
		return tip.Add(geometry.Pt(cos, sin).Mul(far))
	}
	was, _ := m.materialAt(at(0))
	for a := degrees; a <= 360; a += degrees {
		is, _ := m.materialAt(at(a))
		switch {
		case is == own.Bare:
			o.bare += degrees
		case is != s.Of:
			o.beyond += degrees
		}
		if (is == own.Bare) != (was == own.Bare) {
			changes++
			if is != s.Of && was != s.Of {
				others++
			}
		}
		if is == s.Of && was != s.Of && was != own.Bare {
			o.from = at(a - degrees)
		} else if was == s.Of && is != s.Of && is != own.Bare {
			o.from = at(a)
		}
		was = is
	}
	o.plain = changes == 2 && others == 1
	return o
}

// peeks reports whether a point at the picture's edge is the end of what shows of something behind another thing whose outline runs
// on past the tip, as the shadow of a letter does: given to that, it would be a wart on it.
func (m *mending) peeks(s *Spot, w float64) bool {
	if s.Kind != weak.Point || s.whole == nil || !s.touches(own.Bare) {
		return false
	}
	around := m.aroundTip(s, pastTip*w)
	if !around.plain {
		return false
	}
	behind, art := int32(m.anchor(s)), m.artAt(around.from)
	k := slices.Index(art, behind)
	return around.beyond > around.bare && around.beyond >= 180-edgeBend && k >= 0 && k < len(art)-1
}

// upright returns what makes a point broad with a straight end at its tip, across the way that the point
// goes: a round one is a knob, for nothing before it was as broad. Errors as own.Lay.
func (s *Spot) upright(ctx context.Context, broad geometry.Path, width float64) (geometry.Path, error) {
	tip := s.tip()
	from, way := s.goesOn(tip, width)
	if way == (geometry.Point{}) {
		return broad, nil
	}
	across := geometry.Pt(-way.Y, way.X).Mul(0.5)
	end := clockwise(from.Add(across), tip.Add(across), tip.Sub(across), from.Sub(across))
	path, err := united(ctx, planar.Figure{Path: append(slices.Clip(broad), end)})
	if err != nil {
		return nil, err
	}
	return minus(ctx, path, geometry.Path{beyondTip(tip, way)})
}

// endsShare is which share of a spot's border somebody has at most beside whom it only ends.
const endsShare = 0.2

// atEnds returns beside whom a spot only ends, as a shade does at the edge of what it lies on.
// Made broader, it ends there still: a round end would stick out.
func (s *Spot) atEnds(w float64) (out []own.Material) {
	if s.Kind == weak.Gap || s.Kind == weak.Speck {
		return nil
	}
	for _, n := range s.Neighbours {
		if n.Of != s.Of && n.LengthMM < stubby*w && s.along(n.Of) < endsShare {
			out = append(out, n.Of)
		}
	}
	return out
}

// tipProbes is in how many directions from a tip one looks who lies there.
const tipProbes = 24

// endsAt returns beside whom a spot only ends (see atEnds), and who is met at the tip of a point but
// not along it: a shade under a chin that runs out just at the neck's edge ends there, too,
// though nothing of its border lies on what is beyond.
func (m *mending) endsAt(s *Spot, w float64) []own.Material {
	out := s.atEnds(w)
	if s.Kind != weak.Point || s.whole == nil {
		return out
	}
	tip := s.tip()
	for i := range tipProbes {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / tipProbes)
		of, ok := m.materialAt(tip.Add(geometry.Pt(cos, sin).Mul(2 * seenMM)))
		along := slices.ContainsFunc(s.Neighbours, func(n Neighbour) bool { return n.Of == of })
		if ok && !along && of != s.Of && !slices.Contains(out, of) {
			out = append(out, of)
		}
	}
	return out
}
