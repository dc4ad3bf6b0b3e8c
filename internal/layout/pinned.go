package layout

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/packing"
	"abut/geometry/planar"
	"abut/internal/cutfile"
	"abut/internal/drawer"
)

// Which says which sheet of a layout is meant, from one layout of the same designs to
// the next.
type Which struct {
	// From is the first of the pages that has the separation, and Of indexes those of
	// that page.
	From, Of int
	// Kind and Size say what it is, and Nth is which one of those that are alike, from 0.
	Kind Kind
	Size drawer.Size
	Nth  int
}

// Pinned stays where it lies: its Copy, Piece, From, Of, Turn and Min say what and
// where, and its Max how large it was.
type Pinned struct {
	On Which
	Placed
}

// KeptFree is a place where nothing is to lie, such as a flaw in the sheet.
type KeptFree struct {
	On Which
	Box
}

// on reports whether it is on a sheet of this separation.
func (w Which) on(s separation) bool { return w.From == s[0].n && w.Of == s[0].of }

// pins are those of a task that can stay: what is pinned twice is where it was first, and
// of two that would lie over each other the first one stays.
func (t *task) pins(ctx context.Context, all []Pinned) (out []Pinned, err error) {
	for _, x := range all {
		if !t.known(x) || slices.ContainsFunc(out, x.same) {
			continue
		}
		over, err := t.over(ctx, x, out)
		if err != nil {
			return nil, err
		}
		if !over {
			out = append(out, x)
		}
	}
	return out, nil
}

// holds reports whether a task's part of an earlier layout can be taken as it was: all
// there is lies in it, each thing as large as it is, over no other and on nothing that is
// kept free unless it is pinned there. Then that is what is pinned.
func (t *task) holds(ctx context.Context, earlier []Pinned) (bool, error) {
	var all []Pinned
	is := map[[3]int]bool{}
	for _, x := range earlier {
		if !x.On.on(t.of) {
			continue
		}
		key := [3]int{x.From, x.Piece, x.Copy}
		if !t.known(x) || is[key] {
			return false, nil
		}
		if !slices.ContainsFunc(t.pinned, x.same) {
			if on, err := t.onFree(ctx, x); on || err != nil {
				return false, err
			}
		}
		is[key] = true
		all = append(all, x)
	}
	if len(all) != t.of.count(t.way, t.each) || slices.ContainsFunc(t.pinned, func(p Pinned) bool { return !slices.Contains(all, p) }) {
		return false, nil
	}
	over, err := t.anyOver(ctx, all)
	if over || err != nil {
		return false, err
	}
	t.pinned = all
	return true, nil
}

// same reports whether two pins are of the same copy, or piece of one.
func (x Pinned) same(o Pinned) bool {
	return o.Copy == x.Copy && o.Piece == x.Piece && o.From == x.From && o.Of == x.Of
}

// known reports whether a pin is of something there is, as large as it was, and within a
// sheet that there is: what is pinned piece by piece is not where copies are kept
// together, and the other way round.
func (t *task) known(x Pinned) bool {
	if !x.On.on(t.of) || !t.turns && x.Turn != 0 || (x.Piece == 0) != (t.way == Together) {
		return false
	}
	p, there := t.part(x)
	k := t.bed(x.On)
	if !there || k < 0 || x.Copy < t.number(p, 0) || x.Copy > t.number(p, t.each-1) || x.On.Nth < 0 || x.On.Nth > mostSheets || x.On.Nth > 0 && x.On.Kind == Roll {
		return false
	}
	outline := t.outline(x)
	lo, hi := bounds(outline)
	return lo == x.Min && hi == x.Max && t.beds[k].room(t.edge).holds(extent(outline))
}

// extent is how far contours reach: not their controls, which bounds has as well.
func extent(contours []cutfile.Contour) Box {
	r := path(contours).Bounds()
	return Box{cutfile.Point{X: cutfile.ToSteps(r.Min.X), Y: cutfile.ToSteps(r.Min.Y)}, cutfile.Point{X: cutfile.ToSteps(r.Max.X), Y: cutfile.ToSteps(r.Max.Y)}}
}

// mostSheets are more of one colour than anyone cuts in a day.
const mostSheets = 10_000

// holds reports whether another box lies within it, and meets whether they share a place.
func (b Box) holds(o Box) bool {
	return o.Min.X >= b.Min.X && o.Min.Y >= b.Min.Y && o.Max.X <= b.Max.X && o.Max.Y <= b.Max.Y
}

func (b Box) meets(o Box) bool {
	return o.Min.X < b.Max.X && b.Min.X < o.Max.X && o.Min.Y < b.Max.Y && b.Min.Y < o.Max.Y
}

// onFree reports whether a pin lies on what is kept free.
func (t *task) onFree(ctx context.Context, x Pinned) (bool, error) {
	for _, f := range t.free {
		if f.On == x.On && f.meets(Box{x.Min, x.Max}) {
			if on, err := overlap(ctx, []geometry.Path{path(t.outline(x)), path([]cutfile.Contour{f.contour()})}); on || err != nil {
				return on, err
			}
		}
	}
	return false, nil
}

// outline is what a pin takes of its sheet: the rectangle around a copy, or a piece.
func (t *task) outline(x Pinned) []cutfile.Contour {
	p, _ := t.part(x)
	m := t.moveOf(x, p, t.bed(x.On))
	if x.Piece > 0 {
		return m.contours(p.get().Pieces[x.Piece-1].Contours)
	}
	a, b := sorted(m.point(p.get().Min), m.point(p.get().Max))
	return []cutfile.Contour{Box{a, b}.contour()}
}

