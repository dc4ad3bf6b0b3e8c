package controls

import (
	"image/color"
	"strings"
	"unicode"
	"unicode/utf8"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"abut/internal/colour"
	"abut/ui/theme"
)

// Line is one line of text of a given size and tone, cut short with an ellipsis
// where the room ends.
type Line struct {
	widget.BaseWidget
	text     string
	TextSize float32
	Bold     bool
	Tone     Tone
	Align    fyne.TextAlign
	// Shrinks lets the line be narrower than its text: it is set in the smaller
	// size then, if there is one, goes on in a second line if it wraps and is high
	// enough, or Short is said instead, before it is cut short.
	Shrinks, Wraps bool
	Smaller        float32
	Short          string
	// KeepsLast cuts what is too long before its last comma: of 'Lighthouse, gold' and
	// 'Lighthouse, red' the beginning says nothing.
	KeepsLast bool
}

// NewLine returns a line of body text.
func NewLine(text string, tone Tone) *Line {
	l := &Line{text: text, TextSize: theme.Body, Tone: tone}
	l.ExtendBaseWidget(l)
	return l
}

// NewHeading returns a section's heading.
func NewHeading(text string) *Line {
	l := NewLine(text, Text)
	l.TextSize, l.Bold = theme.Heading, true
	return l
}

// NewCaption returns a small quiet line: what an entry is called, or facts below a
// name.
func NewCaption(text string) *Line {
	l := NewLine(text, Quiet)
	l.TextSize = theme.Caption
	return l
}

// SetText replaces the text.
func (l *Line) SetText(text string) {
	if l.text != text {
		l.text = text
		l.Refresh()
	}
}

// SetTexts replaces the text and what is said where it has no room.
func (l *Line) SetTexts(text, short string) {
	l.Short = short
	l.SetText(text)
}

// Text returns the text.
func (l *Line) Text() string { return l.text }

// CreateRenderer implements fyne.Widget.
func (l *Line) CreateRenderer() fyne.WidgetRenderer {
	l.ExtendBaseWidget(l)
	r := &lineRenderer{l: l, t: canvas.NewText(l.text, color.Transparent), more: canvas.NewText("", color.Transparent)}
	r.Refresh()
	return r
}

type lineRenderer struct {
	l *Line
	t *canvas.Text
	// more is the second line, where there is one.
	more *canvas.Text
}

func (r *lineRenderer) style() fyne.TextStyle { return fyne.TextStyle{Bold: r.l.Bold} }

func (r *lineRenderer) MinSize() fyne.Size {
	m := fyne.MeasureText(r.l.text, r.l.TextSize, r.style())
	if r.l.Shrinks {
		m.Width = min(m.Width, 24)
	}
	return m
}

func (r *lineRenderer) Layout(size fyne.Size) {
	r.t.Text, r.t.TextSize = r.l.text, r.l.TextSize
	if r.l.Shrinks && size.Width > 0 {
		fits := func() bool { return fyne.MeasureText(r.t.Text, r.t.TextSize, r.style()).Width <= size.Width }
		if r.l.Smaller > 0 && !fits() {
			r.t.TextSize = r.l.Smaller
		}
		if r.l.Short != "" && !fits() {
			r.t.Text = r.l.Short
		}
		if r.l.Wraps && !fits() && r.second(size) {
			return
		}
		shorten := Shorten
		if r.l.KeepsLast {
			shorten = shortenFirst
		}
		r.t.Text = shorten(r.t.Text, size.Width, r.t.TextSize, r.style())
	}
	r.more.Hidden = true
	m := r.t.MinSize()
	r.t.Resize(fyne.NewSize(size.Width, m.Height))
	r.t.Move(fyne.NewPos(0, (size.Height-m.Height)/2))
}

// second sets the text in two lines, if there is room for them.
func (r *lineRenderer) second(size fyne.Size) bool {
	high := r.t.MinSize().Height
	if 2*high > size.Height+2 {
		return false
	}
	first, rest := inTwo(r.t.Text, size.Width, r.t.TextSize, r.style())
	r.t.Text = Shorten(first, size.Width, r.t.TextSize, r.style())
	r.more.TextSize, r.more.TextStyle, r.more.Alignment, r.more.Color = r.t.TextSize, r.style(), r.l.Align, r.l.Tone(theme.Current())
	r.more.Text = Shorten(rest, size.Width, r.t.TextSize, r.style())
	r.more.Hidden = false
	y := (size.Height - 2*high) / 2
	for i, t := range []*canvas.Text{r.t, r.more} {
		t.Resize(fyne.NewSize(size.Width, high))
		t.Move(fyne.NewPos(0, y+float32(i)*high))
	}
	return true
}

// inTwo breaks a text where a first line of a width ends.
func inTwo(text string, width, size float32, style fyne.TextStyle) (first, rest string) {
	words := strings.Fields(text)
	n := max(len(words)-1, 0)
	for n > 1 && fyne.MeasureText(strings.Join(words[:n], " "), size, style).Width > width {
		n--
	}
	return strings.Join(words[:n], " "), strings.Join(words[n:], " ")
}

