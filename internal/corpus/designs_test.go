package corpus

import (
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/internal/oracle"
	"abut/internal/workshop"
)

// designs are the small pictures in testdata/mends and how wide each is to be made,
// in millimetres. They are drawn as people draw: with parts too thin at that size.
var designs = map[string]float64{
	"border": 80, "bunting": 90, "buoy": 60, "child": 80, "clock": 60, "colony": 90, "compass": 60, "crayon": 80,
	"crest": 60, "feather": 40, "fish": 75, "hand": 90, "island": 90, "lace": 60, "monogram": 50, "moon": 50,
	"name": 60, "net": 70, "oma": 60, "patch": 60, "postcard": 85, "puffin": 60, "rain": 75, "ribbon": 80,
	"rope": 80, "stars": 60, "sunrise": 70, "tea": 65, "teapot": 70, "tide": 70, "tune": 80,
}

// slow are designs whose mending takes more than some seconds of a processor: they
// are looked at with all the art only.
var slow = []string{"bunting", "colony", "compass", "crayon", "feather", "fish", "island", "lace", "net", "patch", "postcard", "tide", "tune"}

// TestDesigns_MendingLosesNothing mends designs as people make them: nothing that
// was drawn goes, and what stays too thin is listed. The page about them,
// docs/mended.md, has a row for each. With ABUT_CORPUS=all and ABUT_PICTURES set to a
// folder it draws there each as it is and as it is mended, to be looked at.
func TestDesigns_MendingLosesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes some seconds a file")
	}
	top := oracle.Root(t)
	page, err := os.ReadFile(filepath.Join(top, "docs", "mended.md"))
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(top, "testdata", "mends", "*.svg"))
	if err != nil || len(files) != len(designs) {
		t.Fatalf("%d files and %d designs, %v", len(files), len(designs), err)
	}
	for name, width := range designs {
		if !strings.Contains(string(page), fmt.Sprintf("\n| %s | %g mm |", name, width)) {
			t.Errorf("docs/mended.md says nothing of %s at %g mm", name, width)
		}
	}
	nameOf := func(file string) string { return strings.TrimSuffix(filepath.Base(file), ".svg") }
	if !all() {
		files = slices.DeleteFunc(files, func(file string) bool { return slices.Contains(slow, nameOf(file)) })
	}
	made := cutAndMend(t, files, func(file string) float64 { return designs[nameOf(file)] })
	for _, m := range made {
		if m.err != nil {
			t.Errorf("%s: %v", m.name, m.err)
			continue
		}
		missing := unlisted(m.mended, m.open)
		t.Logf("%s: %d of %d spots left; lost: %q; not listed: %q; %v", m.name, m.left, m.before, m.lost, missing, m.took)
		if len(m.lost)+len(missing) > 0 {
			t.Errorf("%s: lost: %q, too thin and not listed: %q", m.name, m.lost, missing)
		}
		if m.left > 0 && !strings.Contains(m.verdict, "too fine to cut") {
			t.Errorf("%s: %d spots are left, and the verdict is %q", m.name, m.left, m.verdict)
		}
	}
	if dir := os.Getenv("ABUT_PICTURES"); dir != "" && all() {
		pairs := make([]pair, len(made))
		for i, m := range made {
			pairs[i] = pair{m.name, m.plain, m.mended, m.open}
		}
		drawDesigns(t, dir, "mended-designs", pairs)
	}
}

// penFinishes are designs of which nothing is too fine once a pen draws lines, dots and
// letters that Mend leaves.
var penFinishes = []string{"buoy", "rope", "tide", "tune"}

