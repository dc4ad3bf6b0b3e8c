package show

import (
	"math"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit/assemble"
)

// maxSheets is how many sheets are seen side by side as they are cut.
const maxSheets = 12

// peeled shows the sheets side by side, mirrored as they are cut; from one after the
// other the waste is peeled.
func (a *art) peeled() func(*drawing) {
	n := min(len(a.cut), maxSheets)
	r := around(a.page)
	paper := whole(r.Path())
	waste := make([]*Shape, n) // a sheet with holes where its pieces are
	for i := range waste {
		waste[i] = whole(append(r.Path(), a.cut[i].all.Path.Reverse()...))
	}
	return func(d *drawing) {
		all := d.room(12)
		columns := 1
		best := 0.0
		for c := 1; c <= n; c++ {
			rows := (n + c - 1) / c
			if k := math.Min(all.Width()/float64(c)/r.Width(), all.Height()/float64(rows)/r.Height()); k > best {
				best, columns = k, c
			}
		}
		rows := (n + columns - 1) / columns
		w, h := all.Width()/float64(columns), all.Height()/float64(rows)
		// What lies on its sheet first, so that waste lifts over all of them.
		for i := range n {
			at := a.grid(all, r, i, n, columns, w, h)
			d.fill(paper, at, d.Paper, 1)
			d.fill(a.cut[i].all, at, a.cut[i].colour, 1)
			d.edge(&a.cut[i], at, d.edgeOn(), 1.5)
			d.ink(&a.cut[i], at, 1)
			if i == 0 && a.frame != nil {
				d.outline(a.frame, at, d.edgeOn(), 2, 0)
			}
			d.outline(paper, at, d.Quiet, 1.5, 0)
		}
		for i := range n {
			begin, end := turn(i, n, 0.05, 1)
			off := d.between(begin, end)
			if off >= 1 {
				continue
			}
			at := a.grid(all, r, i, n, columns, w, h)
			// It goes up and away, as one lifts it by a corner.
			place := geometry.Translate(0.35*w*off, -0.9*h*off).Mul(at)
			d.fill(waste[i], place, a.cut[i].colour, 1-off)
			if off < 0.8 {
				d.outline(waste[i], place, d.edgeOn(), 1, 0)
			}
		}
	}
}

// grid is where sheet i of n lies, mirrored; the last row stands in the middle.
func (a *art) grid(all, r geometry.Rect, i, n, columns int, w, h float64) geometry.Affine {
	row, column := i/columns, i%columns
	inRow := min(columns, n-row*columns)
	left := all.Centre().X - float64(inRow)*w/2
	cell := geometry.RectXYWH(left+float64(column)*w, all.Min.Y+float64(row)*h, w, h).Grow(-8)
	return mirrored(Fitted(r, cell), r)
}

// laid shows sheet i, and all from it up to last, coming onto the carrier: by hand piece
// by piece, with film all at once. It lies mirrored, colours up.
func (a *art) laid(i, last int) func(*drawing) {
	r := around(a.page)
	carrier, film := whole(r.Path()), whole(a.page.Path())
	return func(d *drawing) {
		at := mirrored(Fitted(r, d.room(16)), r)
		d.fill(carrier, at, d.Paper, 1)
		d.outline(carrier, at, d.Quiet, 2, 0)
		d.outline(a.frame, at, d.edgeOn(), 2, 0)
		for k := range i {
			d.fill(a.cut[k].all, at, a.cut[k].colour, 1)
			d.edge(&a.cut[k], at, d.edgeOn(), 1)
			d.ink(&a.cut[k], at, 1)
		}
		for k := i; k <= last; k++ {
			begin, end := turn(k-i, last-i+1, 0.05, 0.95)
			a.lay(d, &a.cut[k], film, at, begin, end)
		}
	}
}

// handPieces is how many pieces are laid one after the other; more come together.
const handPieces = 6

func (a *art) lay(d *drawing, s *sheet, film *Shape, at geometry.Affine, begin, end float64) {
	const from = PictureHeight // above the stage
	put := func(shape *Shape, place geometry.Affine) {
		d.fill(shape, place, s.colour, 1)
		one := *s
		one.all = shape
		d.edge(&one, place, d.edgeOn(), 1)
	}
	switch {
	case s.carry == assemble.Stays:
		put(s.all, at)
		d.ink(s, at, 1)
	case s.carry == assemble.ByHand && len(s.pieces) <= handPieces:
		for n, p := range s.pieces {
			b, e := turn(n, len(s.pieces), begin, end)
			if x := d.between(b, e); x > 0 {
				put(p, geometry.Translate(0, -from*(1-x)).Mul(at))
			}
		}
		d.ink(s, at, d.between(end-0.01, end)) // nobody knows which piece has which of it
	default:
		x := d.between(begin, begin+(end-begin)*0.6)
		if x == 0 {
			return
		}
		place := geometry.Translate(0, -from*(1-x)).Mul(at)
		put(s.all, place)
		d.ink(s, place, 1)
		// The film is drawn off once its pieces lie.
		off := d.between(begin+(end-begin)*0.65, end)
		if s.carry == assemble.WithFilm && off < 1 {
			f := geometry.Translate(0, -from*off).Mul(place)
			d.fill(film, f, d.Accent, 0.18)
			d.outline(film, f, d.Accent, 3, 10)
		}
	}
}

