package story

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/svgimport"
	"abut/internal/words"
	"abut/ui/paint"
)

// Colours of the lighthouse: its paper, the beam and the lamp of its light, the foam.
var (
	cream = colour.RGB{R: 0xf6, G: 0xf1, B: 0xe3}
	beam  = colour.RGB{R: 0xff, G: 0xe9, B: 0xa3}
	lamp  = colour.RGB{R: 0xff, G: 0xd3, B: 0x4d}
	foam  = colour.RGB{R: 0x9f, G: 0xcb, B: 0xe6}
)

// photographed paints an SVG of 120 × 100 units and saves it as a JPEG beside it.
func photographed(t *testing.T, svg string) string {
	t.Helper()
	f, err := os.Open(svg)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	art, err := svgimport.Import(context.Background(), f, svgimport.Options{})
	if err != nil {
		t.Fatal(err)
	}
	const scale = 7.5
	img := image.NewRGBA(image.Rect(0, 0, 120*scale, 100*scale))
	j := job.Job{Items: []job.Item{{ID: 1, Canvas: art.Canvas, Layers: art.Layers, Placement: geometry.Identity()}}}
	new(paint.Builder).Scene(j, scale, img.Rect).Compose(img)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 82}); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "Lighthouse.jpg")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// chip returns the lowest square of a colour, or nearly, as large as a swatch: the
// one that stands for it below the pictures.
func chip(img image.Image, c colour.RGB) (image.Point, bool) {
	const side = 16
	b := img.Bounds()
	is := func(x, y int) bool { return at(img, x, y).DeltaE(c) < 3 }
	// Nothing crosses it out.
	plain := func(x, y int) bool {
		for i := range side {
			if !is(x+i, y-side+1+i) {
				return false
			}
		}
		return true
	}
	for y := b.Max.Y - 60; y > b.Max.Y*56/100; y-- {
		for x := 90; x < b.Max.X-side; x++ {
			if is(x, y) && is(x+side-1, y) && is(x, y-side+1) && is(x+side-1, y-side+1) && plain(x, y) && !is(x+side+8, y) && !is(x-8, y) {
				return image.Pt(x+side/2, y-side/2), true
			}
		}
	}
	return image.Point{}, false
}

// TestTraced drops a JPEG of the lighthouse, leaves its paper bare, joins the colour
// of its beams with that of its lamp, and writes the files. Nothing stacks, so there
// is nothing to knock out.
func TestTraced(t *testing.T) { inEach(t, traceTheLighthouse) }

func traceTheLighthouse(t *testing.T) {
	file := photographed(t, filepath.Join("..", "..", "testdata", "pictures", "lighthouse.svg"))
	s := open(t)
	s.still("")
	s.drop(image.Pt(640, 300), file)
	dialog := func(img image.Image) bool {
		r, n := largest(img, accent, 200)
		return n > 600 && r.Dx() > 60
	}
	away := image.Pt(20, 780)
	s.move(away)
	s.until("the colours of the picture", func(img image.Image) bool {
		_, beamThere := chip(img, beam)
		_, lampThere := chip(img, lamp)
		return dialog(img) && beamThere && lampThere
	})
	img := s.still("traced-1-opened")

	// The paper stays bare; where one lets it go is beside the last colour.
	paper, ok := chip(img, cream)
	last, foamy := chip(img, foam)
	if !ok || !foamy {
		t.Fatal("paper or foam is no colour")
	}
	s.drag(paper, last.Add(image.Pt(120, 0)))
	s.move(away)
	s.until("the paper bare", func(img image.Image) bool { _, still := chip(img, cream); return !still && dialog(img) })
	img = s.still("traced-2-bare")

	from, _ := chip(img, beam)
	to, _ := chip(img, lamp)
	s.drag(from, to)
	s.move(away)
	joined := func(img image.Image) int {
		n := 0
		b := img.Bounds()
		for y := b.Max.Y / 8; y < b.Max.Y/2; y++ {
			for x := b.Max.X / 2; x < b.Max.X; x++ {
				if at(img, x, y).DeltaE(lamp) < 3 {
					n++
				}
			}
		}
		return n
	}
	before := joined(img)
	s.until("a beam in the colour of the lamp", func(img image.Image) bool { return dialog(img) && joined(img) > 3*before })
	s.still("traced-3-joined")

	s.key("Return") // these colours
	s.until("the size asked for", func(img image.Image) bool { _, there := chip(img, beam); return dialog(img) && !there })
	s.key("Return")
	s.until("the window behind the dialog", func(img image.Image) bool { return !dialog(img) })
	s.verdict("where it stands", ready, care)
	s.still("traced-4-used")
	s.key("ctrl+e")
	s.until("the dialog's button", dialog)
	s.key("Return")
	folder := filepath.Join(filepath.Dir(file), "Lighthouse "+words.Say("ui-export-folder-suffix"))
	s.written(folder)
	s.still("traced-5-written")
	colours, stacked := sheets(t, folder)
	if stacked != 0 {
		t.Errorf("%g mm² stack", stacked)
	}
	near := func(c colour.RGB) bool {
		for name := range colours {
			if got, err := colour.Parse(name); err == nil && got.DeltaE(c) < 4 {
				return true
			}
		}
		return false
	}
	if len(colours) != 6 || near(cream) || near(beam) || !near(lamp) {
		t.Errorf("cut from %v", colours)
	}
	s.key("Return")
	if err := s.endUnsaved(); err != nil {
		t.Error(err)
	}
}
