package board

import (
	"image"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
)

// fadeTime is how long what was there is seen to go: long enough to be noticed,
// too short to be waited for.
const fadeTime = 180 * time.Millisecond

// fade shows the picture before a change going over into the one after it, so
// that one sees what the change took away.
type fade struct {
	image *canvas.Image
	view  view
	// waiting: the picture after the change is not there yet.
	waiting bool
	running *fyne.Animation
	// still: nothing fades.
	still bool
}

func newFade(still bool) fade {
	f := fade{still: still, image: &canvas.Image{FillMode: canvas.ImageFillStretch, ScaleMode: canvas.ImageScalePixels}}
	f.image.Hide()
	return f
}

// FadeChange lets what the next picture no longer shows fade away. A board that
// paints on the spot has nothing to show in between.
func (b *Board) FadeChange() {
	b.stopFade()
	if b.pic == nil || b.fade.still {
		return
	}
	f := &b.fade
	f.image.Image = &image.RGBA{Pix: append([]byte(nil), b.pic.base.Pix...), Stride: b.pic.base.Stride, Rect: b.pic.base.Rect}
	f.image.Translucency = 0
	f.view, f.waiting = b.pic.view, true
	b.placeFade()
	f.image.Show()
	canvas.Refresh(f.image)
}

func (b *Board) placeFade() {
	b.fade.image.Move(b.base.Position())
	b.fade.image.Resize(b.base.Size())
}

// fadeShown is told of every picture that is shown.
func (b *Board) fadeShown(p *picture) {
	f := &b.fade
	switch {
	case !f.image.Visible():
	case p.view != f.view:
		b.stopFade() // it would fade away from another place
	case f.waiting:
		f.waiting = false
		f.running = fyne.NewAnimation(fadeTime, b.fadeStep)
		f.running.Start()
	}
}

// fadeStep is the fade at a share of its time.
func (b *Board) fadeStep(done float32) {
	if done >= 1 {
		b.stopFade()
		return
	}
	b.fade.image.Translucency = float64(done)
	canvas.Refresh(b.fade.image)
}

func (b *Board) stopFade() {
	f := &b.fade
	if f.running != nil {
		f.running.Stop()
	}
	f.running, f.waiting, f.image.Image = nil, false, nil
	f.image.Hide()
}
