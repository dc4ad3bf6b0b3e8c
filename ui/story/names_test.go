package story

import (
	"context"
	"image"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/lettering"
	"abut/internal/svgimport"
	"abut/ui/theme"
)

// print is what tells one lettering from another at any size and either way
// round: how many outlines it has, its proportions, and how much of its box is
// inked.
type print struct {
	outlines     int
	shape, inked float64
}

func printOf(p geometry.Path) print {
	b := p.Bounds()
	return print{len(p), b.Width() / b.Height(), math.Abs(p.SignedArea()) / (b.Width() * b.Height())}
}

func (p print) near(o print) bool {
	return p.outlines == o.outlines && math.Abs(p.shape-o.shape) < 0.01*o.shape && math.Abs(p.inked-o.inked) < 0.02*o.inked
}

// TestNames types five names one after another and exports each without leaving
// the field: what every folder holds is the name that stood on the screen.
func TestNames(t *testing.T) {
	s := open(t)
	s.key("ctrl+shift+b")
	s.until("the blanks", asked)
	s.key("Return")
	s.until("an empty mug", func(img image.Image) bool { return !asked(img) })
	s.still("names-1-empty")
	s.key("ctrl+shift+x")
	s.until("the words, marked", marked)
	s.still("names-2-text")
	for i, name := range []string{"HARBOUR", "ADA", "MOIRA", "OBAN", "EBBE"} {
		if i > 0 {
			s.key("ctrl+shift+f") // into the words, all of them selected
			s.until("the words, marked", marked)
		}
		s.do("type", name)
		s.key("ctrl+e")
		s.until("the dialog", asked)
		s.still("names-3-" + name)
		before := written(s.home)
		s.key("Return")
		var folder string
		s.until("the files of "+name, func(image.Image) bool {
			for f := range written(s.home) {
				if !before[f] {
					folder = f
				}
			}
			return folder != ""
		})
		s.until("the end of it", asked)
		s.key("Return") // done
		s.until("the window", func(img image.Image) bool { return !asked(img) })

		text, _, err := lettering.Set(context.Background(), job.Text{Text: name, SizeMM: 10, Weight: 700, Align: job.TextMiddle})
		if err != nil {
			t.Fatal(err)
		}
		var drawn geometry.Path
		for _, shape := range text.Shapes {
			drawn = append(drawn, shape.Path...)
		}
		sheets, _ := filepath.Glob(filepath.Join(folder, "*.svg"))
		if len(sheets) != 1 {
			t.Fatalf("%s: %d sheets", name, len(sheets))
		}
		if got, want := printOf(cutOf(t, sheets[0])), printOf(drawn); !got.near(want) {
			t.Errorf("%s: what is cut is %+v, the lettering %+v", name, got, want)
		}
	}
}

// marked reports whether words in the panel at the right are marked to be typed
// over.
func marked(img image.Image) bool {
	c := theme.Mix(theme.Light.Accent, theme.Light.Surface, 0x40/255.0)
	n := 0
	for y := 300; y < 560; y++ {
		for x := 1000; x < 1280; x++ {
			if at(img, x, y).DeltaE(colour.RGB{R: c.R, G: c.G, B: c.B}) < 4 {
				n++
			}
		}
	}
	return n > 300
}

// written are the folders with finished cut files.
func written(home string) map[string]bool {
	list, _ := filepath.Glob(filepath.Join(home, "*", "job.json"))
	out := map[string]bool{}
	for _, f := range list {
		if dir := filepath.Dir(f); !strings.HasPrefix(filepath.Base(dir), ".") { // else it is being written
			out[dir] = true
		}
	}
	return out
}

// asked reports whether a dialog's button is filled: the one that Enter presses.
// The bar at the bottom may have one, too.
func asked(img image.Image) bool {
	r, n := largest(img.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(image.Rect(0, 0, 1280, 740)), accent, 200)
	return n > 600 && r.Dx() > 40
}

// cutOf reads the outlines of a cut file.
func cutOf(t *testing.T, file string) (out geometry.Path) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	res, err := svgimport.Import(context.Background(), f, svgimport.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range res.Layers {
		for _, shape := range job.Shapes(l.Content) {
			out = append(out, shape.Path...)
		}
	}
	return out
}
