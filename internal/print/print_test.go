package print

import (
	"bytes"
	"image"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/oracle"
)

var ink = colour.RGB{R: 0x1F, G: 0x2A, B: 0x30}

// bytesOf is the finished document; ABUT_PICTURES names a folder for a copy.
func bytesOf(t *testing.T, d *Document, name string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		t.Fatal(err)
	}
	if dir := os.Getenv("ABUT_PICTURES"); dir != "" {
		if err := os.WriteFile(filepath.Join(dir, name+".pdf"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return b.Bytes()
}

func sample(p Paper) *Document {
	d := New(p, Info{Title: "Teekanne, groß", Language: "de"})
	d.AddPage()
	body := Type{Size: 10, Colour: ink}
	y := d.Paragraph(geometry.Pt(15, 15), 180, "Größe: 12,5 × 90 mm – „Papageitaucher“, 180 °C … ½ ≤ → Ωμέγα, Żółć, Маяк", Type{Size: 16, Bold: true})
	y = d.Paragraph(geometry.Pt(15, y), 60, strings.Repeat("Colour side up, and mirrored already. ", 8)+strings.Repeat("Leuchtturmwärter", 6), body)
	disc := geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 20, 20), geometry.Ellipse(geometry.Pt(0, 0), 8, 8)}
	d.Draw(disc, geometry.Translate(120, 60), Ink{Fill: &colour.RGB{R: 0xF4, G: 0xC0, B: 0x2A}, Line: &ink, Width: 0.3, Dash: []float64{2, 1}, EvenOdd: true})
	y = d.Table(geometry.Pt(15, y+5), p.Height-60, Table{
		Columns: []Column{{"Nr.", 15, true}, {"Bogen", 60, false}, {"Größe", 30, true}},
		Rows:    [][]Cell{{{Text: "1.1"}, {Text: "Gelb"}, {Text: "12 × 4 mm"}}, {{Text: "1.2"}, {Text: "ein sehr langer Name für einen Bogen, der umbrochen wird"}, {Text: "9 × 9 mm"}}},
		Type:    body, Rule: colour.RGB{R: 0xCF, G: 0xCA, B: 0xC0},
	}, nil)
	d.Ruler(geometry.Pt(15, y+10), "mm", Type{Size: 7, Colour: ink})
	return d
}

func TestDocument_TextIsFoundAndItsFontsAreEmbedded(t *testing.T) {
	p := oracle.ReadPDF(t, bytesOf(t, sample(A4), "print-a4"))
	text := p.Text()
	for _, want := range []string{
		"Größe: 12,5 × 90 mm – „Papageitaucher“, 180 °C … ½ ≤ → Ωμέγα", "Żółć, Маяк", "ein sehr langer Name", "12 × 4 mm", "100 mm",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not found in\n%s", want, text)
		}
	}
	fonts := strings.Split(strings.TrimSpace(p.Fonts()), "\n")
	if len(fonts) != 4 {
		t.Errorf("not a regular font and a bold one:\n%s", strings.Join(fonts, "\n"))
	}
	for _, line := range fonts[2:] {
		if f := strings.Fields(line); len(f) < 6 || f[len(f)-5] != "yes" {
			t.Errorf("not embedded: %s", line)
		}
	}
}

// A letter that no font draws must not end as an empty box, nor vanish.
func TestText_LettersThatTheFontsLackAreDrawnOrAsked(t *testing.T) {
	d := New(A4, Info{})
	d.AddPage()
	d.Text(geometry.Pt(20, 20), "buoy 浮標 ✓ \U0010FFFD", Type{Size: 20})
	p := oracle.ReadPDF(t, bytesOf(t, d, "print-letters"))
	if text := p.Text(); !strings.Contains(text, "buoy") || strings.Count(text, "?")+strings.Count(text, "浮")+strings.Count(text, "標")+strings.Count(text, "✓") < 4 {
		t.Errorf("reads %q", text)
	}
}

func TestText_BoldHasTheLettersOfRegular(t *testing.T) {
	bold, err := sfnt.Parse(gobold.TTF)
	if err != nil {
		t.Fatal(err)
	}
	var b sfnt.Buffer
	for r := rune(' '); r < 0x10000; r++ {
		if i, err := bold.GlyphIndex(&b, r); (err == nil && i != 0) != embedded(r) {
			t.Errorf("%c (%U) is in one of them only", r, r)
		}
	}
}

// Titles are names of files, which are any bytes.
func TestNew_TakesAnyTitle(t *testing.T) {
	for title, want := range map[string]string{
		"B\xe4r": "B?r", "\xff\xfe": "?", "\xe7\x8c": "?", "ünï 猫": "ünï 猫", "🐻 Bär": "🐻 Bär", "a\nb": "a b",
	} {
		d := New(A4, Info{Title: title})
		d.AddPage()
		d.Text(geometry.Pt(20, 20), title, Type{Size: 10})
		if have := oracle.ReadPDF(t, bytesOf(t, d, "print-title")).Title(); have != want {
			t.Errorf("%q became %q, not %q", title, have, want)
		}
	}
}

