package guide

import (
	"fmt"
	"io"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/fit/assemble"
	"abut/internal/print"
	"abut/internal/words"
)

// AssemblyName is the file name of the assembly guide on paper of a format.
func AssemblyName(p print.Paper) string { return "assembly-guide-" + p.Slug() + ".pdf" }

// WriteAssembly writes the assembly guide as PDF: the finished picture, the
// pieces as they lie on the carrier, a page for each sheet, tables of sheets and
// pieces, and a sheet at true size to lay the pieces on.
func (g *Guide) WriteAssembly(w io.Writer, p print.Paper) error {
	g.speak()
	b := &assembly{book: newBook(g, p, g.say("guide-title", "name", g.Title)), mirror: mirrored(g.Page)}
	b.part = geometry.RectXYWH(0, 0, g.Page.Width.MM(), g.Page.Height.MM())
	b.stamps = map[stampKey]print.Stamp{}
	b.cover()
	b.carrier()
	for k := range g.Plan.Separations {
		b.sheet(k)
	}
	b.finish()
	b.list()
	b.placement()
	return b.Document.Write(w)
}

// assembly is the guide in the making.
type assembly struct {
	*book
	// mirror maps board millimetres to the page as cut, part is all of that page.
	mirror geometry.Affine
	part   geometry.Rect
	// stamps are the sheets' pieces, painted once each: a picture of many sheets is on
	// as many pages.
	stamps map[stampKey]print.Stamp
}

// stampKey is a run of sheets, all painted alike.
type stampKey struct {
	from, to int
	look     look
}

// manySheets is how many sheets, from a multiple of that on, are one stamp where all of them are laid or all of them
// coming: of a photo that was drawn as squares there are thousands, each with a page on which all others are shown.
const manySheets = 64

// look is how the pieces of a sheet are painted.
type look uint8

const (
	// coloured is in the sheet's colour, tinted so pale that what is laid shows on it.
	coloured look = iota
	tinted
	// laid is grey, coming an outline.
	laid
	coming
)

// ink is how sheet k is painted. Lines are thin at the size of the design, and up to
// maxZoom times that where it is small.
func (b *assembly) ink(k int, l look) print.Ink {
	c := b.Page.Separations[k].Colour
	switch l {
	case tinted:
		c = c.Over(colour.White, 0.3)
		return print.Ink{Fill: &c, Line: &inkColour, Width: 0.15, EvenOdd: true}
	case laid:
		return print.Ink{Fill: &placedGrey, Line: &comingGrey, Width: 0.08, EvenOdd: true}
	case coming:
		return print.Ink{Line: &comingGrey, Width: 0.08}
	}
	return print.Ink{Fill: &c, Line: &quiet, Width: 0.08, EvenOdd: true}
}

// stamp shows the pieces of sheet k; m maps the page as it is cut to the paper.
func (b *assembly) stamp(k int, l look, m geometry.Affine) { b.show(stampKey{k, k + 1, l}, m) }

// show shows those of a run of sheets as one.
func (b *assembly) show(key stampKey, m geometry.Affine) {
	s, made := b.stamps[key]
	if !made {
		var outline geometry.Path
		for k := key.from; k < key.to; k++ {
			outline = append(outline, b.Plan.Separations[k].Outline...)
		}
		s = b.NewStamp(b.part.Grow(1), outline, b.mirror, b.ink(key.from, key.look))
		b.stamps[key] = s
	}
	b.Show(s, m)
}

// run returns how many sheets from k on are painted as one.
func (b *assembly) run(k int, of func(k int) look) int {
	l := of(k)
	if k%manySheets != 0 || k+manySheets > len(b.Plan.Separations) || l != laid && l != coming {
		return 1
	}
	for n := range manySheets {
		if of(k+n) != l {
			return 1
		}
	}
	return manySheets
}

// maxZoom is how many times its size a small design is shown at.
const maxZoom = 4

