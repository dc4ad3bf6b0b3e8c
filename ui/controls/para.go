package controls

import (
	"image/color"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"abut/ui/theme"
)

// Para is text that wraps at the width it is given, in any tone. Its height
// follows once its width is known.
type Para struct {
	widget.BaseWidget
	text  string
	tone  Tone
	width float32
	lines []string
	Bold  bool
	// Centred sets the lines in the middle.
	Centred bool
}

// NewPara returns a paragraph of body text.
func NewPara(text string, tone Tone) *Para {
	p := &Para{text: text, tone: tone}
	p.ExtendBaseWidget(p)
	return p
}

// SetText replaces the text.
func (p *Para) SetText(text string) {
	if p.text != text {
		p.text = text
		p.lines = nil
		p.wrap(p.width)
		p.Refresh()
	}
}

// SetTone replaces the tone.
func (p *Para) SetTone(tone Tone) {
	p.tone = tone
	p.Refresh()
}

// Text returns the text.
func (p *Para) Text() string { return p.text }

// Resize implements fyne.CanvasObject.
func (p *Para) Resize(size fyne.Size) {
	if size.Width != p.width {
		p.wrap(size.Width)
	}
	p.BaseWidget.Resize(size)
}

// Wrap breaks the lines for a width, so that MinSize knows the height.
func (p *Para) Wrap(width float32) {
	if width != p.width || p.lines == nil {
		p.wrap(width)
	}
}

func (p *Para) style() fyne.TextStyle { return fyne.TextStyle{Bold: p.Bold} }

func (p *Para) wrap(width float32) {
	p.width = width
	p.lines = nil
	switch {
	case p.text == "":
	case width <= 0: // not known yet
		p.lines = []string{p.text}
	default:
		p.lines = wrapped(p.text, width, func(s string) float32 { return fyne.MeasureText(s, theme.Body, p.style()).Width })
	}
}

// wrapped breaks a text into lines of a width. A line is as wide as its words and the
// spaces between: the toolkit keeps what it measured, and of words there are fewer than of
// beginnings of lines, which are other ones at every width.
func wrapped(text string, width float32, measure func(string) float32) []string {
	var lines []string
	line, used := "", float32(0)
	fit := func(r []rune) int {
		return fitting(r, func(part []rune) bool { return measure(string(part)) <= width })
	}
	for _, word := range unbroken(text) {
		r := []rune(word)
		n := fit(r)
		if line != "" {
			if n == len(r) {
				if wide := used + measure(" ") + measure(word); wide <= width {
					line, used = line+" "+word, wide
					continue
				}
			}
			lines = append(lines, line)
		}
		for n < len(r) { // a word longer than a line
			lines = append(lines, string(r[:n]))
			r = r[n:]
			n = fit(r)
		}
		line = string(r)
		used = measure(line)
	}
	return append(lines, line)
}

// unbroken returns what no line ends within: the words between plain spaces, a number with its unit.
func unbroken(text string) []string {
	words := strings.Split(text, " ")
	for i := len(words) - 1; i > 0; i-- {
		unit, number := strings.TrimRight(words[i], ".,;:)"), words[i-1]
		if slices.Contains(units, unit) && number != "" && number[len(number)-1] >= '0' && number[len(number)-1] <= '9' {
			words = slices.Replace(words, i-1, i+1, number+" "+words[i])
		}
	}
	return words
}

// units are what stands behind a number.
var units = []string{"mm", "mm²", "in", "in²", "%", "°C", "°F", "s"}

// wholeWord is how many letters few words have more of: so many are measured at once.
const wholeWord = 24