// FitsTwice reports whether the line is said whole in two lines of a width.
func (l *Line) FitsTwice(width float32) bool {
	size, style := l.TextSize, fyne.TextStyle{Bold: l.Bold}
	if l.Smaller > 0 {
		size = l.Smaller
	}
	first, rest := inTwo(l.text, width, size, style)
	return max(fyne.MeasureText(first, size, style).Width, fyne.MeasureText(rest, size, style).Width) <= width
}

// Shorten cuts the text so that it fits, by halving.
func Shorten(s string, width, size float32, style fyne.TextStyle) string {
	if fyne.MeasureText(s, size, style).Width <= width {
		return s
	}
	runes := []rune(s)
	lo, hi := 0, len(runes)
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if fyne.MeasureText(string(runes[:mid])+"…", size, style).Width <= width {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return string(runes[:lo]) + "…"
}

// shortenFirst is Shorten before the last comma, as long as something is left there; else
// it keeps as many of the last words as fit, or how they begin, for of layers that lie
// beside each other the beginning is the same.
func shortenFirst(s string, width, size float32, style fyne.TextStyle) string {
	const least = 3 // letters, and an ellipsis
	i := strings.LastIndex(s, ", ")
	if i < 0 || fyne.MeasureText(s, size, style).Width <= width {
		return Shorten(s, width, size, style)
	}
	first, last := s[:i], s[i:]
	first = Shorten(first, width-fyne.MeasureText(last, size, style).Width, size, style)
	if utf8.RuneCountInString(first) > least {
		return first + last
	}
	words := strings.Fields(last[1:])
	if len(words) == 0 {
		return Shorten(s, width, size, style)
	}
	// Numbers alone say nothing, such as 2 (3): they follow what there is room for before them.
	numbers := len(words)
	for numbers > 0 && !strings.ContainsFunc(words[numbers-1], unicode.IsLetter) {
		numbers--
	}
	for k := range numbers {
		if end := "…" + strings.Join(words[k:], " "); utf8.RuneCountInString(end) > least && fyne.MeasureText(end, size, style).Width <= width {
			return end
		}
	}
	if numbers > 0 && numbers < len(words) {
		number := " " + strings.Join(words[numbers:], " ")
		rest := strings.Join(words[:numbers], " ")
		if first = Shorten(rest, width-fyne.MeasureText(number, size, style).Width, size, style); utf8.RuneCountInString(first) > least {
			return first + number
		}
	}
	return Shorten(last[2:], width, size, style)
}

func (r *lineRenderer) Refresh() {
	r.t.TextStyle, r.t.Alignment = r.style(), r.l.Align
	r.t.Color = r.l.Tone(theme.Current())
	r.Layout(r.l.Size())
	canvas.Refresh(r.t)
	canvas.Refresh(r.more)
}

func (r *lineRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.t, r.more} }
func (r *lineRenderer) Destroy()                     {}

// Swatch shows a sheet's colour, with a hairline so that near-white shows on
// white and near-black on black.
type Swatch struct {
	widget.BaseWidget
	Colour colour.RGB
	// Bare crosses it out: nothing is cut of it.
	Bare bool
	Side float32
}

// NewSwatch returns a swatch.
func NewSwatch(c colour.RGB, side float32) *Swatch {
	s := &Swatch{Colour: c, Side: side}
	s.ExtendBaseWidget(s)
	return s
}

// CreateRenderer implements fyne.Widget.
func (s *Swatch) CreateRenderer() fyne.WidgetRenderer {
	s.ExtendBaseWidget(s)
	r := &swatchRenderer{s: s, box: canvas.NewRectangle(color.Transparent), cross: canvas.NewLine(color.Transparent)}
	r.box.CornerRadius, r.box.StrokeWidth = 4, 1
	r.cross.StrokeWidth = 1.5
	r.Refresh()
	return r
}

type swatchRenderer struct {
	s     *Swatch
	box   *canvas.Rectangle
	cross *canvas.Line
}

func (r *swatchRenderer) MinSize() fyne.Size { return fyne.NewSquareSize(r.s.Side) }
func (r *swatchRenderer) Layout(size fyne.Size) {
	at := fyne.NewPos((size.Width-r.s.Side)/2, (size.Height-r.s.Side)/2)
	r.box.Move(at)
	r.box.Resize(fyne.NewSquareSize(r.s.Side))
	r.cross.Position1 = at.AddXY(4, r.s.Side-4)
	r.cross.Position2 = at.AddXY(r.s.Side-4, 4)
}
func (r *swatchRenderer) Refresh() {
	p := theme.Current()
	r.box.FillColor = NRGBA(r.s.Colour)
	r.box.StrokeColor = p.Edge
	r.cross.StrokeColor = p.Quiet
	r.cross.Hidden = !r.s.Bare
	if r.s.Bare {
		r.cross.StrokeColor = theme.Light.Quiet // on the blank's own colour
	}
	canvas.Refresh(r.box)
	canvas.Refresh(r.cross)
}
func (r *swatchRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.box, r.cross} }
func (r *swatchRenderer) Destroy()                     {}

// NRGBA converts an art colour.
func NRGBA(c colour.RGB) color.NRGBA { return color.NRGBA{c.R, c.G, c.B, 255} }
