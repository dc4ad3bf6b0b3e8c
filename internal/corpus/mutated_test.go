package corpus

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"abut/internal/oracle"
	"abut/internal/svgimport"
	"abut/internal/watched"
)

// mostAllocated is how many bytes reading a file may ask for in all.
const mostAllocated = 1 << 30

// Files with mistakes come in as others read them, or something is said of them,
// or they are refused: a mutated file whose picture is another one for both of
// two renderers, without a warning, is a finding.
func TestMutated_FilesComeInOrAreTold(t *testing.T) {
	if testing.Short() {
		t.Skip("needs the renderers: ./run test brings them")
	}
	n := 400
	if all() {
		n = 20_000
	}
	s := seed(t)
	rnd := rand.New(rand.NewPCG(s, 1))
	origins := mutatedOrigins(t)
	r := oracle.StartRenderer(t)
	came, told, refused, passed := 0, 0, 0, 0
	heaviest := uint64(0)
	dir := os.Getenv("ABUT_FINDINGS")
	for i := range n {
		o := origins[rnd.IntN(len(origins))]
		picture := o.data
		for range 1 + rnd.IntN(3) {
			picture = mutate(rnd, picture)
		}
		before := watched.Allocated()
		res, err := svgimport.Import(context.Background(), bytes.NewReader(picture), svgimport.Options{})
		used := watched.Allocated() - before
		heaviest = max(heaviest, used)
		if used > mostAllocated {
			t.Errorf("%s, mutant %d: %d bytes asked for", o.name, i, used)
		}
		switch {
		case err != nil:
			refused++
			var ours *svgimport.Error
			if !errors.As(err, &ours) {
				t.Errorf("%s, mutant %d: %v", o.name, i, err)
			}
			continue
		case len(res.Warnings) > 0:
			told++
			continue
		}
		if !comparable(picture) {
			passed++
			continue
		}
		a := bringIn(r, picture, picture)
		switch {
		case a.err != nil:
			passed++
		case a.off <= maxOff || a.explained || a.large <= a.off/2:
			came++ // what shrinks with the pixels is how soft edges are drawn
		default:
			t.Errorf("%s, mutant %d: %.2f %% of the pixels are off, %.2f %% at four times the size, %.2f %% for librsvg, and nothing is told", o.name, i, 100*a.off, 100*a.large, 100*a.second)
			if dir != "" {
				if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%d.svg", i)), picture, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	t.Logf("figures: seed %d, %d mutated files: %d came in as drawn, %d told, %d refused, %d that renderers do not read or agree about; at most %d MiB asked for",
		s, n, came, told, refused, passed, heaviest>>20)
}

// comparable reports whether renderers draw a picture as browsers do: those here
// take its bounds otherwise where it has no viewBox, take the last of two elements
// with one id where a browser takes the first, draw nothing of what is very large,
// cut markers off at their viewBox instead of their viewport, and heed conditions of
// the root.
func comparable(svg []byte) bool {
	ids := map[string]bool{}
	for _, m := range withID.FindAllSubmatch(svg, -1) {
		id := string(m[1])
		if ids[id] {
			return false
		}
		ids[id] = true
	}
	root, _, _ := bytes.Cut(svg[max(0, bytes.Index(svg, []byte("<svg"))):], []byte(">"))
	if bytes.Contains(root, []byte("systemLanguage")) || bytes.Contains(svg, []byte("<marker")) && bytes.Contains(svg, []byte(".001")) {
		return false
	}
	return bytes.Contains(root, []byte(" viewBox=")) && !bytes.Contains(svg, []byte("1e9")) && !bytes.Contains(svg, []byte("1e6"))
}

type origin struct {
	name string
	data []byte
}

// judgedOtherwise are odd pictures whose mutants say nothing, as both renderers
// draw them otherwise than browsers or the standard: letters of no size are 12
// units large, clips within clips of two parts show too little, markers are not
// faded and end where their viewBox does.
var judgedOtherwise = []string{"em", "mask with black parts", "marker that is seen through", "auto-start-reverse"}

// mutatedOrigins are the odd pictures that other libraries know, without text, for
// which fonts would be needed, and some of the open art.
func mutatedOrigins(t *testing.T) []origin {
	var out []origin
	for _, page := range oddities {
		for _, o := range page.list {
			root := o.root
			if root == "" {
				root = `viewBox="0 0 100 100"`
			}
			if o.same == "" && !slices.Contains(judgedOtherwise, o.name) && !strings.Contains(o.inner, "<text") && len(o.inner) < 1<<14 {
				out = append(out, origin{page.heading + "/" + o.name,
					[]byte(`<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ` + root + `>` + o.inner + `</svg>`)})
			}
		}
	}
	for _, pattern := range []string{flags, emoji} {
		for _, name := range sample(oracle.Art(t, pattern), 60, 3) {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if len(data) < 1<<14 {
				out = append(out, origin{filepath.Base(name), data})
			}
		}
	}
	return out
}

var (
	attributes = regexp.MustCompile(`\s[\w:-]+="[^"]*"`)
	numbers    = regexp.MustCompile(`-?\d*\.?\d+`)
	tags       = regexp.MustCompile(`<[^>]*>`)
	withID     = regexp.MustCompile(`\sid="([^"]*)"`)
	empty      = regexp.MustCompile(`<[^>]*/>`)
)

// strange are values that stand where others are expected.
var strange = []string{
	"", "none", "inherit", "initial", "auto", "0", "-1", "1e9", "1e-9", "NaN", "50%", "2mm", "red", "#12", "#1234", "currentColor", "url(#a)",
	"url(#nothing) red", "rotate(30)", "scale(0)", "matrix(1 0 0)", "translate(5,5", "0 0 10 10", "M0 0L9", "m 5 5 h 9 v", "evenodd", "round", "hidden",
	"userSpaceOnUse", "objectBoundingBox", "var(--a)", "calc(1px + 2px)", "1,,2", "+.5.5-3", "\u00a05", "5 ", "'5'", "100 50", "xMidYMin slice",
}

// mutate returns a file with one mistake more.
func mutate(r *rand.Rand, in []byte) []byte {
	kinds := 7
	if r.IntN(4) == 0 { // mostly that is no XML any longer
		kinds = len(mistakes)
	}
	return []byte(mistakes[r.IntN(kinds)](r, string(in)))
}

// pick returns where something stands in a file, false where there is no such thing.
func pick(r *rand.Rand, s string, re *regexp.Regexp) (from, to int, ok bool) {
	all := re.FindAllStringIndex(s, -1)
	if len(all) == 0 {
		return 0, 0, false
	}
	at := all[r.IntN(len(all))]
	return at[0], at[1], true
}

// picked changes one of what an expression finds, where there is any.
func picked(re *regexp.Regexp, by func(r *rand.Rand, found string) string) func(*rand.Rand, string) string {
	return func(r *rand.Rand, s string) string {
		if a, b, ok := pick(r, s, re); ok {
			return s[:a] + by(r, s[a:b]) + s[b:]
		}
		return s
	}
}

// mistakes each return a file with one more.
var mistakes = []func(r *rand.Rand, s string) string{
	// Another value.
	picked(attributes, func(r *rand.Rand, found string) string {
		return found[:strings.IndexByte(found, '"')+1] + strange[r.IntN(len(strange))] + `"`
	}),
	// The value of another attribute.
	func(r *rand.Rand, s string) string {
		a, b, ok := pick(r, s, attributes)
		c, d, too := pick(r, s, attributes)
		if !ok || !too {
			return s
		}
		return s[:a+strings.IndexByte(s[a:b], '"')] + s[c+strings.IndexByte(s[c:d], '"'):d] + s[b:]
	},
	// Another number.
	picked(numbers, func(r *rand.Rand, found string) string {
		return []string{"0", "-" + found, "1e6", ".001", "", found + found, "1e", "3"}[r.IntN(8)]
	}),
	// An attribute less.
	picked(attributes, func(*rand.Rand, string) string { return "" }),
	// An attribute elsewhere.
	func(r *rand.Rand, s string) string {
		a, b, ok := pick(r, s, attributes)
		c, d, too := pick(r, s, tags)
		if !ok || !too || strings.HasPrefix(s[c:d], "</") || strings.HasPrefix(s[c:d], "<!") {
			return s
		}
		end := d - 1
		if strings.HasSuffix(s[c:d], "/>") {
			end--
		}
		return s[:end] + s[a:b] + s[end:]
	},
	// An element twice, and with it what has an id; an element less.
	picked(empty, func(_ *rand.Rand, found string) string { return found + found }),
	picked(empty, func(*rand.Rand, string) string { return "" }),
	// Some bytes less.
	func(r *rand.Rand, s string) string {
		a := r.IntN(len(s) + 1)
		if a == len(s) {
			return s
		}
		return s[:a] + s[min(len(s), a+1+r.IntN(4)):]
	},
	// A byte that is another one.
	func(r *rand.Rand, s string) string {
		a := r.IntN(len(s) + 1)
		if a == len(s) {
			return s
		}
		return s[:a] + string(rune(32+r.IntN(95))) + s[a+1:]
	},
}