// fitting returns how many letters of a word fit, at least one if there is any. Of a long
// one it looks at no more than twice as many, for it may be of any length.
func fitting(text []rune, fits func([]rune) bool) int {
	if len(text) < 2 {
		return len(text)
	}
	lo, hi := 1, wholeWord
	for hi < len(text) && fits(text[:hi]) {
		lo, hi = hi, 2*hi
	}
	hi = min(hi, len(text))
	if fits(text[:hi]) {
		return hi
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; fits(text[:mid]) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// CreateRenderer implements fyne.Widget.
func (p *Para) CreateRenderer() fyne.WidgetRenderer {
	r := &paraRenderer{p: p}
	r.Refresh()
	return r
}

type paraRenderer struct {
	p     *Para
	texts []*canvas.Text
	shown []fyne.CanvasObject
}

// lineHeight is how far it is from line to line.
func lineHeight() float32 { return theme.Scaled(20) }

func (r *paraRenderer) MinSize() fyne.Size {
	return fyne.NewSize(24, float32(len(r.p.lines))*lineHeight())
}

func (r *paraRenderer) Layout(size fyne.Size) {
	p := r.p
	for len(r.texts) < len(p.lines) {
		t := canvas.NewText("", color.Transparent)
		t.TextSize = theme.Body
		r.texts = append(r.texts, t)
	}
	r.shown = r.shown[:0]
	c := p.tone(theme.Current())
	for i, s := range p.lines {
		t := r.texts[i]
		t.Text, t.Color, t.TextStyle = s, c, p.style()
		t.Alignment = fyne.TextAlignLeading
		if p.Centred {
			t.Alignment = fyne.TextAlignCenter
		}
		t.Move(fyne.NewPos(0, float32(i)*lineHeight()))
		t.Resize(fyne.NewSize(size.Width, lineHeight()))
		r.shown = append(r.shown, t)
	}
}

func (r *paraRenderer) Refresh() {
	r.Layout(r.p.Size())
	for _, o := range r.shown {
		canvas.Refresh(o)
	}
	canvas.Refresh(r.p)
}
func (r *paraRenderer) Objects() []fyne.CanvasObject { return r.shown }
func (r *paraRenderer) Destroy()                     {}

// Stack is a layout of one column with gaps of the given height. Paragraphs in
// it wrap at its width first, so that the column is as high as they need.
type Stack struct {
	Gap float32
	// Width, when positive, is what paragraphs wrap at while the column has not
	// been laid out yet.
	Width float32
}

// MinSize implements fyne.Layout.
func (s *Stack) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var m fyne.Size
	n := 0
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		wrapWithin(o, s.Width)
		c := o.MinSize()
		m.Width = max(m.Width, c.Width)
		m.Height += c.Height
		n++
	}
	m.Height += s.Gap * float32(max(n-1, 0))
	return m
}

// Layout implements fyne.Layout.
func (s *Stack) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	s.Width = size.Width
	y := float32(0)
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		wrapWithin(o, size.Width)
		h := o.MinSize().Height
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += h + s.Gap
	}
}

// Wrap tells the paragraphs in o how wide it will be, so that its MinSize knows
// how high.
func Wrap(o fyne.CanvasObject, width float32) { wrapWithin(o, width) }

func wrapWithin(o fyne.CanvasObject, width float32) {
	if width <= 0 {
		return
	}
	switch o := o.(type) {
	case *Para:
		o.Wrap(width)
	case *fyne.Container:
		switch l := o.Layout.(type) {
		case *Stack:
			l.Width = width
			for _, c := range o.Objects {
				wrapWithin(c, width)
			}
		case *Inset:
			for _, c := range o.Objects {
				wrapWithin(c, width-2*l.X)
			}
		case *Flow:
			l.Wrap(width)
		case *Beside:
			l.width = width
		case *Ends:
			l.width = width
		case *Dock:
			wrapWithin(o.Objects[0], width-least(l.Left).Width-least(l.Right).Width)
		case *Lead:
			wrapWithin(o.Objects[1], width-o.Objects[0].MinSize().Width-l.Gap)
		}
	}
}

// Inset is a layout that leaves room around what it holds.
type Inset struct{ X, Y float32 }

// MinSize implements fyne.Layout.
func (l *Inset) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var m fyne.Size
	for _, o := range objects {
		m = m.Max(o.MinSize())
	}
	return m.AddWidthHeight(2*l.X, 2*l.Y)
}

// Layout implements fyne.Layout.
func (l *Inset) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, o := range objects {
		o.Move(fyne.NewPos(l.X, l.Y))
		o.Resize(size.SubtractWidthHeight(2*l.X, 2*l.Y))
	}
}

// Lead is a layout of a small thing at the left and the rest beside it.
type Lead struct{ Gap float32 }

// MinSize implements fyne.Layout.
func (l *Lead) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(a.Width+l.Gap+b.Width, max(a.Height, b.Height))
}

// Layout implements fyne.Layout.
func (l *Lead) Layout(o []fyne.CanvasObject, size fyne.Size) {
	a := o[0].MinSize()
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(a)
	x := a.Width + l.Gap
	o[1].Move(fyne.NewPos(x, 0))
	o[1].Resize(fyne.NewSize(max(size.Width-x, 0), size.Height))
}
