package guide

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/fit/own"
	"abut/internal/oracle"
	"abut/internal/print"
	"abut/internal/words"
)

// assemblyOf is the guide as PDF; ABUT_PICTURES names a folder for a copy.
func assemblyOf(t testing.TB, name string, p *fit.Plan, page *cutfile.Page, paper print.Paper, lang string) []byte {
	t.Helper()
	var b bytes.Buffer
	g := &Guide{Title: name, Plan: p, Page: page, FileOf: fileOf(page), Words: words.For(lang)}
	if err := g.WriteAssembly(&b, paper); err != nil {
		t.Fatal(err)
	}
	keep(t, fmt.Sprintf("guide-%.12s-%d-%s-%s.pdf", filepath.Base(name), p.NumPieces(), paper.Slug(), lang), b.Bytes())
	return b.Bytes()
}

// keep writes a document into the folder that ABUT_PICTURES names, to be looked at.
func keep(t testing.TB, name string, data []byte) {
	t.Helper()
	if dir := os.Getenv("ABUT_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// tiles is a plan of n square pieces on a field of so many millimetres, of three sheets.
func tiles(n int, width, height float64) *fit.Plan {
	p := &fit.Plan{}
	p.Extent = geometry.RectXYWH(0, 0, width, height)
	p.Page = p.Extent
	side := math.Ceil(math.Sqrt(float64(n)))
	w, h := width/side, height/side
	for k, name := range []string{"Leuchtturmwärterhäuschen mit einem sehr langen Namen für einen Bogen", "sun", "sea"}[:min(n, 3)] {
		c := colour.RGB{R: uint8(40 + 80*k), G: 90, B: 160}
		s := fit.Separation{Of: own.OwnSheet(c), Name: name, Colour: c, Bounds: geometry.EmptyRect(),
			Carry: []assemble.Carry{assemble.Stays, assemble.ByHand, assemble.WithFilm}[k]}
		for i := k; i < n; i += 3 {
			r := geometry.RectXYWH(float64(i%int(side))*w, float64(i/int(side))*h, w*0.9, h*0.8)
			s.Pieces = append(s.Pieces, fit.Piece{Outline: r.Path(), Bounds: r, Inside: r.Centre(), AreaMM2: r.Area(), CutMM: 2 * (r.Width() + r.Height())})
			s.Outline = append(s.Outline, r.Path()...)
			s.Bounds = s.Bounds.Union(r)
		}
		p.Separations = append(p.Separations, s)
	}
	return p
}

func pageOf(t testing.TB, p *fit.Plan) *cutfile.Page {
	t.Helper()
	page, err := cutfile.New(p)
	if err != nil {
		t.Fatal(err)
	}
	return page
}

// words parted by the ends of lines and columns are put together again.
func squeezed(text string) string { return strings.Join(strings.Fields(text), "") }

func TestAssembly_TellsAllOnBothPapersInBothLanguages(t *testing.T) {
	for _, n := range []int{1, 4, 60} {
		for _, paper := range print.Papers {
			for _, lang := range []string{"en", "de"} {
				p := tiles(n, 150, 120)
				pdf := oracle.ReadPDF(t, assemblyOf(t, strings.Repeat("Andenken vom Leuchtturm ", 6), p, pageOf(t, p), paper, lang))
				text := pdf.Text()
				whole := squeezed(text)
				w := words.For(lang)
				for _, id := range []string{"guide-finished", "guide-order", "guide-assembly", "guide-list", "guide-all-lies", "guide-placement", "guide-placement-ruler", "guide-step-press", "guide-weed"} {
					if s := w.Say(id, nil); !strings.Contains(whole, squeezed(s)) {
						t.Errorf("%d %s %s: does not say %q", n, paper.Name, lang, s)
					}
				}
				if i := strings.Index(whole, "[guide"); i >= 0 {
					t.Errorf("a sentence is missing: %.40s", whole[i:])
				}
				for _, s := range p.Separations {
					for i := range s.Pieces {
						if id := p.NumberText(fit.PieceID{Of: s.Of, N: i}); !regexp.MustCompile(`(?m)(^|\s)` + regexp.QuoteMeta(id) + `(\s|$)`).MatchString(text) {
							t.Errorf("%d: piece %s is not there", n, id)
						}
					}
				}
				for _, line := range strings.Split(strings.TrimSpace(pdf.Fonts()), "\n")[2:] {
					if f := strings.Fields(line); f[len(f)-5] != "yes" {
						t.Errorf("not embedded: %s", line)
					}
				}
			}
		}
	}
}

func TestAssembly_IsTheSameEveryTime(t *testing.T) {
	p := tiles(30, 300, 200)
	page := pageOf(t, p)
	if !bytes.Equal(assemblyOf(t, "buoys", p, page, print.A4, "en"), assemblyOf(t, "buoys", p, page, print.A4, "en")) {
		t.Error("two guides of one plan differ")
	}
}

// TestPlacement_IsTheAssembledPictureAtTrueSize reads the pages back with a reader of PDF
// that is not ours: put together by their overlap, they show every corner of every piece
// within 0.1 mm of where the cut files have it.
func TestPlacement_IsTheAssembledPictureAtTrueSize(t *testing.T) {
	art := oracle.Root(t) + "/assets/demos/rich.svg"
	rich, richPage := planOf(t, art)
	small := tiles(9, 150, 100)
	large := tiles(40, 420, 330)
	for _, c := range []struct {
		name string
		p    *fit.Plan
		page *cutfile.Page
	}{{"rich", rich, richPage}, {"one page", small, pageOf(t, small)}, {"several", large, pageOf(t, large)}} {
		for _, paper := range print.Papers {
			data := assemblyOf(t, c.name, c.p, c.page, paper, "en")
			lay := tile(c.page.Width.MM(), c.page.Height.MM(), paper)
			pdf := oracle.ReadPDF(t, data)
			pages := strings.Count(pdf.Text(), "\f")
			var seen geometry.Path
			for row := range lay.rows {
				for column := range lay.columns {
					n := pages - lay.rows*lay.columns + row*lay.columns + column + 1
					back, _ := lay.shift(column, row).Mul(lay.lie()).Invert()
					seen = append(seen, outlines(t, pdf.SVG(n)).Transform(back)...)
				}
			}
			worst := 0.0
			for _, s := range c.page.Separations {
				for _, contour := range s.Contours {
					worst = math.Max(worst, seen.Distance(contour.Start.MM()))
					for _, g := range contour.Segments {
						worst = math.Max(worst, seen.Distance(g.End.MM()))
					}
				}
			}
			if worst > 0.1 {
				t.Errorf("%s on %s: a corner is %.3f mm out of place", c.name, paper.Name, worst)
			}
			t.Logf("%s on %s: %d × %d pages, corners within %.4f mm", c.name, paper.Name, lay.columns, lay.rows, worst)
		}
	}
}

// outlines returns what a page draws along, in straight lines and millimetres from its
// upper left corner. (The reader leaves out corners that lie on straight lines.)
func outlines(t *testing.T, svg []byte) geometry.Path {
	t.Helper()
	var out geometry.Path
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		tok, err := d.Token()
		if tok == nil || err != nil {
			return out.Flatten(0.001)
		}
		e, ok := tok.(xml.StartElement)
		if !ok || e.Name.Local != "path" {
			continue
		}
		m, data, even := geometry.Identity(), "", false
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "d":
				data = a.Value
			case "style":
				even = strings.Contains(a.Value, "evenodd")
			case "transform":
				f := numbersIn(a.Value)
				m = geometry.Affine{A: f[0], B: f[1], C: f[2], D: f[3], E: f[4], F: f[5]}
			}
		}
		if !even { // letters, lines and marks
			continue
		}
		at := func(f []float64, i int) geometry.Point { return m.Apply(geometry.Pt(f[i], f[i+1])).Mul(pointMM) }
		for _, part := range regexp.MustCompile(`[A-Z][^A-Z]*`).FindAllString(data, -1) {
			switch f := numbersIn(part[1:]); part[0] {
			case 'M':
				out = append(out, geometry.Contour{Start: at(f, 0), Closed: true})
			case 'L':
				c := &out[len(out)-1]
				c.Segments = append(c.Segments, geometry.LineTo(at(f, 0)))
			case 'C':
				c := &out[len(out)-1]
				c.Segments = append(c.Segments, geometry.CubicTo(at(f, 0), at(f, 2), at(f, 4)))
			}
		}
	}
}

