package weak

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync/atomic"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/geometry/planar"
)

// reach, in widths, is how far from a thin place the outline is shrunk and
// grown. Half a width each way is what both can do; the rest is room.
const reach = 1.75

// maxCrossings bounds what the bands around thin parts may cross each other, far
// below what a map allows: where a picture is so fine that they do so a million
// times, nobody will mend its spots one by one, and a second has gone by.
const maxCrossings = 1_000_000

// maxSamples bounds how often all outlines together are asked for their width:
// for 1 mm, a kilometre of them. It takes some five seconds, and no cutter cuts
// as much in a day.
const maxSamples = 10_000_000

// Find returns the weak spots of pieces that do not overlap, ordered by piece
// and place. Each piece is closed polygons, even-odd, on planar's grid, outer
// contours clockwise on screen and holes anticlockwise, as Division.Outline
// gives them.
//
// Errors: *WidthError below MinWidthMM, *planar.ComplexityError where outlines
// are longer than maxSamples or their bands cross more often than maxCrossings,
// and those of planar.Build. A width of 0 finds nothing.
func Find(ctx context.Context, pieces []geometry.Path, o Options) ([]Spot, error) {
	if !(o.WidthMM > 0) || len(pieces) == 0 {
		return nil, nil
	}
	if o.WidthMM < MinWidthMM {
		return nil, &WidthError{o.WidthMM}
	}
	if o.Memory != nil {
		o.Memory.forWidth(o.WidthMM)
	}
	f, err := newFinder(ctx, pieces, o)
	if err != nil {
		return nil, err
	}
	if something, err := f.look(ctx); err != nil || !something {
		return nil, err
	}
	mapped, err := f.follow(ctx)
	if err != nil {
		return nil, err
	}
	if mapped {
		if err := f.divide(ctx); err != nil {
			return nil, err
		}
	}
	return f.spots(ctx)
}

// follow finds the banks of the shapes, and reports whether there are some for which
// it takes a map.
func (f *finder) follow(ctx context.Context) (mapped bool, err error) {
	left := make([]bool, len(f.shapes))
	err = parallel.Do(ctx, len(f.shapes), func(i int) {
		s := &f.shapes[i]
		if len(s.discs) == 0 {
			return
		}
		s.banked, _ = s.newBanked(&f.lengths)
		left[i] = s.banked == nil
	})
	return slices.Contains(left, true), err
}

// newFinder lists the shapes to look at: the pieces, and the gaps between them.
func newFinder(ctx context.Context, pieces []geometry.Path, o Options) (*finder, error) {
	f := &finder{o: o, lengths: lengthsFor(o.WidthMM), reach: reach, most: maxCrossings}
	for i, p := range pieces {
		f.shapes = append(f.shapes, newShape(int32(i), p, &f.lengths))
	}
	n := 0
	for i := range f.shapes {
		n += len(f.shapes[i].sides)
	}
	x := newAcross(2 * n)
	f.across = x
	for i := range f.shapes {
		x.meet(f.shapes, int32(i))
	}
	if o.NoGaps {
		return f, nil
	}
	gaps, err := unowned(ctx, f.shapes, o.WidthMM)
	for _, g := range gaps {
		f.shapes = append(f.shapes, newShape(NoPiece, g, &f.lengths))
		x.meet(f.shapes, int32(len(f.shapes)-1))
	}
	return f, err
}

// look finds the discs of all shapes, and reports whether there is anything thin
// or small.
func (f *finder) look(ctx context.Context) (something bool, err error) {
	if at, ok := f.tooLong(); ok {
		return false, &planar.ComplexityError{At: at, Budget: maxSamples}
	}
	// The longest first, so that no worker is left with it alone at the end.
	order := make([]int, len(f.shapes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(f.shapes[b].samples, f.shapes[a].samples) })
	found := make([]bool, len(f.shapes))
	err = parallel.Do(ctx, len(f.shapes), func(i int) {
		s := &f.shapes[order[i]]
		if len(s.sides) == 0 {
			return
		}
		if !f.o.wanted(s.bounds.Grow(f.o.WidthMM)) {
			if f.o.Memory != nil {
				s.answered = f.o.Memory.recall(s, nil, &f.lengths)
			}
			return
		}
		pace := &pace{ctx: ctx}
		g, err := newGrid(pace, s.sides, f.o.WidthMM)
		if err != nil {
			return // the context is done, which Do says
		}
		if s.isSpeck(f.o) { // whatever is thin about it
			s.grid, found[i] = g, f.o.wanted(s.bounds)
			return
		}
		var known *answered
		if f.o.Memory != nil {
			s.answered = f.o.Memory.recall(s, g, &f.lengths)
			known = &s.answered
		}
		m, err := g.discs(pace, &f.lengths, f.o.Within, known)
		if err != nil {
			return
		}
		s.grid = g
		s.discs, s.opening, s.pinched, s.pinches = m.thin, m.opening, m.pinched, m.pinches
		s.changes, s.whole = m.changes, m.whole
		found[i] = len(s.discs) > 0
	})
	if f.o.Memory != nil && err == nil {
		f.o.Memory.keep(f)
	}
	return slices.Contains(found, true), err
}

// tooLong reports whether the outlines are longer than maxSamples, and where.
func (f *finder) tooLong() (at geometry.Point, yes bool) {
	samples, most := 0, 0
	for i := range f.shapes {
		s := &f.shapes[i]
		if samples += s.samples; s.samples > most {
			most, at = s.samples, s.bounds.Centre()
		}
	}
	return at, samples > maxSamples
}

