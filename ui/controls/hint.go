package controls

import (
	"image/color"
	"slices"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"abut/ui/theme"
)

// HintAfter is how long the pointer rests before a hint appears: long enough
// not to flicker while it crosses the toolbar. 0 says it at once.
var HintAfter = 500 * time.Millisecond

// hintWidth is how wide a hint may be: a longer line is tiring to read.
const hintWidth = 420

// Hints shows one small text near what the pointer rests on. A window has one, and
// each dialog over it: put Layer over everything else and call Use. (The toolkit has no tooltips,
// and its pop-ups would take the pointer away from what they explain.)
type Hints struct {
	layer *fyne.Container
	back  *canvas.Rectangle
	text  *Para
	timer *time.Timer
	owner fyne.CanvasObject
}

// inUse are the hints of all windows, the newest last.
var inUse []*Hints

// NewHints returns a window's hints.
func NewHints() *Hints {
	h := &Hints{back: canvas.NewRectangle(color.Transparent), text: NewPara("", func(p *theme.Palette) color.NRGBA { return p.Ground })}
	h.back.CornerRadius = 4
	h.layer = container.NewWithoutLayout(h.back, h.text)
	h.back.Hide()
	h.text.Hide()
	return h
}

// Layer returns what shows the hints.
func (h *Hints) Layer() fyne.CanvasObject { return h.layer }

// Use makes these hints the ones that the widgets of their window show theirs
// in, until Drop or until others of the same window are used.
func (h *Hints) Use() { inUse = append(inUse, h) }

// Drop is for what closes, a window or a dialog.
func (h *Hints) Drop() {
	h.hide()
	inUse = slices.DeleteFunc(inUse, func(o *Hints) bool { return o == h })
}

// hintsFor returns the hints of the window that an object is in, nil without.
func hintsFor(o fyne.CanvasObject) *Hints {
	d := fyne.CurrentApp().Driver()
	c := d.CanvasForObject(o)
	for i := len(inUse) - 1; i >= 0; i-- {
		if d.CanvasForObject(inUse[i].layer) == c {
			return inUse[i]
		}
	}
	return nil
}

func showHint(o fyne.CanvasObject, text string) {
	h := hintsFor(o)
	if h == nil || text == "" {
		return
	}
	h.hide()
	h.owner = o
	if HintAfter == 0 {
		h.show(o, text)
		return
	}
	h.timer = time.AfterFunc(HintAfter, func() {
		fyne.Do(func() {
			if h.owner == o {
				h.show(o, text)
			}
		})
	})
}

func hideHint(o fyne.CanvasObject) {
	for _, h := range inUse {
		if h.owner == o {
			h.hide()
		}
	}
}

func (h *Hints) hide() {
	if h.timer != nil {
		h.timer.Stop()
	}
	h.owner = nil
	h.back.Hide()
	h.text.Hide()
}

func (h *Hints) show(o fyne.CanvasObject, text string) {
	p := theme.Current()
	h.text.SetText(text)
	h.back.FillColor = p.Text
	one := fyne.MeasureText(text, theme.Body, fyne.TextStyle{}).Width + 1
	h.text.Wrap(min(one, hintWidth, max(100, h.layer.Size().Width-32)))
	m := fyne.NewSize(h.text.width, h.text.MinSize().Height)
	size := m.AddWidthHeight(16, 8)
	d := fyne.CurrentApp().Driver()
	at := d.AbsolutePositionForObject(o).Subtract(d.AbsolutePositionForObject(h.layer))
	at = at.AddXY(o.Size().Width/2-size.Width/2, o.Size().Height+4)
	area := h.layer.Size()
	at.X = max(8, min(at.X, area.Width-size.Width-8))
	if at.Y+size.Height > area.Height {
		at.Y -= o.Size().Height + size.Height + 8
	}
	h.back.Resize(size)
	h.back.Move(at)
	h.text.Resize(m)
	h.text.Move(at.AddXY(8, 4))
	h.back.Show()
	h.text.Show()
	h.layer.Refresh()
}
