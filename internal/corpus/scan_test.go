package corpus

import (
	"bytes"
	"cmp"
	"context"
	"image"
	"image/draw"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/trace"
)

// What a scan brings back of a drawing, and the drawing itself, painted with crisp
// edges at the same size, are counted in the same way: for each colour of the drawing,
// what hangs together of it, and the holes in that. So thin lines that fall apart at this
// size do so in both, and nothing hangs on how curves are drawn.
//
// What no scan can tell is not asked for. A region near a limit of size may fall on
// either side of it: each that has twice as many pixels as the least must be there, and
// none may be that has half as many in the drawing. The least is what a blur over two
// pixels, turned and saved at quality 60, leaves of a dot: 7 × 7 pixels of 512. And where
// two parts touch in a point, or come as near as that blur is broad, they may be joined
// or not: so the number lies between those of the drawing as it is, of what is left
// when a pixel all round is taken from the colour, and of it with a pixel all round.
func TestTrace_BringsScansOfDrawingsBack(t *testing.T) {
	const side, least = 512, 49
	names, s := openArt(t, 6, 50, emoji)
	r := oracle.StartRenderer(t)
	right, coloured, shaped := 0, 0, 0
	for i, name := range names {
		art, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		drawn, err := r.Render(art, side, false)
		if err != nil {
			t.Fatal(err)
		}
		file, err := oracle.Scan(drawn, s+uint64(i))
		if err != nil {
			t.Fatal(err)
		}
		crisp, err := r.Render(art, side, true)
		if err != nil {
			t.Fatal(err)
		}
		res, err := trace.Trace(context.Background(), bytes.NewReader(file), trace.Options{Tracing: job.Tracing{Sheet: true, KeepGround: true}})
		if err != nil {
			t.Errorf("seed %d, %s: %v", s, filepath.Base(name), err)
			continue
		}
		var svg bytes.Buffer
		if err := res.WriteSVG(&svg); err != nil {
			t.Fatal(err)
		}
		back, err := r.Render(svg.Bytes(), int(math.Round(res.Canvas.Longer())), true)
		if err != nil {
			t.Fatal(err)
		}
		want := onSheet(crisp)
		missing, invented := colourErrors(res, want)
		colours := coloursOf(want)
		wrong := 0
		for k := range colours {
			was, is := classed(want, colours, k), classed(onWhite(back), colours, k)
			for _, inside := range []bool{true, false} { // what hangs together of it, and holes
				fewest, most, n := math.MaxInt, 0, is.regions(inside, least)
				for _, c := range []class{was, was.spread(true), was.spread(false)} {
					fewest, most = min(fewest, c.regions(inside, 2*least)), max(most, c.regions(inside, least/2))
				}
				if n < fewest || n > most {
					t.Logf("%s: %v %v: %d to %d, %d", filepath.Base(name), colours[k], inside, fewest, most, n)
					wrong++
				}
			}
		}
		if missing+invented == 0 {
			coloured++
		} else {
			t.Logf("%s: colours %d missing, %d invented, of %v, %v", filepath.Base(name), missing, invented, colours, res.Inks)
		}
		if wrong == 0 {
			shaped++
		}
		if missing+invented+wrong == 0 && res.Sheet != nil && math.Abs(res.Sheet.TurnDeg-oracle.ScanTurnDeg) < 0.3 {
			right++
		}
	}
	n := len(names)
	t.Logf("figures: scans: %d of %d come back, colours of %d, topology of %d", right, n, coloured, shaped)
	if least := float64(n) * 0.9; float64(right) < math.Floor(least) {
		t.Errorf("seed %d: %d of %d scans come back", s, right, n)
	}
}

// onSheet is a drawing on the sheet that a scan shows it on.
func onSheet(drawn *image.RGBA) *image.RGBA {
	w := int(oracle.ScanSheet * float64(drawn.Rect.Dx()))
	out := image.NewRGBA(image.Rect(0, 0, w, w))
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	at := image.Pt(w-drawn.Rect.Dx(), w-drawn.Rect.Dy()).Div(2)
	draw.Draw(out, drawn.Rect.Add(at), drawn, image.Point{}, draw.Over)
	return out
}

// coloursOf are the colours of more than 0.08 % of a picture, the most frequent first;
// what looks like one of them counts as it, as it does where colours are compared.
func coloursOf(img *image.RGBA) (out []colour.RGB) {
	count := map[colour.RGB]int{}
	for i := 0; i < len(img.Pix); i += 4 {
		count[colour.RGB{R: img.Pix[i], G: img.Pix[i+1], B: img.Pix[i+2]}]++
	}
	list := slices.SortedFunc(maps.Keys(count), func(a, b colour.RGB) int {
		return cmp.Or(cmp.Compare(count[b], count[a]), strings.Compare(a.String(), b.String()))
	})
	for _, c := range list {
		alike := func(o colour.RGB) bool { return c.DeltaE(o) < sameColour }
		if float64(count[c]) > 0.0008*float64(len(img.Pix)/4) && !slices.ContainsFunc(out, alike) {
			out = append(out, c)
		}
	}
	return out
}

// class marks the pixels of a picture that look most like one of some colours.
type class struct {
	w, h int
	is   []bool
}

func classed(img *image.RGBA, colours []colour.RGB, k int) class {
	out := class{img.Rect.Dx(), img.Rect.Dy(), make([]bool, len(img.Pix)/4)}
	known := map[colour.RGB]bool{}
	for i := range out.is {
		c := colour.RGB{R: img.Pix[4*i], G: img.Pix[4*i+1], B: img.Pix[4*i+2]}
		is, ok := known[c]
		if !ok {
			best := 0
			for j := range colours {
				if c.DeltaE(colours[j]) < c.DeltaE(colours[best]) {
					best = j
				}
			}
			is = best == k
			known[c] = is
		}
		out.is[i] = is
	}
	return out
}

// spread returns the class with a pixel all round what is marked, or with that taken
// from it.
func (c class) spread(marked bool) class {
	out := class{c.w, c.h, slices.Clone(c.is)}
	for i, is := range c.is {
		x, y := i%c.w, i/c.w
		for v := max(y-1, 0); v <= min(y+1, c.h-1); v++ {
			for u := max(x-1, 0); u <= min(x+1, c.w-1); u++ {
				if is == marked {
					out.is[v*c.w+u] = marked
				}
			}
		}
	}
	return out
}

// regions counts what hangs together of the marked pixels, corners included, or of the
// others, sides alone, and has so many pixels; what others reach the border are no hole.
func (c class) regions(marked bool, least int) (n int) {
	seen := make([]bool, len(c.is))
	for i := range c.is {
		if seen[i] || c.is[i] != marked {
			continue
		}
		seen[i] = true
		size, open := 0, false
		for stack := []int{i}; len(stack) > 0; {
			j := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			size++
			x, y := j%c.w, j/c.w
			open = open || x == 0 || y == 0 || x == c.w-1 || y == c.h-1
			for v := max(y-1, 0); v <= min(y+1, c.h-1); v++ {
				for u := max(x-1, 0); u <= min(x+1, c.w-1); u++ {
					if k := v*c.w + u; !seen[k] && c.is[k] == marked && (marked || u == x || v == y) {
						seen[k] = true
						stack = append(stack, k)
					}
				}
			}
		}
		if size >= least && (marked || !open) {
			n++
		}
	}
	return n
}
