package mend

import (
	"context"
	"errors"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
)

// commit lays what was found for spots that lie apart on the whole map, and keeps what
// turns out as good there.
func (s *settler) commit(ctx context.Context, cases []solution) error {
	spots, lost, err := s.together(ctx, cases)
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
	for i := range cases {
		c := &cases[i]
		found := spots
		if c.whole {
			found = c.spots
			s.setWhole(found)
		}
		now, before, after := s.became(c, found)
		if after > before-s.step() && !reveals(c, now) || s.takes(lost, c.area, s.gone) {
			c.spot.final, again = true, true
			continue
		}
		s.keepSolution(c, now)
	}
	if again {
		return s.lay(ctx)
	}
	return nil
}

// reveals reports whether a solution took a hairline away. What shows then, such as the point
// that the hairline went out from, was there before, and is mended next.
func reveals(c *solution, now []*openSpot) bool {
	return hair(&c.spot.Spot) && !slices.ContainsFunc(now, func(o *openSpot) bool {
		return hair(&o.Spot) && !o.Bounds.Intersect(c.spot.Bounds).Empty()
	})
}

// together lays solutions on the map, all at once, and returns the spots about those that
// must be looked at there and the things that are lost. The settler's layers are as before.
func (s *settler) together(ctx context.Context, cases []solution) (spots []Spot, lost []geometry.Rect, _ error) {
	laid := len(s.layers)
	defer func() { s.layers = s.layers[:laid] }()
	for _, c := range cases {
		s.layers = append(s.layers, c.layers...)
	}
	if err := s.lay(ctx); err != nil {
		return nil, nil, err
	}
	lost, err := s.lost(ctx, everywhere, s.settings)
	if err != nil {
		return nil, nil, err
	}
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
	if len(areas) == 0 {
		return nil, lost, nil
	}
	var open []Spot
	for _, o := range s.open {
		open = append(open, o.Spot)
	}
	spots, err = s.spots(ctx, s.settings, withPlaces(areas, open))
	return spots, lost, err
}

// keepSolution makes the mends of a solution, after which there are these spots in its area.
func (s *settler) keepSolution(c *solution, now []*openSpot) {
	round := s.roundOf(c.area)
	for i, m := range c.mends {
		m.Round = uint8(round + i)
		*s.apart = *s.apart || m.Round > 0
		s.made = append(s.made, m)
		s.areas = append(s.areas, c.area)
	}
	s.layers = append(s.layers, c.layers...)
	s.open = append(slices.DeleteFunc(s.open, func(o *openSpot) bool { return !o.Bounds.Intersect(c.area).Empty() }), now...)
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
		for _, of := range s.piecesNear(p.Of, p.Bounds) {
			if !of.Bounds.Contains(p.At) {
				continue
			}
			if o := of.Outline.Flatten(spotSagittaMM); geometry.NewEnclosure(o).Holds(p.At) {
				p.whole, p.piece, p.hairline = o, newPiece(o), nil
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
