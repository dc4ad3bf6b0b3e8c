package board

import (
	"image"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/geometry"
	"abut/internal/job"
	"abut/ui/paint"
)

// reds counts the pixels that say that colours stack.
func reds(img *image.RGBA) int {
	n := 0
	for i := 0; i < len(img.Pix); i += 4 {
		if img.Pix[i] == paint.StackedColour.R && img.Pix[i+1] == paint.StackedColour.G && img.Pix[i+2] == paint.StackedColour.B {
			n++
		}
	}
	return n
}

func TestFade_ShowsWhatWasKnockedOutAndEnds(t *testing.T) {
	test.NewTempApp(t)
	b := New(nil)
	b.fade.still = false
	w := test.NewTempWindow(t, b)
	w.Resize(fyne.NewSize(400, 300))
	j := twoSquares()
	j.Items[0].Layers[1].Transform = geometry.Translate(-40, 0)
	b.SetJob(j, nil, false)
	w.Canvas().Capture()
	was := reds(b.pic.base)

	b.FadeChange()
	img := b.fade.image
	if !img.Visible() || reds(img.Image.(*image.RGBA)) != was || img.Translucency != 0 {
		t.Fatal("what is to fade is not there")
	}
	after, err := job.KnockOutAll(j)
	if err != nil {
		t.Fatal(err)
	}
	b.SetJob(after, nil, false)
	if was == 0 || reds(b.pic.base) != 0 || b.fade.waiting {
		t.Error("it does not begin with the new picture", was, reds(b.pic.base), b.fade.waiting)
	}
	b.fadeStep(0.5)
	if img.Translucency != 0.5 {
		t.Error(img.Translucency)
	}
	b.fadeStep(1)
	if img.Visible() || img.Image != nil {
		t.Error("it does not end")
	}

	// A view that moves takes it away.
	b.FadeChange()
	b.Zoom(2)
	if img.Visible() {
		t.Error("it stays while the view moves")
	}
}

func TestFade_ABoardThatPaintsOnTheSpotHasNone(t *testing.T) {
	test.NewTempApp(t)
	b := New(nil)
	w := test.NewTempWindow(t, b)
	w.Resize(fyne.NewSize(400, 300))
	b.SetJob(twoSquares(), nil, false)
	w.Canvas().Capture()
	b.FadeChange()
	if b.fade.image.Visible() {
		t.Error("it fades")
	}
}
