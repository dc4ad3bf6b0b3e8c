package corpus

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"testing"
	"time"

	"abut/internal/oracle"
	"abut/internal/svgimport"
)

// Art comes in whole: what an import makes of a file, drawn again, is the file's
// own picture. Both are drawn by the same renderer with smooth edges at 256
// pixels; a file is right when at most 0.5 % of the pixels are off by more than
// 48 of 255 in a channel, over white. Where one is not, librsvg draws both too:
// the miss counts as explained when that one sees no such difference, and the
// file is named.

const importSide = 256

// maxOff is the share of the pixels that may be off.
const maxOff = 0.005

func TestFlags_ComeInAsTheyAreDrawn(t *testing.T) {
	comeIn(t, 60, flags, "flag-icons/flags/1x1/*.svg")
}

func TestEmoji_ComeInAsTheyAreDrawn(t *testing.T) {
	comeIn(t, 90, emoji)
}

type arrival struct {
	name      string
	err       error
	off       float64
	explained bool
	second    float64
	large     float64 // off at four times the size
	took      time.Duration
	warnings  []string
}

func comeIn(t *testing.T, few int, patterns ...string) {
	names, s := openArt(t, few, 0, patterns...)
	const workers = 2
	results := make([]arrival, len(names))
	next := make(chan int)
	var wg sync.WaitGroup
	for range workers {
		r := oracle.StartRenderer(t)
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				results[i] = arrive(r, names[i])
			}
		}()
	}
	for i := range names {
		next <- i
	}
	close(next)
	wg.Wait()
	judgeArrivals(t, results, s)
}

func arrive(r *oracle.Renderer, name string) arrival {
	art, err := os.ReadFile(name)
	a := arrival{err: err}
	if err == nil {
		a = bringIn(r, art, art)
	}
	a.name = filepath.Base(filepath.Dir(name)) + "/" + strings.TrimSuffix(filepath.Base(name), ".svg")
	return a
}

// bringIn imports a picture and compares what came of it with how the art is
// drawn.
func bringIn(r *oracle.Renderer, picture, art []byte) (a arrival) {
	start := time.Now()
	res, err := svgimport.Import(context.Background(), bytes.NewReader(picture), svgimport.Options{})
	a.took = time.Since(start)
	if err != nil {
		a.err = err
		return a
	}
	for _, w := range res.Warnings {
		a.warnings = append(a.warnings, w.ID)
	}
	again := asArt(res)
	want, err := r.Render(art, importSide, false)
	if err != nil {
		a.err = err
		return a
	}
	got, err := r.Render(again, importSide, false)
	if err != nil {
		a.err = err
		return a
	}
	if a.off, a.err = shareOff(want, got); a.err != nil || a.off <= maxOff {
		return a
	}
	if a.large, a.err = offAt(r, art, again, 4*importSide); a.err != nil {
		return a
	}
	w, h := want.Rect.Dx(), want.Rect.Dy()
	if want, err = oracle.SecondSmooth(art, w, h); err == nil {
		got, err = oracle.SecondSmooth(again, w, h)
	}
	if err != nil {
		a.err = err
		return a
	}
	a.second, a.err = shareOff(want, got)
	a.explained = a.err == nil && a.second <= maxOff
	return a
}

// offAt is the share of the pixels that two pictures differ in at a size.
// Strokes thinner than a pixel the first renderer does not draw as it draws
// their outlines; that shows where a miss shrinks with the pixels.
func offAt(r *oracle.Renderer, art, again []byte, side int) (float64, error) {
	want, err := r.Render(art, side, false)
	if err != nil {
		return 0, err
	}
	got, err := r.Render(again, side, false)
	if err != nil {
		return 0, err
	}
	return shareOff(want, got)
}

// shareOff is the share of the pixels that are not near each other.
func shareOff(a, b *image.RGBA) (float64, error) {
	if a.Rect != b.Rect {
		return 0, fmt.Errorf("pictures of %v and %v", a.Rect, b.Rect)
	}
	pa, pb := overWhite(a), overWhite(b)
	off := 0
	for i := range pa {
		if !pa[i].near(pb[i]) {
			off++
		}
	}
	return float64(off) / float64(max(len(pa), 1)), nil
}

func judgeArrivals(t *testing.T, results []arrival, s uint64) {
	right, explained := 0, 0
	var misses []string
	var times []time.Duration
	warned := map[string]int{}
	sum := 0.0
	for _, a := range results {
		if a.err != nil {
			t.Errorf("%s: %v", a.name, a.err)
			continue
		}
		times = append(times, a.took)
		sum += a.off
		for _, id := range distinct(a.warnings) {
			warned[id]++
		}
		switch {
		case a.off <= maxOff:
			right++
		case a.explained:
			explained++
			misses = append(misses, fmt.Sprintf("%s: %.2f %% of the pixels are off, %.2f %% at four times the size; librsvg draws both alike (%.2f %%)", a.name, 100*a.off, 100*a.large, 100*a.second))
		default:
			misses = append(misses, fmt.Sprintf("%s: %.2f %% of the pixels are off, %.2f %% at four times the size, and %.2f %% for librsvg (%s)", a.name, 100*a.off, 100*a.large, 100*a.second, strings.Join(distinct(a.warnings), ", ")))
		}
	}
	if len(times) == 0 {
		t.Fatalf("seed %d: none of %d files came in", s, len(results))
	}
	sort.Slice(times, func(i, j int) bool { return times[i] < times[j] })
	for _, m := range misses {
		t.Logf("figures: %s", m)
	}
	t.Logf("figures: seed %d, %d files: %d right, %d more explained by the second renderer; mean %.3f %% of the pixels off; warnings %v; import median %v, longest %v",
		s, len(results), right, explained, 100*sum/float64(len(times)), warned, times[len(times)/2].Round(time.Microsecond), times[len(times)-1].Round(time.Microsecond))
	// 99.5 % right; of a sample one file may be off.
	slack := 1
	if all() {
		slack = 0
	}
	if wrong, most := len(results)-right-explained, int(0.005*float64(len(results)))+slack; wrong > most {
		t.Errorf("seed %d: %d of %d files do not come in as they are drawn, at most %d may", s, wrong, len(results), most)
	}
}
