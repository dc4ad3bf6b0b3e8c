package class

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/internal/show"
	"abut/internal/words"
)

// renderer lays a screen out: the drawing above, the sentence and the step's number
// below, names in the drawing.
type renderer struct {
	s      *screen
	ground *canvas.Rectangle
	// count is the step's number, and beside it what keys do.
	lines, count []*canvas.Text
	labels       []*canvas.Text
}

func newTexts(n int) []*canvas.Text {
	out := make([]*canvas.Text, n)
	for i := range out {
		out[i] = canvas.NewText("", color.Transparent)
	}
	return out
}

// Sizes of type in units of the stage: a sentence is as large as it may be on two
// lines, and never smaller than what can be read from the back.
var sentenceSizes = []float64{38, 34, 31, show.LabelSize}

// sentenceMargin is what stays free at both sides, sentenceTop where the sentence
// begins, countTop where the step's number does.
const (
	sentenceMargin = 40
	sentenceTop    = show.PictureHeight + 14
	countTop       = show.StageHeight - 46
)

// sentence breaks a text into two lines at most, in the largest size in which these are
// no wider than width, all in units of the stage. It reports false where not even the
// smallest does.
func sentence(text string, width float64) (lines []string, size float64, ok bool) {
	for _, size = range sentenceSizes {
		if lines, ok = broken(text, width, size); ok {
			return lines, size, true
		}
	}
	return lines, size, false
}

// broken breaks a text into one line or two of about the same length.
func broken(text string, width, size float64) ([]string, bool) {
	wide := func(s string) float64 {
		return float64(fyne.MeasureText(s, float32(size), fyne.TextStyle{}).Width)
	}
	if wide(text) <= width {
		return []string{text}, true
	}
	parts := strings.Fields(text)
	best, at := 0.0, 0
	for i := 1; i < len(parts); i++ {
		longer := max(wide(strings.Join(parts[:i], " ")), wide(strings.Join(parts[i:], " ")))
		if at == 0 || longer < best {
			best, at = longer, i
		}
	}
	return []string{strings.Join(parts[:at], " "), strings.Join(parts[at:], " ")}, at > 0 && best <= width
}

// Refresh implements fyne.WidgetRenderer.
func (r *renderer) Refresh() {
	room := r.s.c.room()
	r.ground.FillColor = nrgba(room.Ground)
	r.Layout(r.s.Size())
	for _, t := range r.texts() {
		t.Color = nrgba(room.Ink)
		t.Refresh()
	}
	r.ground.Refresh()
	r.s.picture.Refresh()
}

func (r *renderer) texts() []*canvas.Text {
	return append(append(append([]*canvas.Text(nil), r.lines...), r.count...), r.labels...)
}

// Layout implements fyne.WidgetRenderer.
func (r *renderer) Layout(size fyne.Size) {
	c, v := r.s.c, r.s.view()
	r.ground.Resize(size)
	r.s.picture.Move(fyne.NewPos(0, v.top))
	r.s.picture.Resize(fyne.NewSize(size.Width, float32(show.PictureHeight*v.unit)))
	put := func(t *canvas.Text, text string, x, y, size float64, align fyne.TextAlign) {
		t.Text, t.TextSize = text, float32(size*v.unit)
		need := t.MinSize()
		at := float32(x * v.unit)
		switch align {
		case fyne.TextAlignCenter:
			at -= need.Width / 2
		case fyne.TextAlignTrailing:
			at -= need.Width
		}
		t.Move(fyne.NewPos(at, v.top+float32(y*v.unit)))
		t.Resize(need)
	}
	w := words.Chosen()
	lines, high, _ := sentence(w.Message(c.step().Sentence), v.wide-2*sentenceMargin)
	top := sentenceTop + (countTop-sentenceTop-1.3*high*float64(len(lines)))/2
	for i, t := range r.lines {
		text := ""
		if i < len(lines) {
			text = lines[i]
		}
		put(t, text, v.wide/2, top+1.3*high*float64(i), high, fyne.TextAlignCenter)
	}
	number := say("class-of", "number", c.at+1, "count", len(c.show.Steps))
	if c.typed != "" {
		number = c.typed + "?"
	}
	keys := ""
	if c.at == 0 && !r.s.aside {
		keys = say("class-first-keys") // once, for whoever has never seen it
	}
	put(r.count[1], keys, sentenceMargin, countTop, show.LabelSize, fyne.TextAlignLeading)
	put(r.count[0], number, v.wide-sentenceMargin, countTop, show.LabelSize, fyne.TextAlignTrailing)
	scene := c.scene(v.wide)
	for len(r.labels) < len(scene.Labels) {
		r.labels = append(r.labels, newTexts(1)...)
	}
	for i, t := range r.labels {
		text := ""
		if i < len(scene.Labels) {
			l := scene.Labels[i]
			text = shortened(words.Capital(w.Put(l.Says)), v.wide-l.At.X-8)
			put(t, text, l.At.X, l.At.Y-0.66*show.LabelSize, show.LabelSize, fyne.TextAlignLeading)
			continue
		}
		put(t, text, 0, 0, show.LabelSize, fyne.TextAlignLeading)
	}
}

// shortened cuts a name to a width.
func shortened(s string, width float64) string {
	fits := func(s string) bool {
		return float64(fyne.MeasureText(s, show.LabelSize, fyne.TextStyle{}).Width) <= width
	}
	if fits(s) {
		return s
	}
	r := []rune(s)
	for len(r) > 1 && !fits(string(r)+"…") {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// Objects implements fyne.WidgetRenderer.
func (r *renderer) Objects() []fyne.CanvasObject {
	out := []fyne.CanvasObject{r.ground, r.s.picture}
	for _, t := range r.texts() {
		out = append(out, t)
	}
	for _, p := range r.s.pointer {
		out = append(out, p)
	}
	return out
}

// MinSize implements fyne.WidgetRenderer.
func (r *renderer) MinSize() fyne.Size { return fyne.NewSize(160, 120) }

// Destroy implements fyne.WidgetRenderer.
func (r *renderer) Destroy() {}
