package ask

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"testing"

	"abut/internal/trace"
	"abut/internal/words"
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