// TestDesigns_APenDrawsWhatStaysTooFine mends designs and has a pen draw what is left. What the
// pen's files say is drawn beside what the cutter's do, as above.
func TestDesigns_APenDrawsWhatStaysTooFine(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes some seconds a file")
	}
	dir := t.TempDir()
	var pairs []pair
	for _, name := range slices.Sorted(maps.Keys(designs)) {
		if !all() && slices.Contains(slow, name) {
			continue
		}
		file := filepath.Join(oracle.Root(t), "testdata", "mends", name+".svg")
		o := workshop.Options{WidthMM: designs[name], NarrowestMM: 1, Mend: true, Pen: true}
		penned, left, err := cutAs(t.Context(), file, filepath.Join(dir, name), o)
		if err != nil {
			t.Error(err)
			continue
		}
		if slices.Contains(penFinishes, name) && (len(left) > 0 || len(penned.pens) == 0) {
			t.Errorf("%s: with %d drawings %d spots are left: %v", name, len(penned.pens), len(left), left)
		}
		if len(penned.pens) == 0 {
			continue
		}
		t.Logf("%s: %d spots left with a pen", name, len(left))
		o.Mend, o.Pen = false, false
		drawn, _, err := cutAs(t.Context(), file, filepath.Join(dir, name+"-drawn"), o)
		if err != nil {
			t.Error(err)
			continue
		}
		pairs = append(pairs, pair{name, drawn, penned, left})
	}
	if dir := os.Getenv("ABUT_PICTURES"); dir != "" && all() {
		drawDesigns(t, dir, "penned-designs", pairs)
	}
}

// pair is a design as drawn and as made, with the spots that are left.
type pair struct {
	name        string
	drawn, made *written
	open        []openSpot
}

// sheetAt returns which sheet a pixel is cut from, −1 where it is from none.
func (b *bitmap) sheetAt(x, y int) int {
	if x < 0 || y < 0 || x >= b.w || y >= b.h {
		return -1
	}
	return b.sheet[y*b.w+x]
}

// inDisc marks the pixels that lie in a disc of so many pixels in radius of one sheet.
func (b *bitmap) inDisc(r int) []bool {
	var disc [][2]int
	for v := -r; v <= r; v++ {
		for u := -r; u <= r; u++ {
			if u*u+v*v <= r*r {
				disc = append(disc, [2]int{u, v})
			}
		}
	}
	in := make([]bool, len(b.sheet))
	for i, s := range b.sheet {
		fits := s >= 0
		for _, d := range disc {
			fits = fits && b.sheetAt(i%b.w+d[0], i/b.w+d[1]) == s
		}
		if fits {
			for _, d := range disc {
				in[i+d[1]*b.w+d[0]] = true
			}
		}
	}
	return in
}

// unlisted returns what of a picture's sheets is plainly too thin, though no spot is
// listed near it: parts that lie in no disc of thinPx in radius (0.4 mm, where 0.5 mm
// is asked for; a spot is listed at one place of such a part, however long it is, and
// where lines cross several parts are one spot), of which plainlyMM2 lie in none of
// plainlyPx. A point has less unless it is finer than 20°.
func unlisted(of *written, spots []openSpot) []string {
	b := bitmapOf(of, of)
	const (
		thinPx     = 3
		plainlyPx  = 2
		plainlyMM2 = 0.4
		nearMM     = 1.5
	)
	roomy, wide := b.inDisc(thinPx), b.inDisc(plainlyPx)
	var out []string
	for i, s := range b.sheet {
		if s < 0 || roomy[i] {
			continue
		}
		size, listed := 0, false
		roomy[i] = true
		for todo := []int{i}; len(todo) > 0; {
			q := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			x, y := q%b.w, q/b.w
			if !wide[q] {
				size++
			}
			for _, w := range spots {
				within := nearMM
				if w.Of == of.Separations[s].Name {
					within += w.Length / 2
				}
				listed = listed || math.Hypot(w.X-float64(x)/pixelsPerMM, w.Y-float64(y)/pixelsPerMM) < within
			}
			for _, n := range [][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
				if b.sheetAt(n[0], n[1]) == s && !roomy[n[1]*b.w+n[0]] {
					roomy[n[1]*b.w+n[0]] = true
					todo = append(todo, n[1]*b.w+n[0])
				}
			}
		}
		if float64(size) > plainlyMM2*pixelsPerMM*pixelsPerMM && !listed {
			out = append(out, fmt.Sprintf("%.2f mm² at %.1f,%.1f", float64(size)/pixelsPerMM/pixelsPerMM, float64(i%b.w)/pixelsPerMM, float64(i/b.w)/pixelsPerMM))
		}
	}
	return out
}

