package workshop

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	picture "image/draw"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// buoy is a picture of pixels: a red buoy with a blue band on nothing.
func buoy(t *testing.T) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 80, 120))
	picture.Draw(img, image.Rect(10, 10, 70, 110), image.NewUniform(color.NRGBA{200, 40, 40, 255}), image.Point{}, picture.Src)
	picture.Draw(img, image.Rect(10, 50, 70, 70), image.NewUniform(color.NRGBA{30, 80, 160, 255}), image.Point{}, picture.Src)
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// What a file is called says nothing about what it is.
func TestOpen_TracesPicturesOfPixels(t *testing.T) {
	path := filepath.Join(t.TempDir(), "buoy.svg")
	if err := os.WriteFile(path, buoy(t), 0o600); err != nil {
		t.Fatal(err)
	}
	j, err := Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	it := j.Items[0]
	if it.Name != "buoy" || it.Canvas.Width() != 80 || len(it.Layers) != 2 || it.Layers[0].Name != "Red" || len(it.Warnings) == 0 {
		t.Errorf("%q, %v, %d layers, %v", it.Name, it.Canvas, len(it.Layers), it.Warnings)
	}
}

// A picture of pixels goes the same way as a drawing, up to the files.
func TestCut_PicturesOfPixelsNeverStack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	r, err := Cut(context.Background(), Source{Path: "buoy", Art: bytes.NewReader(buoy(t))}, Options{WidthMM: 60, Folder: dir})
	if err != nil {
		t.Fatal(err)
	}
	m := r.Manifest
	if m.StackedBeforeMM2 != 0 || len(m.Separations) != 2 || m.WidthMM != 60 || m.HeightMM != 100 {
		t.Errorf("%v mm² stacked, %d sheets, %v × %v mm", m.StackedBeforeMM2, len(m.Separations), m.WidthMM, m.HeightMM)
	}
}

func TestTrace_WritesADrawingThatOpensAsTheSame(t *testing.T) {
	out := filepath.Join(t.TempDir(), "buoy.svg")
	done, err := Trace(context.Background(), Source{Path: "-", Art: bytes.NewReader(buoy(t))}, out, TraceOptions{})
	if err != nil || done.Colours != 2 || done.Pieces != 3 || len(done.Warnings) == 0 {
		t.Fatalf("%+v, %v", done, err)
	}
	j, err := Open(context.Background(), out)
	if err != nil {
		t.Fatal(err)
	}
	area := 0.0
	for _, l := range j.Items[0].Layers {
		for _, s := range job.Shapes(l.Content) {
			area += s.Path.SignedArea()
		}
	}
	if len(j.Items[0].Layers) != 2 || area != 6000 {
		t.Errorf("%d layers, %v square pixels", len(j.Items[0].Layers), area)
	}
}

