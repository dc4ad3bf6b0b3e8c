package ask

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"

	"abut/internal/trace"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// Two shades that share a word are told apart in the dialog as in the list of layers.
func TestTraceDialog_CallsColoursAsTheirLayers(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 60, 60))
	for i := range 60 * 60 {
		c := color.NRGBA{0xf5, 0x83, 0x1f, 255}
		if i%60 >= 40 {
			c = color.NRGBA{0xff, 0xa5, 0x00, 255}
		} else if i < 10*60 {
			c = color.NRGBA{20, 80, 180, 255}
		}
		img.SetNRGBA(i%60, i/60, c)
	}
	var file bytes.Buffer
	if err := png.Encode(&file, img); err != nil {
		t.Fatal(err)
	}
	r, err := trace.Trace(context.Background(), &file, trace.Options{ColourName: words.Colour})
	if err != nil {
		t.Fatal(err)
	}
	s := &traceDialog{result: r, names: namesOf(r)}
	seen := map[string]bool{}
	for i := len(r.Layers) - 1; i >= 0; i-- {
		l := r.Layers[i]
		if got := s.called(l.Colour); got != words.Capital(l.Name) || seen[got] {
			t.Errorf("%s is called %q, its layer %q", l.Colour, got, l.Name)
		}
		seen[s.called(l.Colour)] = true
	}
	if !seen["Orange 2"] {
		t.Errorf("no second orange in %v", seen)
	}
}

// In a small window, in the language with the longest words, sentences wrap within the dialog: what is to be done with the
// colours ran out at its side. And the colours that one can be joined with lie side by side: they were a column.
func TestTraceDialog_SentencesHaveRoom(t *testing.T) {
	words.Use(words.For("de"))
	r := newRig(t, fyne.NewSize(800, 600), theme.AlwaysLight)
	img := image.NewNRGBA(image.Rect(0, 0, 60, 60))
	draw.Draw(img, img.Rect, image.NewUniform(color.NRGBA{0xff, 0xa5, 0, 255}), image.Point{}, draw.Src)
	for i, c := range []color.NRGBA{{20, 80, 180, 255}, {20, 140, 60, 255}, {200, 30, 40, 255}} {
		draw.Draw(img, image.Rect(5, 5+18*i, 50, 20+18*i), image.NewUniform(c), image.Point{}, draw.Src)
	}
	file := filepath.Join(t.TempDir(), "buoy.png")
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Session.Open(file)
	r.settle()
	r.Trace(r.Session.Job().Items[0].ID, func() {})
	r.settle()
	if !r.said(say("ui-trace-how")) {
		t.Fatal("what to do with the colours is not said")
	}
	for _, l := range overlay[*controls.Line](r) {
		if need := fyne.MeasureText(l.Text(), l.TextSize, fyne.TextStyle{Bold: l.Bold}).Width; l.Visible() && need > l.Size().Width+0.5 {
			t.Errorf("%q has %.0f of %.0f", l.Text(), l.Size().Width, need)
		}
	}
	r.tap("Orange")
	swatches := map[float32]int{} // by their height in the dialog
	for _, o := range overlay[*controls.Swatch](r) {
		swatches[fyne.CurrentApp().Driver().AbsolutePositionForObject(o).Y]++
	}
	if len(swatches) > 2 {
		t.Errorf("swatches at %v", swatches)
	}
}
