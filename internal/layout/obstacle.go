package layout

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/cutfile"
)

// Obstacle is why something cannot lie at a place.
type Obstacle int

// What may be in the way.
const (
	Nothing Obstacle = iota
	// OffSheet: it would leave the sheet, its edge or the cutter's reach.
	OffSheet
	// TooNear: it would lie over something else, or nearer than the gap.
	TooNear
	// OnFree: it would lie on what is kept free.
	OnFree
)

// nearer is how much nearer than the gap things may come, in millimetres: packing leaves
// so much more around curves, so what lay at the gap can be moved along it.
const nearer = 0.02

// Moved returns thing k of a sheet as it lies once turned clockwise by so many quarters
// about its middle and moved by so much, and what is in the way of that. Errors are
// planar's, or the context's.
func (t *Sheet) Moved(ctx context.Context, k, quarters int, by cutfile.Point) (Placed, Obstacle, error) {
	x := t.Placed[k]
	outline := t.outline(k)
	quarters = (quarters%4 + 4) % 4
	if quarters != 0 {
		m := move{turn: float64(quarters) * math.Pi / 2}
		mid := cutfile.Point{X: (x.Min.X + x.Max.X) / 2, Y: (x.Min.Y + x.Max.Y) / 2}
		now := m.point(mid)
		m.shift = cutfile.Point{X: mid.X - now.X, Y: mid.Y - now.Y}
		outline = m.contours(outline)
		x.Turn = math.Mod(x.Turn+m.turn, 2*math.Pi)
	}
	outline = move{shift: by}.contours(outline)
	x.Min, x.Max = bounds(outline)
	if !t.Room.holds(extent(outline)) {
		return x, OffSheet, nil
	}
	here := Box{x.Min, x.Max}
	self := path(outline)
	for _, f := range t.Free {
		if f.meets(here) {
			if over, err := overlap(ctx, []geometry.Path{self, path([]cutfile.Contour{f.contour()})}); over || err != nil {
				return x, OnFree, err
			}
		}
	}
	gap := t.gap - nearer
	around := self
	if gap > 0 {
		var err error
		layer := planar.Enclosed(self)
		if around, err = planar.Offset(ctx, layer, gap, geometry.Join{}, planar.Options{}); err != nil {
			return x, Nothing, err
		}
	}
	far := cutfile.ToSteps(math.Max(gap, 0))
	near := Box{cutfile.Point{X: x.Min.X - far, Y: x.Min.Y - far}, cutfile.Point{X: x.Max.X + far, Y: x.Max.Y + far}}
	for i, o := range t.Placed {
		if i == k || !near.meets(Box{o.Min, o.Max}) {
			continue
		}
		if over, err := overlap(ctx, []geometry.Path{around, path(t.outline(i))}); over || err != nil {
			return x, TooNear, err
		}
	}
	return x, Nothing, nil
}

// At returns what lies at a place of the sheet: of several the smallest; −1 for nothing.
func (t *Sheet) At(p cutfile.Point) int {
	best, least := -1, math.Inf(1)
	for k, x := range t.Placed {
		if p.X < x.Min.X || p.X > x.Max.X || p.Y < x.Min.Y || p.Y > x.Max.Y {
			continue
		}
		area := (x.Max.X - x.Min.X).MM() * (x.Max.Y - x.Min.Y).MM()
		if !t.covers(k, p) {
			area *= 1e6 // in its bounds alone: a thin piece is hard to hit
		}
		if area < least {
			best, least = k, area
		}
	}
	return best
}

// hitMM is how far chords may lie from curves where something is pointed at.
const hitMM = 0.05

// covers reports whether a place is within a thing's outline.
func (t *Sheet) covers(k int, p cutfile.Point) bool {
	left := 0
	at := p.MM()
	for _, h := range path(t.outline(k)).Flatten(hitMM).ScanLine(at.Y) {
		if h.X < at.X {
			left++
		}
	}
	return left%2 == 1
}

// outline is what a thing takes of its sheet: the rectangle around a copy, or a piece.
func (t *Sheet) outline(k int) []cutfile.Contour {
	if x := t.Placed[k]; x.Piece == 0 {
		return []cutfile.Contour{Box{x.Min, x.Max}.contour()}
	}
	return slices.Clip(t.Page.Separations[0].Pieces[k].Contours)
}

// Alone is a page as large as thing k, with nothing else on it.
func (t *Sheet) Alone(k int) *cutfile.Page {
	x, all := t.Placed[k], &t.Page.Separations[0]
	s := cutfile.Separation{Order: all.Order, Orders: all.Orders, Name: all.Name, Colour: all.Colour, Use: all.Use}
	if x.Piece > 0 {
		s.Contours = all.Pieces[k].Contours
	} else {
		for i := range all.Contours {
			if lo, hi := bounds(all.Contours[i : i+1]); (Box{x.Min, x.Max}).holds(Box{lo, hi}) {
				s.Contours = append(s.Contours, all.Contours[i])
			}
		}
	}
	back := move{shift: cutfile.Point{X: -x.Min.X, Y: -x.Min.Y}}
	s.Contours = back.contours(s.Contours)
	return &cutfile.Page{Width: x.Max.X - x.Min.X, Height: x.Max.Y - x.Min.Y, BoardToPage: geometry.Identity(), Separations: []cutfile.Separation{s}}
}
