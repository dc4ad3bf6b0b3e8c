package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

const (
	// growStep is by how much more, in narrowest widths, a piece grows each time it is
	// still too thin, and mostWhole how far it grows at most.
	growStep  = 0.1
	mostWhole = 1.1
	// mostLarger is how many times as large a piece becomes at most: what was a crumb is none
	// afterwards.
	mostLarger = 6
	// cornerLimit is how far, in times how far it grows, a corner may reach: that of a square
	// stays one, a sharper one is cut off straight.
	cornerLimit = 2.3
	// endShare is how large a share of a piece that grows its thin ends are at most, which
	// are cut off: what is a point all along would be another shape.
	endShare = 0.3
)

// enlarged is what wholeLarger found for a spot on a map: its pieces may have thousands of sides, and what nothing
// was done about is looked at once more when less is spared.
type enlarged struct {
	on    *own.Places
	found map[job.Mend][]layer
}

// wholeLarger returns what wholeAnew does, found once for a map.
func (m *mending) wholeLarger(ctx context.Context, s *Spot, mend job.Mend, settings job.Settings) ([]layer, error) {
	if s.enlarged == nil || s.enlarged.on != m.Places {
		s.enlarged = &enlarged{m.Places, map[job.Mend][]layer{}}
	}
	if out, known := s.enlarged.found[mend]; known {
		return slices.Clone(out), nil
	}
	out, err := m.wholeAnew(ctx, s, mend, settings)
	if err == nil {
		s.enlarged.found[mend] = slices.Clone(out)
	}
	return out, err
}

// wholeAnew returns layers that make a piece that is thin all over broad as a whole: its
// outline moves outwards by as little as makes all of it broad enough, evenly on the side of
// those that give way, and stays where others are: what was left of a disc behind a bar grows
// away from that. So it has no more corners than before, where discs along its middle would
// make a bone of it. What is thin all the same at its ends is cut off straight, or with Smooth,
// for what nobody drew, round. Nothing where it would have to grow too far. Errors as own.Lay.
func (m *mending) wholeAnew(ctx context.Context, s *Spot, mend job.Mend, settings job.Settings) ([]layer, error) {
	if s.whole == nil || !s.Whole && s.Kind != weak.Speck {
		return nil, nil
	}
	w := settings.Narrowest()
	from := taker{everyone: true}
	room := []planar.Figure{{Path: m.page.Path()}}
	if mend.Chosen {
		from = taker{of: m.Named(m.Rules, mend.To)}
		if room = m.roomOf(s, from.of, 2*mostWhole*w); room == nil {
			return nil, nil
		}
	}
	g := grower{
		piece: s.whole, about: s.ofPiece(), smooth: mend.Smooth, room: room, alike: m.others(s, 2*mostWhole*w), apart: w,
		limits: weak.Options{WidthMM: w + widenMM/2, SpeckMM: settings.Speck() + widenMM/2, NoGaps: true, NoSpines: true},
	}
	for by := math.Max(widenMM, (w-s.WidthMM)/2); by <= mostWhole*w; by += growStep * w {
		grown, err := g.by(ctx, by)
		if err != nil {
			return nil, err
		}
		if grown != nil && (g.joins(grown) || grown.SignedArea() > mostLarger*s.whole.SignedArea()) {
			return nil, nil
		}
		if grown != nil {
			return s.becomes(ctx, grown, from)
		}
	}
	return nil, nil
}

// becomes returns the layers: what the thin ends lose, and what the piece gains.
func (s *Spot) becomes(ctx context.Context, grown geometry.Path, from taker) (out []layer, err error) {
	l := layer{from: s.goes()}
	if l.path, err = minus(ctx, s.whole, grown); err != nil {
		return nil, err
	}
	if len(l.path) > 0 {
		if l.path, err = covering(ctx, l.path); err != nil {
			return nil, err
		}
		if l.to = from.of; from.everyone {
			// At the picture's edge others take it, as long as there are any.
			l.to, _ = s.firstBeside()
		}
		out = append(out, l)
	}
	return append(out, layer{path: grown, from: from, to: s.Of}), nil
}

// roomOf returns where the piece of a spot may grow to when one neighbour alone gives way:
// nothing where that is not beside it.
func (m *mending) roomOf(s *Spot, of own.Material, reach float64) []planar.Figure {
	if !slices.ContainsFunc(s.Neighbours, func(n Neighbour) bool { return n.Of == of }) {
		return nil
	}
	near := s.whole.Bounds().Grow(reach)
	out := []planar.Figure{evenOdd(s.whole)}
	for _, p := range m.piecesNear(of, near) {
		out = append(out, evenOdd(crop(p.Outline, near)))
	}
	return out
}

// grower makes a piece larger where there is room.
type grower struct {
	piece  geometry.Path
	about  *piece
	smooth bool
	room   []planar.Figure
	limits weak.Options
	alike  []geometry.Path // other pieces of its material
	apart  float64         // how far from those it stays, where it is so far, in mm
}

// others returns the pieces of a spot's material near to its own.
func (m *mending) others(s *Spot, reach float64) (out []geometry.Path) {
	its := s.whole.Bounds()
	near := its.Grow(reach)
	for _, p := range m.piecesNear(s.Of, near) {
		if !same(p.Bounds, its) {
			out = append(out, crop(p.Outline, near))
		}
	}
	return out
}

