package layout

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/packing"
	"abut/internal/cutfile"
)

// Which says which sheet of a layout is meant, from one layout of the same designs and
// stock to the next.
type Which struct {
	// From is the first of the pages that has the separation, and Of indexes those of
	// that page.
	From, Of int
	// Bed is which of what there is to cut from: the offcuts, the smallest first, and
	// then whole sheets or the roll. Nth is which one of those, from 0.
	Bed, Nth int
}

// Pinned stays where it lies: its Copy, Piece, From, Of, Turn and Min say what and
// where.
type Pinned struct {
	On Which
	Placed
}

// KeptFree is a place where nothing is to lie, such as a flaw in the sheet.
type KeptFree struct {
	On       Which
	Min, Max cutfile.Point
}

// on reports whether it is on a sheet of this separation.
func (w Which) on(s separation) bool { return w.From == s[0].n && w.Of == s[0].of }

// pins are those of a task that there is a bed for: what is pinned piece by piece is not
// where copies are kept together, and the other way round. What is pinned twice is where
// it was first.
func (t *task) pins(o Options, beds []bed) (out []Pinned) {
	for _, x := range o.Pinned {
		k := slices.IndexFunc(beds, func(b bed) bool { return b.id == x.On.Bed })
		p, there := t.part(x)
		switch {
		case !x.On.on(t.of) || k < 0 || !there || (x.Piece == 0) != (t.way == Together):
		case x.On.Nth < 0 || x.On.Nth > 0 && beds[k].kind != Whole:
		case x.Copy < t.number(p, 0) || x.Copy > t.number(p, t.each-1):
		case slices.ContainsFunc(out, func(o Pinned) bool { return o.Copy == x.Copy && o.Piece == x.Piece && o.From == x.From && o.Of == x.Of }):
		default:
			out = append(out, x)
		}
	}
	return out
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
		if k := t.bed(w.Bed); k >= 0 {
			out = append(out, packing.Blocked{Kind: k, Nth: w.Nth, Outline: outline.Transform(t.beds[k].fromSheet(t.edge))})
		}
	}
	for _, x := range t.pinned {
		p, _ := t.part(x)
		m := t.moveOf(x, p, t.bed(x.On.Bed))
		if x.Piece > 0 {
			add(x.On, path(m.contours(p.get().Pieces[x.Piece-1].Contours)))
			continue
		}
		a, b := sorted(m.point(p.get().Min), m.point(p.get().Max))
		add(x.On, rectangle(a, b))
	}
	for _, f := range t.free {
		add(f.On, rectangle(f.Min, f.Max))
	}
	return out
}

func rectangle(a, b cutfile.Point) geometry.Path {
	p, q := a.MM(), b.MM()
	return geometry.Path{geometry.Polygon(p, geometry.Pt(q.X, p.Y), q, geometry.Pt(p.X, q.Y))}
}

// bed returns where a bed is among those that have room for anything, −1 for nowhere.
func (t *task) bed(id int) int {
	return slices.IndexFunc(t.beds, func(b bed) bool { return b.id == id })
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
