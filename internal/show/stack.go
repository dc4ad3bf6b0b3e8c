package show

import (
	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/message"
)

// flat is where a picture is seen from above, as large as the stage holds it.
func (a *art) flat(d *drawing) geometry.Affine { return Fitted(around(a.extent), d.room(16)) }

// paint draws sheets over each other, and on them what a pen drew.
func (d *drawing) paint(sheets []sheet, at geometry.Affine, alpha float64) {
	for i := range sheets {
		d.fill(sheets[i].all, at, sheets[i].colour, alpha)
	}
	for i := range sheets {
		d.ink(&sheets[i], at, alpha)
	}
}

// ink draws what a pen drew on a sheet.
func (d *drawing) ink(s *sheet, at geometry.Affine, alpha float64) {
	for _, k := range s.inks {
		d.fill(k.shape, at, k.colour, alpha)
	}
}

// ground draws the blank beneath a picture.
func (a *art) ground(d *drawing, at geometry.Affine) {
	d.add(Mark{Shape: a.under, Place: at, Fill: a.blank, Alpha: 1})
	d.outline(a.under, at, d.Quiet, 1.5, 0)
}

// picture shows what is to be made.
func (a *art) picture(d *drawing) {
	at := a.flat(d)
	a.ground(d, at)
	d.paint(a.cut, at, 1)
}

// tilt is how a card on the table is seen: from the front and above, its middle at
// the origin.
func tilt(r geometry.Rect, wide float64) geometry.Affine {
	const lean, flat = -0.32, 0.52
	k := wide / (r.Width() + -lean*r.Height())
	c := r.Centre()
	return geometry.Affine{A: k, C: lean * k, D: flat * k}.Mul(geometry.Translate(-c.X, -c.Y))
}

// tilted returns tilt so large that it stays within width and height.
func tilted(r geometry.Rect, wide, high float64) geometry.Affine {
	m := tilt(r, wide)
	if h := m.D * r.Height(); h > high {
		m = tilt(r, wide*high/h)
	}
	return m
}

// maxCards is how many sheets are seen apart from each other: more would lie closer
// than a finger. The rest lie on the last.
const maxCards = 8

// apart pulls the sheets apart as they lie.
func (a *art) apart() func(*drawing) {
	r := around(a.extent)
	card := whole(r.Path())
	n := min(len(a.drawn), maxCards)
	return func(d *drawing) {
		// Names stand at the right.
		names := 250.0
		left := geometry.RectXYWH(16, 16, d.wide-names-32, PictureHeight-32)
		high := left.Height() * (0.34 + 0.5/float64(n))
		m := tilted(r, left.Width(), high)
		gap := 0.0
		if n > 1 {
			gap = (left.Height() - m.D*r.Height()) / float64(n-1)
		}
		middle := left.Centre().X
		bottom := left.Max.Y - m.D*r.Height()/2
		lone := left.Centre().Y
		open := d.between(0.1, 0.9)
		for i := range a.drawn {
			k := min(i, n-1)
			y := lone + (bottom-gap*float64(k)-lone)*open
			at := geometry.Translate(middle, y).Mul(m)
			if i == k {
				if n <= 4 { // more would hide each other, as paper does
					d.fill(card, at, d.Paper, 0.2*open)
				}
				d.outline(card, at, d.Quiet, 1.5, 0)
			}
			s := &a.drawn[i]
			d.fill(s.all, at, s.colour, 1)
			d.edge(s, at, d.Ink, 1)
			if d.t == 1 && i == k && (gap >= LabelSize+4 || n == 1) {
				says := s.name
				if i == n-1 && len(a.drawn) > n {
					says = message.Message{ID: "class-names", Values: map[string]any{"count": message.Count(len(a.drawn) - n + 1)}}
				}
				right := at.MapRect(r)
				d.label(right.Max.X+12, min(y+m.D*r.Height()*0.25, PictureHeight-20), says)
			}
		}
	}
}

// pressed lets the platen come down on the picture as drawn; where colours stack it
// prints pale and mixed.
func (a *art) pressed() func(*drawing) {
	plate := box(geometry.RectXYWH(-0.5, -1, 1, 1), 0)
	return func(d *drawing) {
		at := a.flat(d)
		a.picture(d)
		// What has been pressed is as it will look.
		if d.t >= 0.5 {
			for i := range a.impressions {
				x := &a.impressions[i]
				d.fill(x.shape, at, x.colour, 1)
			}
			d.outline(a.stacked, at, a.blank, 3, 0)
		}
		// The platen: down until the middle, then up again.
		down := d.between(0, 0.45) - d.between(0.55, 1)
		if down > 0 {
			r := at.MapRect(around(a.extent))
			y := (r.Max.Y + 8) * down
			place := geometry.Translate(r.Centre().X, y).Mul(geometry.Scale(r.Width()+24, PictureHeight))
			d.fill(plate, place, d.Quiet, 1)
			d.outline(plate, place, d.Ink, 3, 0)
		}
	}
}

// where marks what stacks.
func (a *art) where() func(*drawing) {
	return func(d *drawing) {
		at := a.flat(d)
		a.picture(d)
		if d.t > 0 {
			d.add(Mark{Shape: a.stacked, Place: at, Stacked: true})
		}
	}
}

// lift shows one knock-out: the upper shape lifts, what it stacked with gets a hole,
// and it sinks in.
func (a *art) lift(k *knock) func(*drawing) {
	var beneath []sheet
	r := k.bounds
	for _, s := range a.drawn {
		for _, of := range k.beneath {
			if s.of == of {
				beneath = append(beneath, s)
				r = r.Union(s.bounds)
			}
		}
	}
	r = around(r)
	table := whole(r.Path())
	c := a.colourOf(k.of)
	return func(d *drawing) {
		all := d.room(16)
		const rise = 150
		m := tilted(r, all.Width(), all.Height()-rise)
		at := geometry.Translate(all.Centre().X, all.Max.Y-m.D*r.Height()/2).Mul(m)
		d.fill(table, at, d.Table, 1)
		for i := range beneath {
			d.fill(beneath[i].all, at, beneath[i].colour, 1)
			d.edge(&beneath[i], at, d.Ink, 1.5)
		}
		up := rise * (d.between(0, 0.3) - d.between(0.7, 1))
		switch {
		case d.t >= 0.5 && up > 0: // the print that stays behind, until it is filled
			d.fill(k.hole, at, d.Table, 1)
			d.outline(k.hole, at, d.Ink, 2.5, 8)
		case d.t >= 0.5:
			d.fill(k.hole, at, d.Table, 1)
		case d.t > 0:
			d.add(Mark{Shape: k.hole, Place: at, Stacked: true})
		}
		place := geometry.Translate(0, -up).Mul(at)
		d.fill(k.upper, place, c.colour, 1)
		d.outline(k.upper, place, d.Ink, 1.5, 0)
	}
}

// colourOf returns the sheet of a material, as drawn.
func (a *art) colourOf(of fit.Material) *sheet {
	for i := range a.drawn {
		if a.drawn[i].of == of {
			return &a.drawn[i]
		}
	}
	return &sheet{name: "", all: &Shape{}}
}