// joins reports whether the grown piece comes so near to another one of its material that both
// would be taken for one.
func (g *grower) joins(grown geometry.Path) bool {
	return slices.ContainsFunc(g.alike, func(p geometry.Path) bool {
		return between(grown, p) < math.Min(g.apart, between(g.piece, p)-own.HealMM)
	})
}

// between returns how far apart two polygons are.
func between(a, b geometry.Path) float64 {
	d := math.Inf(1)
	for _, paths := range [...][2]geometry.Path{{a, b}, {b, a}} {
		for _, c := range paths[0] {
			for p := range c.Sides() {
				d = math.Min(d, paths[1].Distance(p))
			}
		}
	}
	return d
}

// by returns the piece grown by a distance, without its thin ends; nothing where it is still
// thin, falls apart, or loses much of what it was. Errors as own.Lay.
func (g *grower) by(ctx context.Context, distance float64) (geometry.Path, error) {
	path, err := g.offset(ctx, growth{distance, g.smooth})
	if err != nil {
		return nil, err
	}
	grown, err := one(ctx, path, g.room)
	if err == nil && grown != nil && g.smooth {
		grown, err = g.rounded(ctx, grown)
	}
	if err != nil || grown == nil {
		return nil, err
	}
	grown, thin, err := g.withoutEnds(ctx, grown)
	if err != nil || grown == nil || !thin {
		return grown, err
	}
	if grown, thin, err = g.withoutEnds(ctx, grown); thin {
		return nil, err
	}
	return grown, err
}

// growth is by how much the outline of a piece moves outwards, and how its corners do.
type growth struct {
	mm     float64
	smooth bool
}

// offset returns the piece grown so, wherever there is room: the same whoever gives way, so it is found once. Errors as own.Lay.
func (g *grower) offset(ctx context.Context, by growth) (geometry.Path, error) {
	g.about.mu.Lock()
	defer g.about.mu.Unlock()
	if path, known := g.about.grown[by]; known {
		return path, nil
	}
	join := geometry.Join{MitreLimit: cornerLimit}
	if by.smooth {
		join = geometry.Join{}
	}
	path, err := planar.Offset(ctx, planar.Enclosed(g.piece), by.mm, join, planar.Options{SagittaMM: spotSagittaMM})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	if g.about.grown == nil {
		g.about.grown = map[growth]geometry.Path{}
	}
	g.about.grown[by] = path
	return path, nil
}

// rounded returns what of the grown piece discs of the narrowest width reach that may lie on
// what does not give way: its corners there stay (an opening by a disc, Serra, Image
// Analysis and Mathematical Morphology, 1982, chapter II). Nothing where it falls apart.
func (g *grower) rounded(ctx context.Context, grown geometry.Path) (geometry.Path, error) {
	r := g.limits.WidthMM / 2
	around := grown.Bounds().Grow(4 * r)
	others, err := minus(ctx, around.Path(), nil, g.room...)
	if err != nil {
		return nil, err
	}
	opt := planar.Options{SagittaMM: spotSagittaMM}
	all := planar.Layer{Figures: []planar.Figure{evenOdd(grown), evenOdd(others)}}
	inner, err := planar.Offset(ctx, all, -r, geometry.Join{}, opt)
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	open, err := planar.Offset(ctx, planar.Enclosed(inner), r, geometry.Join{}, opt)
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	return one(ctx, grown, []planar.Figure{evenOdd(open)})
}

// withoutEnds returns the grown piece without its thin ends, if it has any; nothing where it is
// thin elsewhere, or much of it would go.
func (g *grower) withoutEnds(ctx context.Context, grown geometry.Path) (_ geometry.Path, thin bool, _ error) {
	spots, err := weak.Find(ctx, []geometry.Path{grown}, g.limits)
	if err != nil || len(spots) == 0 {
		return grown, false, own.Explain(err, nil)
	}
	area := 0.0
	var ends geometry.Path
	for i := range spots {
		if spots[i].Whole || spots[i].Kind != weak.Point && spots[i].Kind != weak.Sliver {
			return nil, true, nil
		}
		area += spots[i].AreaMM2
		ends = append(ends, spots[i].Outline...)
	}
	if area > endShare*math.Abs(grown.SignedArea()) {
		return nil, true, nil
	}
	out, err := one(ctx, slices.Concat(grown, ends), nil)
	return out, true, err
}

// one returns a path within some room, nil for everywhere, in one piece but for crumbs and
// without those; nil where it falls apart. Errors as own.Lay.
func one(ctx context.Context, path geometry.Path, room []planar.Figure) (geometry.Path, error) {
	l := planar.Enclosed(path)
	if room != nil {
		l.Figures[0].Clips = []*planar.Clip{{Figures: room}}
	}
	d, err := planar.Region(ctx, l, planar.RegionOptions{HealMM: own.HealMM})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	large := -1
	for i := range d.Pieces {
		if d.Pieces[i].AreaMM2() < seenMM*seenMM {
			continue
		}
		if large >= 0 {
			return nil, nil
		}
		large = i
	}
	if large < 0 {
		return nil, nil
	}
	return d.Outline(large).Simplified(seenMM / 8), nil
}
