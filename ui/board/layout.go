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

// layout says where a view puts what the plan knows. The sheets' view shows a card
// for each, numbered as they are laid: the base at true size, the others, which
// come onto it, smaller beside it.
type layout struct {
	mode Mode
	page geometry.Rect
	n    int
	// rows are how many smaller cards stand above each other.
	rows int
}

const (
	// laidScale is the size of the cards beside the base.
	laidScale = 0.5
	// cardGap is what lies around a sheet on its card and between cards, in parts of
	// a page's larger side; cardHead what its name needs above it.
	cardGap, cardHead = 0.05, 0.17
	// Of a small page.
	leastGap = 3.0
	// screenShape is about how much wider than high a board is.
	screenShape = 1.5
)

func layoutOf(m Mode, p *fit.Plan) layout {
	if p == nil || p.Page.Empty() {
		return layout{mode: m, page: geometry.EmptyRect()}
	}
	l := layout{mode: m, page: p.Page, n: len(p.Separations)}
	for best, rows := math.Inf(1), 1; rows == 1 || rows*rows < 4*l.n; rows++ {
		t := l
		t.rows = rows
		e := t.extent()
		if off := math.Abs(math.Log(e.Width() / e.Height() / screenShape)); off < best {
			best, l.rows = off, rows
		}
	}
	return l
}

// sheetSize is a sheet's size, trimmed to what is cut from it.
func (l layout) sheetSize() geometry.Point {
	const trim = 2 * cutfile.TrimMarginMM
	return geometry.Pt(l.page.Width()+trim, l.page.Height()+trim)
}

// gap is what lies around a sheet on its card, head what lies above it.
func (l layout) gap() float64  { return l.room(cardGap, leastGap) }
func (l layout) head() float64 { return l.room(cardHead, 2*leastGap) }

func (l layout) room(share, least float64) float64 {
	s := l.sheetSize()
	return math.Max(share*math.Max(s.X, s.Y), least)
}

// scale is the size of a separation's card, 1 for true.
func (l layout) scale(sep int) float64 {
	if sep == 0 {
		return 1
	}
	return laidScale
}

// sheet returns where a separation's sheet lies.
func (l layout) sheet(sep int) geometry.Rect {
	s, o := l.sheetSize(), l.page.Min
	if sep == 0 {
		return geometry.RectXYWH(o.X, o.Y, s.X, s.Y)
	}
	k, gap := sep-1, l.gap()
	cols := (l.n - 2 + l.rows) / l.rows
	w, h := s.X*laidScale, s.Y*laidScale
	return geometry.RectXYWH(o.X+s.X+3*gap+float64(k%cols)*(w+3*gap), o.Y+float64(k/cols)*(h+l.head()+2*gap), w, h)
}

// card returns the card that a separation's sheet lies on.
func (l layout) card(sep int) geometry.Rect {
	r, gap := l.sheet(sep), l.gap()
	return geometry.Rect{Min: r.Min.Sub(geometry.Pt(gap, l.head())), Max: r.Max.Add(geometry.Pt(gap, gap))}
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
		k, from, to := l.scale(sep), l.page.Centre(), l.sheet(sep).Centre()
		return geometry.Translate(to.X, to.Y).Mul(geometry.Scale(-k, k)).Mul(geometry.Translate(-from.X, -from.Y))
	}
	return geometry.Identity()
}

// extent is everything that the view shows.
func (l layout) extent() geometry.Rect {
	r := geometry.EmptyRect()
	for i := range l.n {
		r = r.Union(l.card(i))
	}
	if r.Empty() {
		return r
	}
	return r.Grow(l.gap())
}

// label is a text on the board.
type label struct {
	at   geometry.Point
	text string
	// room is how wide it may become, in millimetres; 0 centres it on its place
	// whatever its width.
	room float64
	// above is how much room there is above the place.
	above  float64
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
			out = append(out, label{at: r.Min, room: r.Width(), above: l.head(), text: strconv.Itoa(i+1) + "  " + upper(words.Chosen().Put(p.Separations[i].Called()))})
		}
		return out
	}
	// The largest pieces first, as far as a number has room on them: they must be
	// as wide as one on the whole, and where it stands.
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
		s := &p.Separations[q.sheet]
		number := p.NumberText(fit.PieceID{Of: s.Of, N: q.n})
		if w, h := q.Bounds.Width(), q.Bounds.Height(); min(w, h)*pxMM < 15 || w*pxMM < figurePx*float64(len(number)) || q.AreaMM2/max(w, h)*pxMM < 9 {
			continue
		}
		if !b.holdsText(p, q.Piece, figurePx*float64(len(number))/pxMM, figureHighPx/pxMM) {
			continue
		}
		out = append(out, label{at: l.at(q.sheet).Apply(q.Inside), text: number, colour: controls.NRGBA(contrasting(s.Colour))})
	}
	return out
}

// figurePx is about how wide a figure of body text is, in units of the screen, and figureHighPx how high.
const (
	figurePx     = 7.0
	figureHighPx = 9.0
)

// holdsText reports whether a text of a width and height, in mm, lies all on a piece of a plan: on the thin stroke of a letter
// it would stand half on what is beside it, in a colour that does not show there.
func (b *Board) holdsText(p *fit.Plan, of *fit.Piece, width, height float64) bool {
	if b.insides == nil || b.insidesOf != p {
		b.insides, b.insidesOf = map[*fit.Piece]*geometry.Enclosure{}, p
	}
	inside := b.insides[of]
	if inside == nil {
		inside = geometry.NewEnclosure(of.Outline.Flatten(textSagittaMM))
		b.insides[of] = inside
	}
	for _, x := range [...]float64{-width / 2, width / 2} {
		for _, y := range [...]float64{-height / 2, height / 2} {
			if !inside.Holds(of.Inside.Add(geometry.Pt(x, y))) {
				return false
			}
		}
	}
	return true
}

// textSagittaMM is how far chords may stray from a piece's outline that is looked at for whether a text fits.
const textSagittaMM = 0.05

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
			// In the middle of the card's head or, where that is too low, over the margin
			// of its own sheet rather than over the one above.
			head := float32(l.above * b.view.scale / b.ratio)
			p.Y -= min((head+m.Height)/2, head)
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
	// NoZone is beside the sheets.
	NoZone Zone = iota
	// Peeled is all around the pieces of a sheet.
	Peeled
	// Field is inside the frame line of the base.
	Field
	// Rim is outside the frame line of the base.
	Rim
	// Whole is the base's sheet where there is no frame.
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
