package guide

import (
	"bytes"
	"encoding/xml"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/fit/own"
	"abut/internal/message"
	"abut/internal/words"
)

// sample is three sheets: a ring, a disc in it, two bars.
// fileOf names files as SVG writes them.
func fileOf(page *cutfile.Page) func(order, drawing int) string {
	return func(order, drawing int) string {
		if drawing > 0 {
			return page.DrawingStem(page.Drawings[drawing-1]) + "-mirrored.svg"
		}
		return page.Separations[order-1].Stem() + "-mirrored.svg"
	}
}

func sample(framed bool) *fit.Plan {
	p := &fit.Plan{}
	p.Extent = geometry.EmptyRect()
	add := func(name string, c colour.RGB, outlines ...geometry.Path) {
		carry := []assemble.Carry{assemble.Stays, assemble.ByHand, assemble.WithFilm}[len(p.Separations)]
		s := fit.Separation{Of: own.OwnSheet(c), Name: name, Colour: c, Carry: carry, CarryReason: message.Message{ID: "carry-stays"}}
		for _, o := range outlines {
			b := o.Bounds()
			inside := b.Centre()
			if len(o) > 1 {
				inside = geometry.Pt(b.Min.X+5, inside.Y)
			}
			s.Pieces = append(s.Pieces, fit.Piece{Outline: o, Bounds: b, Inside: inside, AreaMM2: b.Area(), CutMM: 2 * (b.Width() + b.Height())})
			s.Outline = append(s.Outline, o...)
			s.AreaMM2 += b.Width() * b.Height()
			s.CutMM += 2 * (b.Width() + b.Height())
		}
		s.Bounds = s.Outline.Bounds()
		p.Extent = p.Extent.Union(s.Bounds)
		p.Separations = append(p.Separations, s)
	}
	disc := func(r float64) geometry.Contour { return geometry.Ellipse(geometry.Pt(30, 30), r, r) }
	add("navy", colour.RGB{R: 0x12, G: 0x34, B: 0x66}, geometry.Path{disc(20), disc(30)})
	add("sun", colour.RGB{R: 0xF4, G: 0xC0, B: 0x2A}, geometry.Path{disc(20)})
	add("sea & <sky>", colour.RGB{R: 0x30, G: 0xA0, B: 0xC0},
		geometry.RectXYWH(0, 64, 60, 6).Path(), geometry.RectXYWH(0, 74, 30, 6).Path())
	p.Page = p.Extent
	if framed {
		p.Page = p.Extent.Grow(5)
		p.Frame = &fit.Frame{Outline: p.Page.Path(), Bounds: p.Page, MarginMM: 5}
	}
	return p
}

func write(t *testing.T, p *fit.Plan) string {
	t.Helper()
	page, err := cutfile.New(p)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := (&Guide{Title: "Boats & <buoys>", Plan: p, Page: page, FileOf: fileOf(page)}).Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// plain is what a reader sees: the text without tags, entities resolved.
func plain(t *testing.T, html string) string {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(html))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var b strings.Builder
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return strings.Join(strings.Fields(b.String()), " ")
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := tok.(xml.CharData); ok {
			b.Write(c)
			b.WriteByte(' ')
		}
	}
}

func TestSteps_SaysWhatSafetyAndTradeAskFor(t *testing.T) {
	text := plain(t, write(t, sample(true)))
	for _, want := range []string{
		"Boats & <buoys>: step by step",
		"Already mirrored", "own mirroring off", "reads backwards on the mat",
		"Kiss cut", "Test cut", "colour side up", "colour side down", "low-tack transfer film", "Take the film off",
		"Inside the frame line, peel down to the backing", "rim outside the frame line", "Press once only", "edge to edge",
		"starting point", "makers of sheet, blank and press decide", "local rules",
		// The meanings of the signs W017, W022, W024, W012, M002 and M009 of ISO 7010.
		"Hot surface", "Sharp element", "Crushing of hands", "Electricity", "Read the manual", "Gloves",
		"Ventilate", "unattended", "children",
		"Weed the base: 1, navy.", "By hand: 2 sun.", "With low-tack transfer film: 3 sea & <sky>.",
		"01-navy-mirrored.svg", "03-sea-sky-mirrored.svg", "Trim to 80 × 100 mm", "Trim to 50 × 50 mm",
		"design 60 × 80 mm", "3 sheets", "4 pieces", "with its frame 70 × 90 mm",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("does not say %q", want)
		}
	}
	if i := strings.Index(text, "["); i >= 0 {
		t.Errorf("a sentence is missing: %.40s", text[i:])
	}
}