func TestTrace_WritesNothingWhenItCannot(t *testing.T) {
	dir := t.TempDir()
	there := filepath.Join(dir, "there.svg")
	if err := os.WriteFile(there, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, art, out, says string }{
		{"a file that is there", string(buoy(t)), there, "trace-exists"},
		{"a drawing", `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect width="5" height="5"/></svg>`, filepath.Join(dir, "a.svg"), "trace-is-drawing"},
		{"words", "Dear buoy", filepath.Join(dir, "b.svg"), "import-not-svg"},
		{"half a picture", string(buoy(t)[:60]), filepath.Join(dir, "c.svg"), "trace-truncated"},
		{"a folder that is not there", string(buoy(t)), filepath.Join(dir, "no", "d.svg"), "target-unwritable"},
	} {
		_, err := Trace(context.Background(), Source{Path: c.name, Art: strings.NewReader(c.art)}, c.out, TraceOptions{})
		if !Is(err, c.says) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	left, _ := os.ReadDir(dir)
	if b, _ := os.ReadFile(there); len(left) != 1 || string(b) != "mine" {
		t.Errorf("%v is left, %q", left, b)
	}
	if _, err := Trace(context.Background(), Source{Path: "buoy", Art: bytes.NewReader(buoy(t))}, there, TraceOptions{Overwrite: true}); err != nil {
		t.Error(err)
	}
}

// A drawing that only wraps a picture of pixels is traced as that picture.
func TestTrace_OfWhatADrawingWraps(t *testing.T) {
	art := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 80 120"><image width="80" height="120" href="data:image/png;base64,` + base64.StdEncoding.EncodeToString(buoy(t)) + `"/></svg>`
	out := filepath.Join(t.TempDir(), "buoy.svg")
	done, err := Trace(context.Background(), Source{Path: "shop.svg", Art: strings.NewReader(art)}, out, TraceOptions{})
	if err != nil || done.Colours != 2 || done.Pieces != 3 {
		t.Errorf("%+v, %v", done, err)
	}
}

// What a drawing holds of pixels comes to lie where it stood, in the colours that it has,
// under and over what is drawn, and in as many colours as are asked for.
func TestOpenPicture_TracesWhatADrawingHolds(t *testing.T) {
	art := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 150"><rect width="100" height="150" fill="#fec"/>` +
		`<image x="10" y="15" width="80" height="120" href="data:image/png;base64,` + base64.StdEncoding.EncodeToString(buoy(t)) + `"/>` +
		`<circle cx="50" cy="40" r="5" fill="#0a0"/></svg>`
	for colours, want := range map[int]string{
		0: "#ffeecc 0,0,100,150; #c82828 20,25,80,125; #1e50a0 20,65,80,85; #00aa00 45,35,55,45",
		1: "#ffeecc 0,0,100,150; #c82828 20,25,80,125; #00aa00 45,35,55,45",
	} {
		j, err := OpenPicture(context.Background(), "shop.svg", strings.NewReader(art), job.Tracing{Colours: colours})
		if err != nil {
			t.Fatal(err)
		}
		it := j.Items[0]
		var got []string
		for _, l := range it.Layers {
			b := geometry.EmptyRect()
			for _, s := range job.Shapes(l.Content) {
				b = b.Union(s.Path.Bounds())
			}
			got = append(got, fmt.Sprintf("%v %.0f,%.0f,%.0f,%.0f", l.Colour, b.Min.X, b.Min.Y, b.Max.X, b.Max.Y))
		}
		if s := strings.Join(got, "; "); s != want {
			t.Errorf("%d colours: %s, want %s", colours, s, want)
		}
		if len(it.Warnings) != 1 || it.Warnings[0].ID != "trace-embedded" || it.Pixels != nil {
			t.Errorf("%v", it.Warnings)
		}
	}
}

// A drawing that is no more than a wrapper around a picture is that picture, at the size that
// the drawing states, so that its colours can be found in another way; one with more is not.
func TestOpenPicture_OpensWhatADrawingOnlyWraps(t *testing.T) {
	data := `href="data:image/png;base64,` + base64.StdEncoding.EncodeToString(buoy(t)) + `"`
	for inner, alone := range map[string]bool{
		`<image width="80" height="120" ` + data + `/>`:                                                                 true,
		`<g transform="translate(5 5) scale(.5)"><image width="80" height="120" ` + data + `/></g>`:                     true,
		`<image width="80" height="120" ` + data + `/><rect width="9" height="9"/>`:                                     false,
		`<image width="80" height="120" ` + data + ` opacity=".5"/>`:                                                    false,
		`<image width="80" height="120" ` + data + ` transform="rotate(90) translate(0 -120)"/>`:                        false,
		`<image width="120" height="120" preserveAspectRatio="none" ` + data + `/>`:                                     false,
		`<image x="30" width="80" height="120" ` + data + `/>`:                                                          false, // over the edge
		`<image width="40" height="60" ` + data + `/><image x="40" width="40" height="60" ` + data + `/>`:               false,
		`<image width="80" height="120" ` + data + `/><image href="x.png" width="9" height="9"/>`:                       false,
		`<clipPath id="c"><circle r="60"/></clipPath><image width="80" height="120" clip-path="url(#c)" ` + data + `/>`: false,
	} {
		art := `<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="75mm" viewBox="0 0 80 120">` + inner + `</svg>`
		j, err := OpenPicture(context.Background(), "shop.svg", strings.NewReader(art), job.Tracing{Detail: 1})
		if err != nil {
			t.Fatal(err)
		}
		it := j.Items[0]
		if (it.Pixels != nil) != alone {
			t.Errorf("%.60s: alone %v", inner, it.Pixels != nil)
			continue
		}
		if !alone {
			continue
		}
		share := 1.0
		if strings.Contains(inner, "scale") {
			share = 0.5
		}
		if !bytes.Equal(it.Pixels.File, buoy(t)) || it.Pixels.Tracing.Detail != 1 || it.Canvas.Width() != 80 || it.PhysicalMM != geometry.Pt(50*share, 75*share) || it.Source != "shop.svg" {
			t.Errorf("%.60s: %+v", inner, it)
		}
		for _, w := range it.Warnings {
			if w.ID == "trace-embedded" {
				t.Errorf("%.60s: %s", inner, w.ID)
			}
		}
	}
}