func numbersIn(s string) (out []float64) {
	for _, f := range regexp.MustCompile(`-?[0-9.]+(e-?[0-9]+)?`).FindAllString(s, -1) {
		v, _ := strconv.ParseFloat(f, 64)
		out = append(out, v)
	}
	return out
}

// Whatever the size, all of the picture is on some page, and neighbours share overlapMM.
func TestTile_PagesCoverThePicture(t *testing.T) {
	for _, paper := range print.Papers {
		for _, size := range [][2]float64{{10, 10}, {190, 240}, {200, 100}, {229, 95}, {300, 90}, {400, 400}, {280, 350}, {1000, 20}} {
			lay := tile(size[0], size[1], paper)
			for x := 0.0; x <= lay.width; x += lay.width / 97 {
				for y := 0.0; y <= lay.height; y += lay.height / 89 {
					on := 0
					for row := range lay.rows {
						for column := range lay.columns {
							if lay.room.Grow(1e-9).Contains(lay.shift(column, row).Apply(geometry.Pt(x, y))) {
								on++
							}
						}
					}
					if on == 0 {
						t.Fatalf("%v on %s: %g, %g is on no page", size, paper.Name, x, y)
					}
				}
			}
			for _, at := range lay.seams() {
				on := 0
				for row := range lay.rows {
					for column := range lay.columns {
						if lay.room.Grow(-3).Contains(lay.shift(column, row).Apply(at)) {
							on++
						}
					}
				}
				if on != 2 {
					t.Errorf("%v on %s: the mark at %v is on %d pages", size, paper.Name, at, on)
				}
			}
		}
	}
}

// Of all flags this one has the most pieces at 100 mm: 1,325 of 59 sheets.
func BenchmarkAssembly_BusiestFlag(b *testing.B) {
	p, page := planOf(b, oracle.Art(b, "flag-icons/flags/4x3/sh-ac.svg")[0])
	for b.Loop() {
		data := assemblyOf(b, "flag", p, page, print.A4, "en")
		b.ReportMetric(float64(len(data)), "bytes")
	}
}