// cover is the first page: the finished picture, and which sheets there are.
func (b *assembly) cover() {
	b.page()
	b.para(b.say("guide-title", "name", b.Title), title)
	facts := ""
	for i, f := range b.facts() {
		if i > 0 {
			facts += " · "
		}
		facts += f
	}
	b.para(facts, caption)
	b.y += gap
	b.box(b.say("guide-mirrored"), b.say("guide-mirrored-how"), accent, 0.4)
	if s := b.Plan.Stacked; s.AreaMM2 > 0 {
		red := colour.RGB{R: 0xD5, G: 0x18, B: 0x2B} // kept for what stacks
		b.box(b.say("guide-stacked"), b.say("guide-stacked-how", "count", words.Count(len(s.Places)), "area", b.Words.Area(s.AreaMM2)), red, 0.6)
	}
	if len(b.Plan.Beyond) > 0 {
		text := ""
		for _, x := range b.Plan.Beyond {
			text += b.Words.Message(x.Message) + " "
		}
		b.box(b.say("guide-beyond"), text+b.say("guide-beyond-how"), inkColour, 0.8)
	}
	b.head(b.say("guide-finished"))
	r := b.room()
	r.Min.Y = b.y
	r.Max.Y = min(r.Max.Y, b.y+110)
	if r.Height() < 60 { // the boxes left little
		b.page()
		r = b.room()
		r.Max.Y = r.Min.Y + 110
	}
	// As it is on the blank: the page's picture the right way round.
	m := fitted(b.part, r, maxZoom).Mul(geometry.MirrorX(b.part.Width()))
	b.picture(m, func(int) look { return coloured })
	b.y = m.MapRect(b.part).Max.Y + gap
	b.head(b.say("guide-order"))
	b.sheets()
	for _, why := range []string{b.Words.Message(b.Plan.BaseReason), b.Words.Message(b.Plan.FrameReason)} {
		if why != "" {
			b.para(why, caption)
		}
	}
	b.y += gap
	b.before()
}

// before says what is done before anything is laid, all of it on one page.
func (b *assembly) before() {
	steps := []step{b.first()}
	for _, id := range []string{"guide-step-test", "guide-step-draw", "guide-step-cut", "guide-step-mat"} {
		s := step{b.say(id), b.say(id + "-how")}
		if id == "guide-step-draw" {
			n := len(s.How)
			for i := range b.Page.Separations {
				for _, d := range b.Guide.sheet(i).Drawn {
					s.How += "\n• " + d.Step
				}
			}
			if len(s.How) == n {
				continue // nothing is drawn
			}
		}
		steps = append(steps, s)
	}
	if p, ok := b.parting(); ok {
		steps = append(steps, p)
	}
	h := 0.0
	for _, s := range steps {
		h += strong.Leading() + b.Height(s.How, b.room().Width(), body) + stepGap
	}
	b.need(h)
	for _, s := range steps {
		b.step(s.What, s.How)
	}
}

// sheets is the list of sheets: what to cut each down to, or which a layout takes, and its files.
func (b *assembly) sheets() {
	wide := b.room().Width()
	from, broad := "guide-list-trim", 36.0
	if b.Layout != nil {
		from, broad = "guide-list-laid", 54
	}
	columns := []print.Column{
		{Head: b.say("guide-list-number"), Width: 12, Right: true}, {Width: 7},
		{Head: b.say("guide-list-sheet"), Width: wide - 12 - 7 - 20 - broad - 64},
		{Head: b.say("guide-list-pieces"), Width: 20, Right: true},
		{Head: b.say(from), Width: broad, Right: true},
		{Head: b.say("guide-list-file"), Width: 64},
	}
	var rows [][]print.Cell
	for i := range b.Page.Separations {
		s := &b.Page.Separations[i]
		name := words.Capital(b.name(i))
		if i == 0 {
			name += " (" + b.say("guide-base") + ")"
		}
		rows = append(rows, []print.Cell{
			{Text: fmt.Sprint(s.Order), Bold: true}, b.swatch(s.Colour), {Text: name},
			{Text: b.Words.Put(words.Count(len(s.Pieces)))}, {Text: b.cutFrom(i)}, {Text: b.FileOf(s.Order, 0)},
		})
	}
	b.table(columns, rows)
}

