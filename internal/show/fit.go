package show

import (
	"slices"

	"abut/geometry"
)

// closeUp is a part of the board as large as the stage.
func closeUp(d *drawing, at geometry.Point, highMM float64) geometry.Affine {
	wide := highMM * d.wide / PictureHeight
	return Fitted(geometry.RectXYWH(at.X-wide/2, at.Y-highMM/2, wide, highMM), d.room(0))
}

// edges shows two neighbours close up: the gap between them closes.
func (a *art) edges() func(*drawing) {
	const highMM, gapMM = 14, 1.6
	sheet := whole(a.page.Grow(60).Path())
	return func(d *drawing) {
		at := closeUp(d, a.seam.at, highMM)
		d.fill(sheet, at, a.blank, 1)
		open := gapMM * (1 - d.between(0.2, 0.85))
		for i := range a.cut {
			s, place := &a.cut[i], at
			if i == a.seam.upper {
				v := a.seam.across.Mul(open)
				place = at.Mul(geometry.Translate(v.X, v.Y))
			}
			d.fill(s.all, place, s.colour, 1)
			d.edge(s, place, d.edgeOn(), 1.5)
		}
	}
}

// fine shows what is too fine, and what becomes of it.
func (a *art) fine() func(*drawing) {
	const radius = 16
	spot := ring(geometry.Point{}, 1)
	// Where places lie close to each other one ring stands for all of them.
	around := func(d *drawing, at geometry.Affine, spots []geometry.Point, r float64) {
		var shown []geometry.Point
		for _, p := range spots {
			q := at.Apply(p)
			if slices.ContainsFunc(shown, func(o geometry.Point) bool { return o.Sub(q).Len() < 2.2*radius }) {
				continue
			}
			shown = append(shown, q)
			place := geometry.Translate(q.X, q.Y).Mul(geometry.Scale(r, r))
			d.outline(spot, place, LightRoom.Paper, 7, 0)
			d.outline(spot, place, LightRoom.Ink, 3, 0)
		}
	}
	if a.before == nil {
		return func(d *drawing) {
			at := a.flat(d)
			a.picture(d)
			around(d, at, a.weak.open, radius+44*(1-d.between(0, 0.8)))
		}
	}
	highMM := max(12*a.weak.widthMM, 12)
	sheet := whole(a.page.Grow(200).Path())
	return func(d *drawing) {
		at := closeUp(d, a.weak.at, highMM)
		d.fill(sheet, at, a.blank, 1)
		d.paint(a.before, at, 1)
		if d.t > 0.3 {
			d.paint(a.cut, at, d.between(0.3, 0.8))
		}
		around(d, at, []geometry.Point{a.weak.at}, 150)
	}
}

// framed shows why there is a frame: it goes around all that is on the base.
func (a *art) framed() func(*drawing) {
	ground := whole(a.page.Grow(0.04 * a.page.Width()).Path())
	page := whole(a.page.Path())
	return func(d *drawing) {
		at := Fitted(a.page.Grow(0.04*a.page.Width()), d.room(16))
		d.fill(ground, at, d.Table, 1)
		base := &a.cut[0]
		d.fill(page, at, d.Paper, 1)
		d.fill(page, at, base.colour, 0.25*(1-d.between(0.5, 0.9)))
		for i := range a.cut {
			s := &a.cut[i]
			alpha := 1.0
			if i > 0 {
				alpha = d.between(0.5, 0.9)
			}
			d.fill(s.all, at, s.colour, alpha)
			d.edge(s, at, d.edgeOn(), 1)
		}
		d.outline(a.frame, at, LightRoom.Paper, 9, 0)
		d.outline(a.frame, at, LightRoom.Ink, 4, 0)
	}
}

// turned shows the carrier turning over onto the blank, like a page: what lay
// mirrored reads the right way round.
func (a *art) turned() func(*drawing) {
	r := around(a.page)
	paper := whole(r.Path())
	return func(d *drawing) {
		all := d.room(16)
		gap := 24.0
		half := geometry.RectXYWH(all.Centre().X+gap/2, all.Min.Y, (all.Width()-gap)/2, all.Height())
		right := Fitted(r, half)
		// The page turns about the middle of the stage.
		hinge := geometry.Translate(d.wide/2, 0)
		back := geometry.Translate(-d.wide/2, 0)
		turn := 1 - 2*d.between(0.15, 0.85) // cosine of how far it is
		// The blank waits at the right.
		d.fill(paper, right, a.blank, 1)
		d.outline(paper, right, d.Quiet, 2, 0)
		left := hinge.Mul(geometry.Scale(-1, 1)).Mul(back).Mul(right)
		d.outline(paper, left, d.Quiet, 2, 8)
		place := hinge.Mul(geometry.Scale(-flatten(turn), 1)).Mul(back).Mul(right)
		if turn > 0 { // its colours are up
			d.fill(paper, place, d.Paper, 1)
			d.paint(a.cut, place, 1)
			d.outline(paper, place, d.Quiet, 2, 0)
			return
		}
		// Its back is up, until it is taken off.
		d.paint(a.cut, right, d.between(0.84, 0.86))
		if off := d.between(0.86, 1); off < 1 {
			place = geometry.Translate(0, -PictureHeight*off).Mul(place)
			d.fill(paper, place, d.Paper, 1)
			d.outline(paper, place, d.edgeOn(), 2, 0)
		}
	}
}

// flatten keeps a page that is seen from its edge from vanishing.
func flatten(turn float64) float64 {
	if turn >= 0 {
		return max(turn, 0.01)
	}
	return min(turn, -0.01)
}