// Pages of the contact sheet: perPage designs in rows of inRow, each pair cellPx
// wide, with its name beneath.
const (
	perPage = 12
	inRow   = 2
	cellPx  = 560
	labelPx = 22
	gapPx   = 8
)

// drawDesigns draws each design as drawn and as made, with a ring around each spot
// that is left and listed.
func drawDesigns(t *testing.T, dir, called string, pairs []pair) {
	for page := 0; page*perPage < len(pairs); page++ {
		var out strings.Builder
		y, rowPx := float64(gapPx), 0.0
		some := pairs[page*perPage : min(len(pairs), (page+1)*perPage)]
		for i, m := range some {
			x := float64(gapPx + i%inRow*(cellPx+gapPx))
			scale := (cellPx - gapPx) / 2 / m.drawn.PageMM[0]
			for k, w := range []*written{m.drawn, m.made} {
				fmt.Fprintf(&out, `<svg x="%g" y="%g" width="%g" height="%g"><g transform="scale(%g)"><g transform="translate(%g) scale(-1 1)">`,
					x+float64(k*(cellPx+gapPx)/2), y, w.PageMM[0]*scale, w.PageMM[1]*scale, scale, w.PageMM[0])
				for _, s := range w.sheets {
					fmt.Fprintf(&out, `<path fill="%s" fill-rule="evenodd" d="%s"/>`, s.Colour, s.Data)
				}
				for _, lines := range w.pens {
					out.WriteString(lines)
				}
				out.WriteString(`</g>`)
				if k == 1 {
					for _, s := range m.open {
						fmt.Fprintf(&out, `<circle cx="%g" cy="%g" r="1.2" fill="none" stroke="#f0f" stroke-width=".25"/>`, s.X, s.Y)
					}
				}
				out.WriteString(`</g></svg>`)
			}
			rowPx = max(rowPx, m.drawn.PageMM[1]*scale)
			fmt.Fprintf(&out, `<text x="%g" y="%g" font-family="DejaVu Sans" font-size="14">%s, %.0f mm</text>`, x, y+m.drawn.PageMM[1]*scale+labelPx-6, m.name, m.drawn.WidthMM)
			if i%inRow == inRow-1 || i == len(some)-1 {
				y, rowPx = y+rowPx+labelPx+gapPx, 0
			}
		}
		wide, high := inRow*(cellPx+gapPx)+gapPx, int(y)
		svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d"><rect width="100%%" height="100%%" fill="#fff"/>%s</svg>`, wide, high, out.String())
		img, err := oracle.SecondSmooth([]byte(svg), wide, high)
		if err != nil {
			t.Fatal(err)
		}
		f, err := os.Create(filepath.Join(dir, fmt.Sprintf("%s-%d.png", called, page+1)))
		if err != nil {
			t.Fatal(err)
		}
		if err := png.Encode(f, flat(img)); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// flat returns a picture in its most frequent colours, which flat art is told in well
// enough to look at, in a third of the file.
func flat(img *image.RGBA) *image.Paletted {
	count := map[color.RGBA]int{}
	b := img.Bounds()
	for y := range b.Dy() {
		for x := range b.Dx() {
			count[img.RGBAAt(x, y)]++
		}
	}
	colours := slices.SortedFunc(maps.Keys(count), func(p, q color.RGBA) int {
		return cmp.Or(count[q]-count[p], cmp.Compare(fmt.Sprint(p), fmt.Sprint(q)))
	})
	var few color.Palette
	for _, c := range colours[:min(len(colours), 128)] {
		few = append(few, c)
	}
	nearest := map[color.RGBA]uint8{}
	for _, c := range colours {
		nearest[c] = uint8(few.Index(c))
	}
	out := image.NewPaletted(b, few)
	for y := range b.Dy() {
		for x := range b.Dx() {
			out.SetColorIndex(x, y, nearest[img.RGBAAt(x, y)])
		}
	}
	return out
}