// name is what sheet i is called.
func (b *assembly) name(i int) string { return b.Words.Put(b.Plan.Separations[i].Called()) }

// carrier is the page with all pieces as they lie on the carrier, numbered.
func (b *assembly) carrier() {
	b.page()
	b.head(b.say("guide-assembly"))
	b.para(b.say("guide-assembly-how"), body)
	b.y += gap
	m, room := b.place(0)
	b.picture(m, func(int) look { return coloured })
	b.border(m)
	b.numbers(pointers(b.pieces()), m, room)
}

// place is where a page's big picture goes: the rest of the page but for so much at its
// foot. It returns the map of the page that is cut and the place, in which numbers can
// stand beside the picture.
func (b *assembly) place(foot float64) (m geometry.Affine, room geometry.Rect) {
	room = b.room()
	room.Min.Y, room.Max.Y = b.y, room.Max.Y-foot-caption.Leading()
	picture := room
	picture.Min.X += besideWide + besideGap
	picture.Max.X -= besideWide + besideGap
	m = fitted(b.part, picture, maxZoom)
	// At the top of it: numbers may go on below.
	m = geometry.Translate(0, picture.Min.Y-m.MapRect(b.part).Min.Y).Mul(m)
	room.Max.Y = min(room.Max.Y, m.MapRect(b.part).Max.Y+room.Height()/5)
	return m, room
}

// sheet is the page of one sheet: what is laid is grey, its own pieces are in colour,
// and what comes after it is outlined.
func (b *assembly) sheet(k int) {
	s := &b.Page.Separations[k]
	b.page()
	r := b.room()
	b.square(geometry.RectXYWH(r.Min.X, b.y+1.2, 6, 6), s.Colour)
	t := title
	t.Size = 16
	b.y = b.Paragraph(geometry.Pt(r.Min.X+9, b.y), r.Width()-9, fmt.Sprintf("%d  %s", s.Order, words.Capital(b.name(k))), t) + 1
	v := b.Guide.sheet(k)
	b.para(v.Pieces+", "+b.say("guide-carry-"+v.Carry)+" · "+v.Trim+" · "+v.File, caption)
	b.y += 1
	what, how := b.laying(k)
	b.step(what, how)
	b.y += 2

	// Below the picture: the sheet itself, with what is weeded away.
	const thumb = 46
	m, room := b.place(thumb + gap)
	b.picture(m, func(i int) look {
		switch {
		case i == k:
			return coloured
		case i < k:
			return laid
		}
		return coming
	})
	b.border(m)
	var own []*piece
	for i := range b.pieces() {
		if q := &b.known[i]; q.sheet == k {
			own = append(own, q)
		}
	}
	b.numbers(own, m, room)

	weed := "guide-weed"
	if b.copies() > 1 {
		weed = "guide-weed-copy"
	}
	foot := geometry.RectXYWH(r.Min.X, r.Max.Y-thumb, 70, thumb)
	b.weeding(k, foot)
	at := geometry.Pt(foot.Max.X+gap, foot.Min.Y)
	at.Y = b.Paragraph(at, r.Max.X-at.X, b.say(weed), strong)
	legend := b.say("guide-legend")
	if k == 0 && b.Plan.Frame != nil {
		legend += " " + b.say("guide-legend-frame")
	}
	at.Y = b.Paragraph(at, r.Max.X-at.X, legend, caption) + 2
	for _, x := range []struct {
		look look
		id   string
	}{
		{coloured, "guide-legend-new"},
		{laid, "guide-legend-laid"},
		{coming, "guide-legend-coming"},
	} {
		b.Rect(geometry.RectXYWH(at.X, at.Y+0.6, 3, 3), b.ink(k, x.look))
		b.Paragraph(geometry.Pt(at.X+5, at.Y), r.Max.X-at.X-5, b.say(x.id), caption)
		at.Y += caption.Leading() + 0.8
	}
}

