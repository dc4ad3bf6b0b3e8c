package corpus

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"abut/internal/oracle"
)

// browser draws a picture with a browser; exec.ErrNotFound where there is none.
func browser(svg []byte, width, height int) (*image.RGBA, error) {
	drawn, err := browserPage([]drawing{{svg, width, height}})
	if err != nil {
		return nil, err
	}
	return drawn[0], nil
}

// drawing is a picture, and the size in pixels at which it is drawn.
type drawing struct {
	svg           []byte
	width, height int
}

// browserPage draws pictures with a browser, all on one page: to start it takes
// longer than to draw.
func browserPage(list []drawing) ([]*image.RGBA, error) {
	tool, err := exec.LookPath("chromium")
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "browser")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }() // a browser may still write to it
	columns, cell := int(math.Ceil(math.Sqrt(float64(len(list))))), image.Point{}
	for _, d := range list {
		cell.X, cell.Y = max(cell.X, d.width), max(cell.Y, d.height)
	}
	at := func(i int) image.Point { return image.Pt(i%columns*cell.X, i/columns*cell.Y) }
	page := bytes.NewBufferString("<!DOCTYPE html><body>")
	for i, d := range list {
		// A picture without a size of its own would fill the window.
		fmt.Fprintf(page, `<img style="position:absolute;left:%dpx;top:%dpx;width:%dpx;height:%dpx" src="%d.svg">`, at(i).X, at(i).Y, d.width, d.height, i)
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%d.svg", i)), d.svg, 0o600); err != nil {
			return nil, err
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "page.html"), page.Bytes(), 0o600); err != nil {
		return nil, err
	}
	window := at(len(list) - 1).Add(cell)
	if len(list) > columns {
		window.X = columns * cell.X
	}
	shot := filepath.Join(dir, "page.png")
	cmd := exec.Command(tool, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--force-device-scale-factor=1", "--default-background-color=00000000",
		"--user-data-dir="+filepath.Join(dir, "home"), fmt.Sprintf("--window-size=%d,%d", window.X, window.Y), "--screenshot="+shot, "file://"+filepath.Join(dir, "page.html"))
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("chromium: %w\n%s", err, out)
	}
	f, err := os.Open(shot)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	decoded, err := png.Decode(f)
	if err != nil {
		return nil, err
	}
	drawn := make([]*image.RGBA, len(list))
	for i, d := range list {
		drawn[i] = image.NewRGBA(image.Rect(0, 0, d.width, d.height))
		draw.Draw(drawn[i], drawn[i].Rect, decoded, decoded.Bounds().Min.Add(at(i)), draw.Src)
	}
	return drawn, nil
}

const (
	// Of a sample so many files are asked about: a page of them takes two seconds.
	askedOfSample = 12
	// All of what is asked about together lies on one page of 8 × 8 pictures.
	askedAtOnce = 32
	// A browser draws strokes thinner than a pixel a pixel wide and paler, even with
	// crisp edges. The thinnest of the art, 0.3 of 640 units, is wider than a pixel
	// at so many times the size.
	closer = 5
)

// askBrowser has a browser, where there is one, draw what was cut without a
// warning, and its art, and notes how far they differ.
func askBrowser(t *testing.T, results []result) {
	t.Helper()
	if _, err := exec.LookPath("chromium"); err != nil {
		return
	}
	var left []*result
	for i := range results {
		if r := &results[i]; r.err == nil && len(r.warnings) == 0 {
			left = append(left, r)
		}
	}
	if !all() {
		left = left[:min(askedOfSample, len(left))]
	}
	var doubtful []*result
	for now := range slices.Chunk(left, askedAtOnce) {
		ask(t, now, 1)
		for _, r := range now {
			if !r.asABrowser() {
				doubtful = append(doubtful, r)
			}
		}
	}
	for now := range slices.Chunk(doubtful, 1) {
		ask(t, now, closer)
	}
}

// ask has a browser draw what was cut, and its art, at so many times the usual
// size, on one page.
func ask(t *testing.T, results []*result, times int) {
	t.Helper()
	var list []drawing
	for _, r := range results {
		for _, svg := range [][]byte{r.art, r.cut} {
			crisp, err := oracle.Crisp(svg)
			if err != nil {
				t.Fatalf("%s: %v", r.name, err)
			}
			list = append(list, drawing{crisp, times * r.d.size.X, times * r.d.size.Y})
		}
	}
	drawn, err := browserPage(list)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range results {
		d := differ(drawn[2*i], drawn[2*i+1:2*i+2])
		if d.art == 0 {
			t.Errorf("%s: a browser draws nothing of it", r.name)
		}
		r.asked, r.browser = true, d.share()
	}
}