// over reports whether a pin lies over one of others.
func (t *task) over(ctx context.Context, x Pinned, others []Pinned) (bool, error) {
	near := []Pinned{x}
	for _, o := range others {
		if o.On == x.On && (Box{o.Min, o.Max}).meets(Box{x.Min, x.Max}) {
			near = append(near, o)
		}
	}
	return t.anyOver(ctx, near)
}

// anyOver reports whether any two of pins share a place on their sheet.
func (t *task) anyOver(ctx context.Context, all []Pinned) (bool, error) {
	bySheet := map[Which][]Pinned{}
	for _, x := range all {
		bySheet[x.On] = append(bySheet[x.On], x)
	}
	for _, list := range bySheet {
		var paths []geometry.Path
		for i, x := range list {
			meets := func(o Pinned) bool { return (Box{o.Min, o.Max}).meets(Box{x.Min, x.Max}) }
			switch {
			case t.way == Loose:
				paths = append(paths, path(t.outline(x)))
			case slices.ContainsFunc(list[:i], meets):
				return true, nil
			}
		}
		if over, err := overlap(ctx, paths); over || err != nil {
			return over, err
		}
	}
	return false, nil
}

// overlap reports whether any two of some outlines share a place.
func overlap(ctx context.Context, paths []geometry.Path) (bool, error) {
	if len(paths) < 2 {
		return false, ctx.Err()
	}
	layers := make([]planar.Layer, len(paths))
	for i, p := range paths {
		layers[i] = planar.Enclosed(p)
	}
	m, err := planar.Build(ctx, layers, planar.Options{})
	if err != nil {
		return false, err
	}
	for id := range m.NumCovers() {
		if len(m.CoverByID(int32(id))) > 1 {
			return true, nil
		}
	}
	return false, nil
}

// isPinned reports whether copy k, from 0, of a part is, or of a piece of that, from 1.
func (t *task) isPinned(p part, k, piece int) bool {
	return slices.ContainsFunc(t.pinned, func(x Pinned) bool {
		return x.From == p.n && x.Of == p.of && x.Piece == piece && x.Copy == t.number(p, k)
	})
}

// number is that of copy k of a part among all copies.
func (t *task) number(p part, k int) int { return p.n*t.each + k + 1 }

// part returns that of something pinned, false where there is none.
func (t *task) part(x Pinned) (part, bool) {
	i := slices.IndexFunc(t.of, func(p part) bool { return p.n == x.From && p.of == x.Of })
	if i < 0 || x.Piece < 0 || x.Piece > len(t.of[i].get().Pieces) {
		return part{}, false
	}
	return t.of[i], true
}

// blocked are the pinned and the free places of the beds, as packing has them.
func (t *task) blocked() (out []packing.Blocked) {
	add := func(w Which, outline geometry.Path) {
		if k := t.bed(w); k >= 0 {
			out = append(out, packing.Blocked{Kind: k, Nth: t.onBed(w).nth, Outline: outline.Transform(t.beds[k].fromSheet(t.edge))})
		}
	}
	for _, x := range t.pinned {
		add(x.On, path(t.outline(x)))
	}
	for _, f := range t.free {
		add(f.On, path([]cutfile.Contour{f.contour()}))
	}
	return out
}

func (b Box) contour() cutfile.Contour {
	return cutfile.Contour{Start: b.Min, Segments: []cutfile.Segment{{End: cutfile.Point{X: b.Max.X, Y: b.Min.Y}}, {End: b.Max}, {End: cutfile.Point{X: b.Min.X, Y: b.Max.Y}}}}
}

// bed returns where a sheet's bed is among those that have room for anything, −1 for
// nowhere.
func (t *task) bed(w Which) int {
	return slices.IndexFunc(t.beds, func(b bed) bool {
		return b.kind == w.Kind && b.size == w.Size && (b.kind != Offcut || b.alike == w.Nth)
	})
}

// onBed is a sheet as packing counts it: every offcut is a bed of its own.
func (t *task) onBed(w Which) onBed {
	if w.Kind == Offcut {
		return onBed{t.bed(w), 0}
	}
	return onBed{t.bed(w), w.Nth}
}

// fromSheet maps places on the sheet to those that are packed on: what is edge from the
// bed's corner on.
func (b bed) fromSheet(edge float64) geometry.Affine {
	if b.upright {
		return geometry.Affine{B: -1, C: 1, E: -edge, F: b.size.WidthMM - edge}
	}
	return geometry.Translate(-edge, -edge)
}

// moveOf returns how something pinned comes to its place on a bed.
func (t *task) moveOf(x Pinned, p part, k int) move {
	b := t.beds[k]
	m := move{turn: x.Turn, upright: b.upright, width: cutfile.ToSteps(b.size.WidthMM)}
	if b.upright {
		m.turn -= math.Pi / 2
	}
	var at cutfile.Point
	if x.Piece > 0 {
		q := &p.get().Pieces[x.Piece-1]
		// To the last digit the turn that it was packed with: others are off by a float's
		// rounding, which could turn a corner to the next step.
		for _, turn := range turnsOf(path(q.Contours)) {
			if math.Abs(math.Remainder(turn-m.turn, 2*math.Pi)) < 1e-9 {
				m.turn = turn
			}
		}
		at, _ = bounds(m.contours(q.Contours))
	} else {
		at, _ = sorted(m.point(p.get().Min), m.point(p.get().Max))
	}
	d := cutfile.Point{X: x.Min.X - at.X, Y: x.Min.Y - at.Y}
	if b.upright {
		d = cutfile.Point{X: d.Y, Y: -d.X}
	}
	m.shift = d
	return m
}