// laying says what is done with sheet k, and how.
func (b *assembly) laying(k int) (what, how string) {
	s := &b.Page.Separations[k]
	switch {
	case s.Carry == assemble.WithFilm:
		return b.say("guide-step-film", "sheets", b.sheetName(k)), b.say("guide-step-film-how")
	case s.Carry == assemble.ByHand && len(s.Pieces) > 1:
		return b.say("guide-step-hand", "sheets", b.sheetName(k)), b.say("guide-step-hand-how-few")
	case s.Carry == assemble.ByHand:
		return b.say("guide-step-hand", "sheets", b.sheetName(k)), b.say("guide-step-hand-how")
	}
	what = b.say("guide-step-base", "number", s.Order, "name", b.name(k))
	switch {
	case b.Plan.Frame != nil:
		how = b.say("guide-step-base-frame")
	case len(b.Page.Separations) == 1:
		how = b.say("guide-step-base-only")
	default:
		how = b.say("guide-step-base-whole")
	}
	return what, how
}

// finish says what is done once all lies.
func (b *assembly) finish() {
	b.page()
	b.head(b.say("guide-all-lies"))
	if len(b.Plan.Marks) > 0 {
		b.step(b.say("guide-step-marks"), b.say("guide-step-marks-how"))
	}
	check := b.say("guide-step-check-plain")
	for i := range b.Page.Separations {
		if b.Page.Separations[i].Carry == assemble.WithFilm {
			check = b.say("guide-step-check-film")
		}
	}
	if b.Plan.Frame != nil {
		check += " " + b.say("guide-step-rim")
	}
	b.step(b.say("guide-step-check"), check)
	b.step(b.say("guide-step-press"), b.say("guide-step-press-how")+" "+b.say("guide-press-card"))
	if notes := b.notes(); len(notes) > 0 {
		b.y += gap
		b.head(b.say("guide-warnings"))
		for _, n := range notes {
			b.para("• "+n.Text+" "+n.Remedy, body)
		}
	}
	b.y += gap
}

// maxListed is how many pieces of one sheet are listed one by one: a page's worth.
// More are counted over better than read.
const maxListed = 60

// list is the table of pieces.
func (b *assembly) list() {
	b.head(b.say("guide-list"))
	wide := b.room().Width()
	columns := []print.Column{
		{Head: b.say("guide-list-number"), Width: 24, Right: true}, {Width: 7},
		{Head: b.say("guide-list-sheet"), Width: wide - 24 - 7 - 46 - 54},
		{Head: b.say("guide-list-size"), Width: 46, Right: true},
		{Head: b.say("guide-list-how"), Width: 54},
	}
	var rows [][]print.Cell
	pieces := b.pieces()
	for i := 0; i < len(pieces); {
		k, n := pieces[i].sheet, 1
		for i+n < len(pieces) && pieces[i+n].sheet == k {
			n++
		}
		of := pieces[i : i+n]
		i += n
		how := b.say("guide-carry-" + string(b.Page.Separations[k].Carry))
		row := func(number, size string) {
			rows = append(rows, []print.Cell{{Text: number, Bold: true}, b.swatch(b.Page.Separations[k].Colour), {Text: words.Capital(b.name(k))}, {Text: size}, {Text: how}})
		}
		if n > maxListed {
			row(of[0].text+" – "+of[n-1].text, b.say("guide-pieces", "count", words.Count(n)))
			continue
		}
		for _, q := range of {
			row(q.text, b.Words.Size(q.bounds.Width(), q.bounds.Height()))
		}
	}
	b.table(columns, rows)
}