// finder divides shapes into thin and sturdy parts.
type finder struct {
	o       Options
	lengths lengths
	reach   float64
	most    int // crossings
	shapes  []shape
	across  *across
	// loose are the sides that no other shape shares the ends of.
	loose    *grid
	looseIDs []sideID
}

const (
	// A disc of this share of half a width is of a needle or a hairline.
	needleShare = 1.0 / 16
	// So many of those, a row of a hundred widths, are no needle's tip: bands half a
	// width deep would cross each other more often than it takes to look closer.
	manyNeedles = 1000
)

// divide parts the shapes whose banks cannot be followed into what is thin and what is sturdy, each on a map of its own:
// what lies beside a shape is told by its sides, and needs no place on that. Where bands cross too often, of one shape or
// of all together, it looks closer at all of them.
func (f *finder) divide(ctx context.Context) error {
	var mapped []*shape
	for i := range f.shapes {
		if s := &f.shapes[i]; s.mapped() {
			mapped = append(mapped, s)
		}
	}
	all := make([]*parted, len(mapped))
	err := f.partAll(ctx, mapped, all, false)
	if crowded := (*planar.ComplexityError)(nil); errors.As(err, &crowded) && f.helps(all) {
		err = f.partAll(ctx, mapped, all, true)
	}
	if err != nil {
		return err
	}
	for i, s := range mapped {
		s.parts, s.discs = all[i].parts, all[i].left
	}
	if f.o.Memory != nil {
		f.o.Memory.keepParted(all)
	}
	return nil
}

// helps reports whether it may help to look closer at the shapes too at which that was not done: not if those are too much
// at which it was.
func (f *finder) helps(all []*parted) bool {
	crossings := 0
	for _, p := range all {
		if p != nil && p.closer {
			if p.parts == nil {
				return false
			}
			crossings += p.crossings
		}
	}
	return crossings <= f.most
}

// partAll does so for the shapes for which it was not done already, and looks closer at each if it is asked to.
func (f *finder) partAll(ctx context.Context, mapped []*shape, all []*parted, closer bool) error {
	errs := make([]error, len(mapped))
	var crossings atomic.Int64
	err := parallel.Do(ctx, len(mapped), func(i int) {
		s := mapped[i]
		// Whoever comes last, it is too many for all of them together, or for none.
		if done := all[i] != nil && all[i].closer; !done && crossings.Load() <= int64(f.most) {
			if all[i], errs[i] = f.part(ctx, s, closer); errs[i] != nil {
				return
			}
		}
		if all[i] == nil || crossings.Add(int64(all[i].crossings)) > int64(f.most) {
			errs[i] = &planar.ComplexityError{At: s.bounds.Centre(), Budget: f.most}
		}
	})
	return cmp.Or(append(errs, err)...)
}

// part does so with one shape, unless that was done. Bands are made less deep where the outline is shallow only if there is
// much of that, or if they cross too often: it takes more corners, and another corner on the grid moves what is found by a
// step or two.
func (f *finder) part(ctx context.Context, s *shape, closer bool) (*parted, error) {
	needles := 0
	for k := range s.discs {
		if s.discs[k].r < needleShare*f.lengths.r {
			needles++
		}
	}
	closer = closer || needles >= manyNeedles
	if p := f.o.Memory.parted(s, closer); p != nil {
		return p, nil
	}
	p := &parted{sides: s.sides, discs: s.discs, pinched: s.pinched, closer: closer}
	s.shallow = nil
	if closer {
		if err := f.lookCloser(ctx, s); err != nil {
			return nil, err
		}
	}
	var err error
	p.parts, p.crossings, err = f.cut(ctx, s)
	p.left, s.discs = s.discs, p.discs
	return p, err
}

// lookCloser makes ready for what crowds: it works out where the shape is shallow,
// and has what follows drawn larger.
func (f *finder) lookCloser(ctx context.Context, s *shape) (err error) {
	s.shallow, err = s.shallows(&pace{ctx: ctx}, &f.lengths)
	return err
}

// The layers of a shape's map, and the labels of its parts.
const (
	outlined, opened, barred = 0, 1, 2
	thinPart, sturdyPart     = 0, 1
)

// cut lays a shape on a map, opened, with the bars of its medial discs. It returns, too, how often what it has laid crosses.
func (f *finder) cut(ctx context.Context, s *shape) (_ *overlay, crossings int, _ error) {
	open, err := f.open(ctx, s)
	if err != nil {
		return nil, 0, err
	}
	bars, err := s.bars(&pace{ctx: ctx}, &f.lengths)
	if err != nil {
		return nil, 0, err
	}
	if s.shallow != nil {
		s.fewer()
	}
	layers := []planar.Layer{{Figures: []planar.Figure{{Path: s.outline, Rule: geometry.EvenOdd}}}, {Figures: open}, {Figures: bars}}
	d, err := f.overlay(ctx, s, layers, label)
	if err != nil {
		return nil, 0, err
	}
	return d, d.crossings, nil
}

// label says whether a place of a shape is thin. cover is ascending.
func label(cover []int32) int32 {
	switch {
	case len(cover) == 0 || cover[0] != outlined:
		return planar.None
	case len(cover) == 2 && cover[1] == opened:
		return sturdyPart
	}
	return thinPart
}
