package board

import (
	"image"
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/theme"
)

// rulerText is the size of the numbers on the rulers: part of the picture, not
// of the text.
const rulerText = 11

// ruler is one of the two: ticks in a raster, numbers as texts over it.
type ruler struct {
	b        *Board
	vertical bool
	at       fyne.Position
	size     fyne.Size
	ticks    *canvas.Raster
	labels   []*canvas.Text
}

// maxLabels is how many numbers a ruler can show: one every 56 units on a
// screen of 4,000.
const maxLabels = 72

func newRuler(b *Board, vertical bool) *ruler {
	r := &ruler{b: b, vertical: vertical}
	r.ticks = canvas.NewRaster(r.pixels)
	r.ticks.ScaleMode = canvas.ImageScalePixels
	for range maxLabels {
		t := canvas.NewText("", color.Transparent)
		t.TextSize = rulerText
		t.Hide()
		r.labels = append(r.labels, t)
	}
	return r
}

func (r *ruler) objects() []fyne.CanvasObject {
	o := []fyne.CanvasObject{r.ticks}
	for _, t := range r.labels {
		o = append(o, t)
	}
	return o
}

func (r *ruler) layout(at fyne.Position, size fyne.Size) {
	r.at, r.size = at, size
	r.ticks.Move(at)
	r.ticks.Resize(size)
	r.refresh()
}

func (r *ruler) refresh() {
	r.place()
	canvas.Refresh(r.ticks)
}

// zeroOf is where rulers and grid begin: at the corner of the blank, so that they say where on
// it something lies; without one at that of the picture.
func zeroOf(j job.Job, m Mode, paper geometry.Rect) geometry.Point {
	if j.Settings.BlankShape == nil || m == Sheets {
		return geometry.Point{}
	}
	return paper.Min
}

func (b *Board) zero() geometry.Point { return zeroOf(b.job, b.mode, b.paperNow()) }

// showRulers has the rulers show what they measure by now, if that is something else.
func (b *Board) showRulers(anew bool) {
	if zero := b.zero(); anew || zero != b.ruledFrom {
		b.ruledFrom = zero
		for _, r := range b.rulers {
			r.refresh()
		}
	}
}

// along returns the offset of the ruler's zero along it in pixels, and its length in pixels.
func (r *ruler) along() (origin float64, length int) {
	at := r.b.zero().Mul(r.b.view.scale)
	if r.vertical {
		return float64(r.b.view.origin.Y) + at.Y, r.b.view.size.Y
	}
	return float64(r.b.view.origin.X) + at.X, r.b.view.size.X
}

// unitMM is how many millimetres the rulers' unit has.
func (b *Board) unitMM() float64 {
	if b.job.Settings.Units == job.Inches {
		return 25.4
	}
	return 1
}

// eachTick calls f for the ticks in view: where in pixels, at how many
// millimetres, and whether it is labelled.
func (r *ruler) eachTick(f func(px, mm float64, label bool)) {
	scale := r.b.view.scale
	if scale <= 0 || r.b.paper.Empty() {
		return
	}
	unit := r.b.unitMM()
	step, parts := tickStep(scale*unit, 56*float64(r.b.density))
	step *= unit
	origin, length := r.along()
	small := step / float64(parts)
	if small*scale < 4*float64(r.b.density) {
		small, parts = step, 1
	}
	first := math.Floor(-origin / scale / small)
	for i := first; ; i++ {
		px := i*small*scale + origin
		if px > float64(length) {
			return
		}
		f(px, i*small, int(math.Abs(i))%parts == 0)
	}
}

func (r *ruler) pixels(w, h int) image.Image {
	p := theme.Current()
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	fill(img, img.Rect, p.Ground)
	d := r.b.density
	thick := w
	if !r.vertical {
		thick = h
	}
	r.eachTick(func(px, _ float64, label bool) {
		n := 4 * d
		if label {
			n = 8 * d
		}
		x := int(math.Round(px))
		tick := image.Rect(x, thick-n, x+d, thick)
		if r.vertical {
			tick = image.Rect(thick-n, x, thick, x+d)
		}
		fill(img, tick, p.Quiet)
	})
	edge := image.Rect(0, h-d, w, h)
	if r.vertical {
		edge = image.Rect(w-d, 0, w, h)
	}
	fill(img, edge, p.Line)
	return img
}

// place sets the numbers beside their ticks.
func (r *ruler) place() {
	p := theme.Current()
	d := r.b.ratio
	n := 0
	r.eachTick(func(px, mm float64, label bool) {
		if !label || n >= len(r.labels) {
			return
		}
		t := r.labels[n]
		mm /= r.b.unitMM()
		t.Text, t.Color = words.Typed(mm, 2), p.Quiet
		m := t.MinSize()
		at := float32(px / d)
		pos := fyne.NewPos(r.at.X+at+3, r.at.Y-1)
		room := r.size.Width
		if r.vertical {
			// No turned text: the number stands above its tick.
			pos = fyne.NewPos(r.at.X+2, r.at.Y+at-m.Height+1)
			room = r.size.Height
		}
		if !r.vertical && at+3+m.Width > room || r.vertical && at-m.Height < 0 || at < 0 || at > room {
			return
		}
		t.Resize(m)
		t.Move(pos)
		t.Show()
		canvas.Refresh(t)
		n++
	})
	for _, t := range r.labels[n:] {
		if !t.Hidden {
			t.Hide()
		}
	}
}