// picture paints all sheets' pieces and what is drawn on them; m maps the page as it
// is cut to the paper.
func (b *assembly) picture(m geometry.Affine, of func(k int) look) {
	for k := 0; k < len(b.Plan.Separations); {
		n := b.run(k, of)
		b.show(stampKey{k, k + n, of(k)}, m)
		k += n
	}
	for _, d := range b.Plan.Drawings {
		if _, k := b.Plan.Find(d.Of); k >= 0 && of(k) == coloured {
			b.Draw(d.Lines, m.Mul(b.mirror), print.Ink{Line: &d.Colour, Width: cutfile.PenMM})
		}
	}
}

// border draws the frame and the marks.
func (b *assembly) border(m geometry.Affine) {
	if f := b.Plan.Frame; f != nil {
		b.Draw(f.Outline, m.Mul(b.mirror), print.Ink{Line: &inkColour, Width: 0.2, Dash: []float64{2, 1.2}})
	}
	b.marks(m)
}

// marks draws the marks, which every sheet has.
func (b *assembly) marks(m geometry.Affine) {
	b.Draw(b.Plan.Marks, m.Mul(b.mirror), print.Ink{Line: &inkColour, Width: 0.2})
}

// contrasting is dark on light colours and white on dark ones.
func contrasting(c colour.RGB) colour.RGB {
	if c.Lab().L > 50 {
		return inkColour
	}
	return colour.White
}

// numbers writes numbers into pieces and beside the picture, and at the foot of the
// place for how many there was no room.
func (b *assembly) numbers(pieces []*piece, m geometry.Affine, room geometry.Rect) {
	list, without := numbering(pieces, m, room)
	for _, n := range list {
		if n.leader != nil {
			b.Line(n.leader[0], n.leader[1], print.Ink{Line: &quiet, Width: 0.12})
			b.Draw(geometry.Path{geometry.Ellipse(n.leader[1], 0.35, 0.35)}, geometry.Identity(), print.Ink{Fill: &inkColour, Line: &colour.White, Width: 0.12})
		}
	}
	for _, n := range list {
		c := inkColour
		if n.leader == nil {
			// Leaders to other pieces pass under the number: all of its box is this piece's.
			sheet := &b.Page.Separations[n.sheet].Colour
			b.Rect(n.box, print.Ink{Fill: sheet})
			c = contrasting(*sheet)
		}
		t := print.Type{Size: n.size / pointMM, Bold: true, Colour: c, Align: print.Centre}
		b.Text(n.box.Centre().Add(geometry.Pt(0, t.Capitals()/2)), n.text, t)
	}
	if without > 0 {
		b.Paragraph(geometry.Pt(room.Min.X, room.Max.Y), room.Width(), b.say("guide-numbers-without", "count", words.Count(without)), caption)
	}
}

// weeding draws a trimmed sheet: what is peeled away is hatched.
func (b *assembly) weeding(k int, into geometry.Rect) {
	s := &b.Page.Separations[k]
	w, h := s.TrimMM()
	mid := s.Min.MM().Lerp(s.Max.MM(), 0.5)
	sheet := geometry.RectXYWH(mid.X-w/2, mid.Y-h/2, w, h)
	m := fitted(sheet, into, 1)
	m = geometry.Translate(into.Min.X-m.MapRect(sheet).Min.X, into.Min.Y-m.MapRect(sheet).Min.Y).Mul(m)
	r := m.MapRect(sheet)
	b.Rect(r, print.Ink{Fill: &colour.White})
	b.Within(r, func() {
		hatch := print.Ink{Line: &comingGrey, Width: 0.15}
		for x := r.Min.X - r.Height(); x < r.Max.X; x += 2 {
			b.Line(geometry.Pt(x, r.Max.Y), geometry.Pt(x+r.Height(), r.Min.Y), hatch)
		}
	})
	b.Rect(r, print.Ink{Line: &quiet, Width: 0.2})
	b.stamp(k, coloured, m)
	if k == 0 {
		b.border(m)
	} else {
		b.marks(m)
	}
}