func TestSteps_WithoutFrameKeepsTheBackingWhole(t *testing.T) {
	text := plain(t, write(t, sample(false)))
	if !strings.Contains(text, "Keep the backing whole between them") || strings.Contains(text, "rim outside") {
		t.Error(text)
	}
}

func TestSteps_RecordsThatStackingWasAllowed(t *testing.T) {
	p := sample(false)
	if strings.Contains(plain(t, write(t, p)), "Colours stack here") {
		t.Error("says so of a job that does not stack")
	}
	p.Stacked = fit.Stacked{AreaMM2: 412, Places: make([]fit.StackedPlace, 3)}
	if text := plain(t, write(t, p)); !strings.Contains(text, "Colours stack here") || !strings.Contains(text, "in 3 places (412 mm²)") {
		t.Error(text)
	}
}

func TestSteps_PicturesAreMirroredAsCut(t *testing.T) {
	html := write(t, sample(false))
	// The short bar lies at the left of the art, so at the right of the page.
	if !strings.Contains(html, "M60 74L30 74L30 80L60 80Z") {
		t.Error("the bar is not at the right")
	}
	if n := strings.Count(html, `href="#pieces-1"`); n != 2 {
		t.Errorf("base shown %d times, not in the whole and on its own", n)
	}
}

func TestSteps_NeedsNoOtherFile(t *testing.T) {
	html := write(t, sample(true))
	if m := regexp.MustCompile(`(src=|@import|https?://|href="[^#])`).FindString(html); m != "" {
		t.Errorf("refers to something outside: %s", m)
	}
}

func TestSteps_NothingWasTakenForUnsafe(t *testing.T) {
	if html := write(t, sample(true)); strings.Contains(html, "ZgotmplZ") {
		t.Error("the template engine replaced something")
	}
}

func TestSteps_EverySentenceIsThere(t *testing.T) {
	for _, m := range regexp.MustCompile(`say "([a-z0-9-]+)"`).FindAllStringSubmatch(stepsText, -1) {
		if !words.English().Has(m[1]) {
			t.Errorf("no sentence for %q", m[1])
		}
	}
}

func TestSteps_TellsWhatIsDrawnFirstAndWhatIsNotCut(t *testing.T) {
	p := sample(false)
	p.Drawings = []fit.Drawing{{Of: p.Separations[1].Of, Name: "ink", Lines: geometry.Path{
		{Start: geometry.Pt(20, 30), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(25, 30)), geometry.CubicTo(geometry.Pt(26, 30), geometry.Pt(27, 31), geometry.Pt(27, 32))}},
		geometry.RectXYWH(28, 28, 2, 2).Path()[0],
	}}}
	p.BareMM2, p.LeftOut = 123, []string{"the moon"}
	html := write(t, p)
	text := plain(t, html)
	for _, want := range []string{
		"2 sun, in ink: 02-sun-drawn-ink-mirrored.svg", "with pen lines in ink",
		"Left bare on purpose: 123 mm²", "Left out: the moon.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("does not say %q", want)
		}
	}
	// As drawn, mirrored in the page of 60 mm: the first line stays open.
	if want := "M40 30L35 30C34 30 33 31 33 32M32 28L30 28L30 30L32 30Z"; !strings.Contains(html, want) {
		t.Errorf("no %s in the page", want)
	}
	if strings.Contains(plain(t, write(t, sample(false))), "lines drawn") {
		t.Error("says so of a job without drawings")
	}
}

// TestSteps_Show writes the page to the file that STEPS_HTML names, to look at.
func TestSteps_Show(t *testing.T) {
	path := os.Getenv("STEPS_HTML")
	if path == "" {
		t.Skip("STEPS_HTML names no file")
	}
	if err := os.WriteFile(path, []byte(write(t, sample(true))), 0o644); err != nil {
		t.Fatal(err)
	}
}