// press shows carrier and blank between the platens, seen from the side.
func (a *art) press() func(*drawing) {
	bed := box(geometry.RectXYWH(-230, 0, 460, 46), 6)
	post := box(geometry.RectXYWH(250, -330, 46, 376), 6)
	foot := box(geometry.RectXYWH(-250, 46, 560, 26), 6)
	platen := box(geometry.RectXYWH(-230, -64, 460, 64), 6)
	arm := box(geometry.RectXYWH(-40, -104, 336, 40), 6)
	blank := box(geometry.RectXYWH(-170, -26, 340, 26), 4)
	paper := box(geometry.RectXYWH(-180, -10, 360, 10), 2)
	wave := whole(geometry.Path{{Start: geometry.Pt(-5, 0), Closed: true, Segments: []geometry.Segment{
		geometry.CubicTo(geometry.Pt(-19, 12), geometry.Pt(9, 22), geometry.Pt(-5, 36)),
		geometry.LineTo(geometry.Pt(5, 36)),
		geometry.CubicTo(geometry.Pt(19, 22), geometry.Pt(-9, 12), geometry.Pt(5, 0)),
	}}})
	return func(d *drawing) {
		at := geometry.Translate(d.wide/2-20, PictureHeight-110)
		down := d.between(0.05, 0.6)
		d.fill(post, at, d.Quiet, 1)
		d.fill(foot, at, d.Quiet, 1)
		d.fill(bed, at, d.Table, 1)
		d.outline(bed, at, d.Ink, 2, 0)
		d.fill(blank, at, a.blank, 1)
		d.outline(blank, at, d.edgeOn(), 2, 0)
		sheet := geometry.Translate(0, -26).Mul(at)
		d.fill(paper, sheet, a.cut[0].colour, 1)
		d.outline(paper, sheet, d.edgeOn(), 2, 0)
		top := geometry.Translate(0, -36-200*(1-down)).Mul(at)
		d.fill(platen, top, d.Quiet, 1)
		d.outline(platen, top, d.Ink, 3, 0)
		d.fill(arm, top, d.Quiet, 1)
		d.outline(arm, top, d.Ink, 2, 0)
		if d.t >= 0.7 { // heat comes down
			for k := range 5 {
				w := geometry.Translate(-160+80*float64(k), -56).Mul(top)
				d.fill(wave, w, d.Ground, 1)
			}
		}
	}
}

// done shows the finished thing: the carrier lifts off it.
func (a *art) done() func(*drawing) {
	kind := a.kind()
	var on []ink // the sheets and what a pen drew, as they lie on what is drawn here
	at := a.lies(kind)
	var lying geometry.Rect
	put := func(s *Shape, c colour.RGB) {
		p := s.Path.Transform(at)
		if kind == mug {
			p = onMug(s.Path, at)
		}
		if b := p.Bounds(); len(on) == 0 {
			lying = b
		} else {
			lying = lying.Union(b)
		}
		on = append(on, ink{whole(p), c})
	}
	for i := range a.cut {
		put(a.cut[i].all, a.cut[i].colour)
	}
	for i := range a.cut {
		for _, k := range a.cut[i].inks {
			put(k.shape, k.colour)
		}
	}
	body := mugBody
	if kind != mug {
		body = a.body(kind)
	}
	carrier := whole(around(lying).Path())
	return func(d *drawing) {
		k := (PictureHeight - 40) / 400.0
		place := geometry.Translate(d.wide/2, PictureHeight/2+6).Mul(geometry.Scale(k, k))
		if kind == mug {
			d.fill(mugHandle, place, a.blank, 1)
			d.outline(mugHandle, place, d.edgeOn(), 2, 0)
		}
		if kind == tote {
			d.fill(toteHandles, place, a.blank, 1)
			d.outline(toteHandles, place, d.edgeOn(), 2, 0)
		}
		d.fill(body, place, a.blank, 1)
		d.outline(body, place, d.edgeOn(), 2, 0)
		if kind == mug {
			d.fill(mugMouth, place, LightRoom.Table, 1)
			d.outline(mugMouth, place, d.edgeOn(), 2, 0)
		}
		for _, s := range on {
			d.fill(s.shape, place, s.colour, 1)
		}
		if up := d.between(0.1, 0.9); up < 1 {
			c := geometry.Translate(0, -PictureHeight*up).Mul(place)
			d.fill(carrier, c, LightRoom.Paper, 1)
			d.outline(carrier, c, d.edgeOn(), 2, 0)
		}
	}
}
