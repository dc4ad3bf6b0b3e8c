package corpus

import (
	"context"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/words"
	"abut/internal/workshop"
)

// Every colour of the flags and of 500 emoji, each as a square of its own: the
// layer that nobody named and the sheet that is cut for it are called alike, in
// English and in German, and no two of them by one name.
func TestNames_OfALayerAndOfItsOwnSheetAgree(t *testing.T) {
	files := slices.Concat(oracle.Art(t, flags), sample(oracle.Art(t, emoji), 500, 1))
	hex := regexp.MustCompile(`"#([0-9a-fA-F]{6}|[0-9a-fA-F]{3})"`)
	seen := map[colour.RGB]bool{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range hex.FindAllSubmatch(b, -1) {
			if c, err := colour.Parse(string(m[1])); err == nil {
				seen[c] = true
			}
		}
	}
	if len(seen) < 800 {
		t.Fatalf("only %d colours", len(seen))
	}
	for _, tag := range []string{"en", "de"} {
		t.Run(tag, func(t *testing.T) {
			words.Use(words.For(tag))
			t.Cleanup(func() { words.Use(words.English()) })
			namesAgree(t, seen)
		})
	}
}

func namesAgree(t *testing.T, colours map[colour.RGB]bool) {
	var art strings.Builder
	art.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">`)
	n := 0
	for c := range colours {
		fmt.Fprintf(&art, `<rect x="%d" y="%d" width="6" height="6" fill="%s"/>`, n%50*8, n/50*8, c)
		n++
	}
	art.WriteString(`</svg>`)
	j, err := workshop.OpenSVG(context.Background(), "colours.svg", strings.NewReader(art.String()))
	if err != nil {
		t.Fatal(err)
	}
	j.Settings.Bare = job.BareRule{Mode: job.BareNone}
	p, err := fit.Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	layers := map[colour.RGB]string{}
	for _, l := range j.Items[0].Layers {
		layers[l.Colour] = l.Name
	}
	taken := map[string]bool{}
	for i := range p.Separations {
		s := &p.Separations[i]
		called := words.Chosen().Put(s.Called())
		if called != layers[s.Colour] {
			t.Errorf("%s: the layer is %q, its sheet %q", s.Colour, layers[s.Colour], called)
		}
		if taken[called] {
			t.Errorf("%q is there twice", called)
		}
		taken[called] = true
	}
	if len(taken) != len(colours) {
		t.Errorf("%d sheets of %d colours", len(taken), len(colours))
	}
}
