package corpus

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"flag"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"abut/internal/oracle"
	"abut/internal/svgimport"
	"abut/internal/typeset"
)

var update = flag.Bool("update", false, "write the ledger of SVG features anew")

// manyRules are more rules than a style sheet may have.
var manyRules = func() string {
	var b strings.Builder
	for i := range 5002 {
		fmt.Fprintf(&b, ".c%d{fill:gold}", i)
	}
	return b.String()
}()

// flattening are the warnings about what becomes the nearest that sheets can
// show; all others are about what is left out.
var flattening = []string{
	svgimport.WarnGradient, svgimport.WarnPattern, svgimport.WarnMask, svgimport.WarnOpacity, svgimport.WarnDashes, svgimport.WarnFont,
	svgimport.WarnLetters, svgimport.WarnTextVertical,
}

// What becomes of each feature is written down in docs/svg.md, and true: a
// picture of it that comes in without a word is drawn alike by at least one of
// three other libraries, and whatever is not is told.
func TestLedger_OfSVGFeaturesIsTrue(t *testing.T) {
	if testing.Short() {
		t.Skip("needs the renderers: ./run test brings them")
	}
	r := oracle.StartRenderer(t)
	fonts := map[string][]byte{"Go-Regular.ttf": goregular.TTF, "Go-Bold.ttf": gobold.TTF}
	var files []string
	dir := t.TempDir()
	for name, data := range fonts {
		files = append(files, filepath.Join(dir, name))
		if err := os.WriteFile(files[len(files)-1], data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	set, err := typeset.FromFiles(files...)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString(ledgerHead)
	count := map[string]int{}
	for _, page := range oddities {
		fmt.Fprintf(&b, "\n## %s\n\n| feature | what becomes of it |\n|---|---|\n", page.heading)
		for _, o := range page.list {
			fate := ""
			t.Run(page.heading+"/"+o.name, func(t *testing.T) { fate = fateOf(t, r, set, files, o) })
			fmt.Fprintf(&b, "| %s | %s |\n", o.name, fate)
			count[strings.SplitN(fate, ":", 2)[0]]++
		}
	}
	t.Logf("figures: %v", count)
	file := filepath.Join(oracle.Root(t), "docs", "svg.md")
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := strings.Split(string(have), "\n"), strings.Split(b.String(), "\n"); !slices.Equal(got, want) {
		for i := range max(len(got), len(want)) {
			if i >= len(got) || i >= len(want) || got[i] != want[i] {
				t.Errorf("docs/svg.md is not true from line %d on; go test ./internal/corpus -run Ledger -update writes it anew", i+1)
				break
			}
		}
	}
}

const ledgerHead = `# What becomes of SVG

*taken*: drawn as other programs draw it · *flattened*: drawn as near to it as sheets of one colour come, and said so · *told*:
left out or passed over, and said so, with line, element and remedy. A test draws each with other libraries and writes this page.
`

// fateOf brings a picture in and says what became of it; it fails the test for
// one that comes in otherwise than any referee draws it, without a word.
func fateOf(t *testing.T, r *oracle.Renderer, fonts *typeset.Fonts, files []string, o odd) string {
	root := o.root
	if root == "" {
		root = `viewBox="0 0 100 100"`
	}
	page := func(inner string) []byte {
		return []byte(`<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" font-family="Go" ` + root + `>` + inner + `</svg>`)
	}
	res, err := svgimport.Import(context.Background(), bytes.NewReader(page(o.inner)), svgimport.Options{Fonts: fonts})
	if err != nil {
		var ours *svgimport.Error
		if !errors.As(err, &ours) {
			t.Error(err)
		}
		return "told"
	}
	fate := "taken"
	for _, w := range res.Warnings {
		switch {
		case w.Line == 0 || w.Element == "":
			t.Errorf("%s has no place", w.ID)
		case !slices.Contains(flattening, w.ID):
			fate = "told"
		case fate == "taken":
			fate = "flattened"
		}
	}
	if fate != "taken" {
		return fate
	}
	art := page(o.inner)
	if o.same != "" {
		art = page(o.same)
	}
	again := asArt(res)
	want, err := r.RenderText(art, importSide, false, files...)
	if err != nil {
		t.Fatal(err)
	}
	got, err := r.Render(again, importSide, false)
	if err != nil {
		t.Fatal(err)
	}
	first, err := shareOff(want, got)
	if err != nil {
		t.Fatal(err)
	}
	if first <= maxOff {
		if all() && !slices.Contains(browsersOwn, o.name) {
			browserAgrees(t, withFonts(art), again, want.Rect.Dx(), want.Rect.Dy())
		}
		return fate
	}
	if strings.Contains(o.inner, "Gradient") { // its edges are crisp
		if crisp, second := crispOff(t, r, art, again); min(crisp, second) <= maxShare {
			return fate
		}
	}
	w, h := want.Rect.Dx(), want.Rect.Dy()
	said := []string{fmt.Sprintf("resvg %.2f %%", 100*first)}
	for name, ask := range map[string]func([]byte, int, int) (*image.RGBA, error){"librsvg": oracle.SecondSmooth, "chromium": browser} {
		want, err := ask(art, w, h)
		if errors.Is(err, exec.ErrNotFound) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		got, err := ask(again, w, h)
		if err != nil {
			t.Fatal(err)
		}
		off, err := shareOff(want, got)
		if err != nil {
			t.Fatal(err)
		}
		if off <= maxOff {
			return fate
		}
		said = append(said, fmt.Sprintf("%s %.2f %%", name, 100*off))
	}
	t.Errorf("comes in without a word and is drawn otherwise: %s", strings.Join(said, ", "))
	return fate
}

// browsersOwn are features that browsers have their own mind about: an ex follows
// the font that they choose, a path that turns straight back has two bisectors, a
// mask's own mask they pass over, lines skip letters that reach below, and those of
// a font without a table of them they guess.
var browsersOwn = []string{"em", "marker at a cusp", "mask of a mask", "text-decoration", "dominant-baseline"}

// maxLettersOff is the share of the pixels that may be off where there are letters:
// browsers fit them to pixels.
const maxLettersOff = 0.01

// withFonts returns a picture that brings the fonts of its text with it: a browser
// is not told of any others.
func withFonts(svg []byte) []byte {
	face := func(weight string, font []byte) string {
		return "@font-face{font-family:Go;font-weight:" + weight + ";src:url(data:font/ttf;base64," + base64.StdEncoding.EncodeToString(font) + ")}"
	}
	root, rest, _ := bytes.Cut(svg, []byte(">"))
	return slices.Concat(root, []byte("><style>"+face("400", goregular.TTF)+face("700", gobold.TTF)+"</style>"), rest)
}

// browserAgrees asks a browser, where there is one, about a picture that another
// library draws as it came in: libraries share omissions.
func browserAgrees(t *testing.T, art, again []byte, width, height int) {
	t.Helper()
	want, err := browser(art, width, height)
	if errors.Is(err, exec.ErrNotFound) {
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	got, err := browser(again, width, height)
	if err != nil {
		t.Fatal(err)
	}
	most := maxOff
	if bytes.Contains(art, []byte("<text")) {
		most = maxLettersOff
	}
	if off, err := shareOff(want, got); err != nil || off > most {
		t.Errorf("a browser draws it otherwise: %.2f %% of the pixels, %v", 100*off, err)
	}
}
