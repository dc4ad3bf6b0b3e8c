package pdf

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
)

// buoys is a page of 51.2345 × 40 mm with two sheets, the first with a line for a
// pen.
func buoys(t *testing.T) *cutfile.Page {
	t.Helper()
	a := geometry.Path{geometry.Ellipse(geometry.Pt(12, 20), 9, 9)}
	b := geometry.Path{geometry.Ellipse(geometry.Pt(36, 20), 9, 14)}
	p, err := cutfile.New(&fit.Plan{
		Assembly: assemble.Assembly{Extent: geometry.RectXYWH(0, 0, 51.2345, 40), Page: geometry.RectXYWH(0, 0, 51.2345, 40), Separations: []fit.Separation{
			{Name: "Red", Colour: colour.RGB{R: 200, G: 30, B: 40}, Outline: a}, {Name: "Sea blue", Colour: colour.RGB{B: 200}, Outline: b},
		}},
		Drawings: []fit.Drawing{{Name: "Ink", Lines: geometry.Path{{Start: geometry.Pt(8, 20), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(16, 20))}}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func write(t *testing.T, page *cutfile.Page, how func(io.Writer, *cutfile.Page) error) string {
	t.Helper()
	var b bytes.Buffer
	if err := how(&b, page); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWritePages_HasAPageForEachSheetAndPenAtTrueSize(t *testing.T) {
	page := buoys(t)
	text := write(t, page, WritePages)
	if n := strings.Count(text, "/Type /Page\n"); n != 3 {
		t.Errorf("%d pages", n)
	}
	// 51.2345 mm are 145.232… pt, of which there are 72 to 25.4 mm.
	if !strings.Contains(text, "/MediaBox [0 0 145.23 113.39]") {
		t.Errorf("the pages are %v", regexp.MustCompile(`/MediaBox.*`).FindAllString(text, -1))
	}
	for _, name := range []string{"01-red", "01-red-drawn-ink", "02-sea-blue"} {
		if !strings.Contains(text, "("+name+")") {
			t.Errorf("no bookmark for %s", name)
		}
	}
}

func TestWriteLayers_HasALayerForEachSheetAndPen(t *testing.T) {
	text := write(t, buoys(t), WriteLayers)
	if n := strings.Count(text, "/Type /OCG"); n != 3 || strings.Count(text, "/Type /Page\n") != 1 {
		t.Errorf("%d layers on %d pages", n, strings.Count(text, "/Type /Page\n"))
	}
}

func TestWrite_TheSamePageIsTheSameBytes(t *testing.T) {
	for _, how := range []func(io.Writer, *cutfile.Page) error{WritePages, WriteLayers} {
		once, twice := write(t, buoys(t), how), write(t, buoys(t), how)
		if once != twice {
			t.Error("twice is not the same")
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestWrite_ReportsAWriterThatFails(t *testing.T) {
	if WritePages(fullDisk{}, buoys(t)) == nil || WriteLayers(fullDisk{}, buoys(t)) == nil {
		t.Error("no error")
	}
}