func TestLines_KeepWithinTheWidthAndLoseNothing(t *testing.T) {
	d := New(A4, Info{})
	body := Type{Size: 9}
	text := "Wetterbeständigkeitsprüfungsergebnis of the tide clock  near\nthe lighthouse " + strings.Repeat("x", 200)
	lines := d.Lines(text, 30, body)
	for _, l := range lines {
		if w := d.Width(l, body); w > 30 {
			t.Errorf("%q is %.2f wide", l, w)
		}
	}
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	if got := squeeze(strings.Join(lines, "")); got != squeeze(text) {
		t.Errorf("lost something: %q", got)
	}
	if got := d.Lines("Wal", 0.1, body); len(got) != 3 {
		t.Errorf("a column too narrow for a letter gives %q", got)
	}
}

func TestTable_GoesOnWhereItIsToldUnderTheSameHeads(t *testing.T) {
	d := New(A4, Info{})
	d.AddPage()
	var rows [][]Cell
	for range 200 {
		rows = append(rows, []Cell{{Text: "buoy"}})
	}
	d.Table(geometry.Pt(20, 20), 277, Table{Columns: []Column{{Head: "Piece", Width: 40}}, Rows: rows, Type: Type{Size: 10}}, func() (geometry.Point, float64) {
		d.AddPage()
		return geometry.Pt(20, 20), 277
	})
	text := oracle.ReadPDF(t, bytesOf(t, d, "print-table")).Text()
	if n := strings.Count(text, "buoy"); n != 200 {
		t.Errorf("%d rows of 200", n)
	}
	if n := strings.Count(text, "Piece"); n != d.Pages() || n < 4 {
		t.Errorf("%d heads on %d pages", n, d.Pages())
	}
}

// Pixels at 600 dpi are 0.0423 mm: the ends of the ruler are found to one.
func TestRuler_Is100MillimetresAt600DotsAnInch(t *testing.T) {
	for _, paper := range Papers {
		d := New(paper, Info{})
		d.AddPage()
		d.Ruler(geometry.Pt(31.7, 41.3), "mm", Type{Size: 7})
		page := oracle.ReadPDF(t, bytesOf(t, d, "print-ruler")).Page(1, 600)
		const mm = 600 / 25.4
		if b := page.Bounds(); math.Abs(float64(b.Dx())-paper.Width*mm) > 1.5 || math.Abs(float64(b.Dy())-paper.Height*mm) > 1.5 {
			t.Errorf("%s: the page is %v pixels", paper.Name, b.Size())
		}
		// Between the ends of the short ticks only those of whole centimetres go on.
		y := int(math.Round((41.3 + 3.6) * mm))
		first, last := middles(page, y)
		if got := (last - first) / mm; math.Abs(got-100) > 0.05 {
			t.Errorf("%s: the ruler is %.3f mm long", paper.Name, got)
		}
		if got := first / mm; math.Abs(got-31.7) > 0.05 {
			t.Errorf("%s: it begins at %.3f mm", paper.Name, got)
		}
	}
}

// middles returns the middles of the first and the last dark run of a row.
func middles(img image.Image, y int) (first, last float64) {
	from, runs := -1, []float64{}
	for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
		r, _, _, _ := img.At(x, y).RGBA()
		switch dark := r < 0x8000; {
		case dark && from < 0:
			from = x
		case !dark && from >= 0:
			runs, from = append(runs, float64(from+x)/2), -1
		}
	}
	return runs[0], runs[len(runs)-1]
}

// A stamp under any map is what drawing the path under it would be: at 150 dpi edges fall
// within a pixel of each other.
func TestShow_PaintsWhatDrawDoes(t *testing.T) {
	path := geometry.Path{geometry.Ellipse(geometry.Pt(30, 20), 20, 12), geometry.Polygon(geometry.Pt(22, 14), geometry.Pt(40, 16), geometry.Pt(30, 28))}
	fill := Ink{Fill: &colour.RGB{R: 0x30, G: 0xA0, B: 0xC0}, EvenOdd: true}
	for _, m := range []geometry.Affine{
		geometry.Translate(50, 60),
		geometry.Translate(120, 90).Mul(geometry.Scale(-1.7, 1.7)),
		geometry.Translate(100, 200).Mul(geometry.Rotate(math.Pi / 2)).Mul(geometry.Scale(0.6, 0.6)),
	} {
		page := func(draw func(*Document)) image.Image {
			d := New(Letter, Info{})
			d.AddPage()
			draw(d)
			return oracle.ReadPDF(t, bytesOf(t, d, "print-stamp")).Page(1, 150)
		}
		drawn := page(func(d *Document) { d.Draw(path, m, fill) })
		shown := page(func(d *Document) {
			s := d.NewStamp(path.Bounds().Grow(1), path, geometry.Identity(), fill)
			d.Show(s, m)
		})
		differ, ink := 0, 0
		for y := range drawn.Bounds().Dy() {
			for x := range drawn.Bounds().Dx() {
				a, _, _, _ := drawn.At(x, y).RGBA()
				b, _, _, _ := shown.At(x, y).RGBA()
				if a < 0x8000 {
					ink++
				}
				if math.Abs(float64(a)-float64(b)) > 0x4000 {
					differ++
				}
			}
		}
		if differ > 0 || ink < 1000 {
			t.Errorf("%v: %d pixels differ, of %d", m, differ, ink)
		}
	}
}

func TestDocument_IsTheSameEveryTime(t *testing.T) {
	if !bytes.Equal(bytesOf(t, sample(Letter), "print-letter"), bytesOf(t, sample(Letter), "print-letter")) {
		t.Error("two documents of one kind differ")
	}
}
