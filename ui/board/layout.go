package board

import (
	"cmp"
	"image"
	"image/color"
	"math"
	"slices"
	"strconv"
	"unicode"
	"unicode/utf8"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// layout says where a view puts what the plan knows.
type layout struct {
	mode Mode
	page geometry.Rect
	n    int
	cols int
}

// sheetGap is what lies between sheets in their view, in parts of a page's
// larger side: room for a name above each.
const sheetGap = 0.16

func layoutOf(m Mode, p *fit.Plan) layout {
	if p == nil || p.Page.Empty() {
		return layout{mode: m, page: geometry.EmptyRect(), cols: 1}
	}
	l := layout{mode: m, page: p.Page, n: len(p.Separations), cols: 1}
	if l.n > 0 {
		// About as wide as a screen is, whatever the page's proportions.
		s := l.sheetSize()
		l.cols = int(math.Ceil(math.Sqrt(1.5 * float64(l.n) * s.Y / s.X)))
		l.cols = max(1, min(l.cols, l.n))
	}
	return l
}

// sheetSize is a sheet's size, trimmed to what is cut from it.
func (l layout) sheetSize() geometry.Point {
	const trim = 2 * cutfile.TrimMarginMM
	return geometry.Pt(l.page.Width()+trim, l.page.Height()+trim)
}

// gap is what lies between sheets in their view.
func (l layout) gap() float64 {
	s := l.sheetSize()
	return max(sheetGap*max(s.X, s.Y), 8)
}

// sheet returns where a separation's sheet lies.
func (l layout) sheet(sep int) geometry.Rect {
	s := l.sheetSize()
	gap := l.gap()
	o := l.page.Min.Add(geometry.Pt(float64(sep%l.cols)*(s.X+gap), float64(sep/l.cols)*(s.Y+gap)))
	return geometry.RectXYWH(o.X, o.Y, s.X, s.Y)
}

// at maps what is cut of a separation, in the plan's millimetres, to the board.
func (l layout) at(sep int) geometry.Affine {
	if l.page.Empty() { // nothing is cut: every layer is left out, say
		return geometry.Identity()
	}
	switch l.mode {
	case Assembly:
		return geometry.MirrorX(l.page.Min.X + l.page.Max.X)
	case Sheets:
		d := l.sheet(sep).Centre().Sub(l.page.Centre())
		return geometry.Translate(d.X, d.Y).Mul(geometry.MirrorX(l.page.Min.X + l.page.Max.X))
	}
	return geometry.Identity()
}

// extent is everything that the view shows.
func (l layout) extent() geometry.Rect {
	r := geometry.EmptyRect()
	for i := range l.n {
		r = r.Union(l.sheet(i))
	}
	if r.Empty() {
		return r
	}
	s := l.sheetSize()
	room := max(sheetGap*max(s.X, s.Y), 8)
	return geometry.Rect{Min: r.Min.Sub(geometry.Pt(room/4, room*0.7)), Max: r.Max.Add(geometry.Pt(room/4, room*0.7))}
}

// label is a text on the board.
type label struct {
	at   geometry.Point
	text string
	// room is how wide it may become, in millimetres; 0 centres it on its place
	// whatever its width.
	room   float64
	colour color.Color
}

// maxTexts is how many texts the board shows: more could not be read.
const maxTexts = 250

// labelsOf returns what a view writes on the board. pxMM is the zoom in units a
// millimetre.
func (b *Board) labelsOf(pxMM float64) []label {
	p := b.Shown()
	if p == nil || b.comparing || b.mode != Sheets && b.mode != Assembly {
		return nil
	}
	l := layoutOf(b.mode, p)
	var out []label
	if b.mode == Sheets {
		for i := range p.Separations {
			r := l.sheet(i)
			out = append(out, label{at: r.Min, room: r.Width(), text: strconv.Itoa(i+1) + "  " + upper(words.Chosen().Put(p.Separations[i].Called()))})
		}
		return out
	}
	// The largest pieces first, as far as a number has room on them: they must be
	// as wide as one on the whole.
	type place struct {
		*fit.Piece
		sheet, n int
	}
	var order []place
	for k := range p.Separations {
		pieces := p.Separations[k].Pieces
		for n := range pieces {
			order = append(order, place{&pieces[n], k, n})
		}
	}
	slices.SortStableFunc(order, func(a, b place) int { return cmp.Compare(b.AreaMM2, a.AreaMM2) })
	for _, q := range order {
		if w, h := q.Bounds.Width(), q.Bounds.Height(); min(w, h)*pxMM < 15 || q.AreaMM2/max(w, h)*pxMM < 9 {
			continue
		}
		s := &p.Separations[q.sheet]
		out = append(out, label{at: l.at(q.sheet).Apply(q.Inside), text: numberOf(p, fit.PieceID{Of: s.Of, N: q.n}), colour: controls.NRGBA(contrasting(s.Colour))})
	}
	return out
}

// numberOf is a piece's number as people read it: 2, or 2.1 of several that are
// laid one by one.
func numberOf(p *fit.Plan, piece fit.PieceID) string {
	s, of := p.Number(piece)
	if of == 0 {
		return strconv.Itoa(s)
	}
	return strconv.Itoa(s) + "." + strconv.Itoa(of)
}

func upper(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// placeLabels puts the view's texts where they belong.
func (b *Board) placeLabels() {
	list := b.labelsOf(b.view.scale / b.ratio)
	area := b.Size()
	n := 0
	var taken []image.Rectangle
	for _, l := range list {
		p := b.PositionOf(l.at)
		if p.X < rulerSide || p.Y < rulerSide || p.X > area.Width || p.Y > area.Height || n >= maxTexts {
			continue
		}
		if n == len(b.labels) {
			b.labels = append(b.labels, canvas.NewText("", color.Transparent))
			b.labels[n].TextSize = theme.Body
		}
		t := b.labels[n]
		n++
		t.Text, t.Color, t.TextStyle.Bold = l.text, l.colour, true
		if t.Color == nil {
			t.Color = theme.Current().Text
		}
		m := t.MinSize()
		if l.room == 0 {
			p = fyne.NewPos(p.X-m.Width/2, p.Y-m.Height/2)
			box := image.Rect(int(p.X)-1, int(p.Y)+2, int(p.X+m.Width)+2, int(p.Y+m.Height)-2)
			if slices.ContainsFunc(taken, box.Overlaps) {
				n--
				continue
			}
			taken = append(taken, box)
		} else {
			room := float32(l.room * b.view.scale / b.ratio)
			t.Text = controls.Shorten(l.text, min(room, area.Width-p.X-4), theme.Body, t.TextStyle)
			m = t.MinSize()
			// Rather over the margin of its own sheet than over the one above.
			gap := layoutOf(b.mode, b.Shown()).gap() * b.view.scale / b.ratio
			p.Y -= min(m.Height+2, float32(gap))
		}
		t.Hidden = p.Y < rulerSide || p.X < rulerSide
		t.Move(p)
		t.Resize(m)
		canvas.Refresh(t)
	}
	for _, t := range b.labels[n:] {
		t.Hide()
	}
}

// Zone is a part of a sheet that is no piece.
type Zone uint8

const (
	// NoZone: beside the sheets.
	NoZone Zone = iota
	// Peeled is all around the pieces of a sheet.
	Peeled
	// Field is inside the frame line of the base, Rim outside it; Whole is the
	// base's sheet where there is no frame.
	Field
	Rim
	Whole
)

// zoneAt returns the zone at a place on the board.
func zoneAt(p *fit.Plan, at geometry.Point) Zone {
	l := layoutOf(Sheets, p)
	for i := range l.n {
		switch {
		case !l.sheet(i).Contains(at):
			continue
		case i > 0:
			return Peeled
		case p.Frame == nil:
			return Whole
		case encloses(p.Frame.Outline.Transform(l.at(0)), at):
			return Field
		}
		return Rim
	}
	return NoZone
}
