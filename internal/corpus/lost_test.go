package corpus

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/workshop"
)

// What mending loses is measured from the cut files alone: the picture cut as it
// is and the one that was mended are painted from them, pixel by pixel. A thing is
// a connected region of one colour of the first, thingMM2 or more. It is lost where
// less than a quarter of it still shows its colour; an edge may have moved by
// movedMM. What is thinner than hairMM all over is none: no eye tells it and no blade cuts it, and
// whether it has any pixels is luck. That of 0.02 mm along the lower edge of a hand had a row of them.
const (
	thingMM2    = 0.25
	movedMM     = 0.5
	lostShare   = 0.25
	hairMM      = 0.05
	pixelsPerMM = 8
)

// bitmap is a picture of sheets: which one each pixel is cut from, and −1 for none.
type bitmap struct {
	w, h  int
	sheet []int
	tone  []rgb           // of each sheet
	paths []geometry.Path // of each sheet, in mm
}

func (b *bitmap) at(x, y int) (rgb, bool) {
	if x < 0 || y < 0 || x >= b.w || y >= b.h || b.sheet[y*b.w+x] < 0 {
		return rgb{}, false
	}
	return b.tone[b.sheet[y*b.w+x]], true
}

// bitmapOf paints what was written where the art lies, in pixels of the art's own
// place: its page may be a little larger or smaller than another one's.
func bitmapOf(w *written, of *written) *bitmap {
	b := &bitmap{w: int(of.PageMM[0]*pixelsPerMM) + 1, h: int(of.PageMM[1]*pixelsPerMM) + 1}
	b.sheet = slices.Repeat([]int{-1}, b.w*b.h)
	back, _ := w.sourceToPage().Invert()
	place := of.sourceToPage().Mul(back)
	for i, s := range w.sheets {
		var c rgb
		if _, err := fmt.Sscanf(s.Colour, "#%02x%02x%02x", &c[0], &c[1], &c[2]); err != nil {
			panic(err)
		}
		b.paint(w.unmirrored(i).Transform(place).Flatten(0.01), c)
	}
	return b
}

// paint adds a sheet, whose outlines are polygons in mm.
func (b *bitmap) paint(path geometry.Path, tone rgb) {
	b.tone, b.paths = append(b.tone, tone), append(b.paths, path)
	for y := range b.h {
		hits := path.ScanLine((float64(y) + 0.5) / pixelsPerMM)
		for k := 0; k+1 < len(hits); k += 2 {
			from, to := int(hits[k].X*pixelsPerMM+0.5), int(hits[k+1].X*pixelsPerMM+0.5)
			for x := max(from, 0); x < min(to, b.w); x++ {
				b.sheet[y*b.w+x] = len(b.paths) - 1
			}
		}
	}
}

// hairline reports whether pixels of a sheet are nowhere broader than hairMM; it may be up to twice that.
func (b *bitmap) hairline(pixels []int, sheet int) bool {
	inside := geometry.NewEnclosure(b.paths[sheet])
	return !slices.ContainsFunc(pixels, func(i int) bool {
		at := geometry.Pt(float64(i%b.w)+0.5, float64(i/b.w)+0.5).Mul(1. / pixelsPerMM)
		within := func(by geometry.Point) bool { return inside.Holds(at.Add(by)) || inside.Holds(at.Sub(by)) }
		return within(geometry.Pt(hairMM, 0)) && within(geometry.Pt(0, hairMM))
	})
}

// losses counts the things of a picture, tells which are lost in another one, and
// the share of its pixels that changed.
func losses(a, b *bitmap) (things int, lost []string, changed float64) {
	seen := make([]bool, len(a.sheet))
	reach := int(movedMM * pixelsPerMM)
	art, other := 0, 0
	for i, s := range a.sheet {
		if s < 0 {
			continue
		}
		art++
		if c, ok := b.at(i%a.w, i/a.w); !ok || !c.near(a.tone[s]) {
			other++
		}
		if seen[i] || a.tone[s] == (rgb{255, 255, 255}) {
			continue
		}
		seen[i] = true
		kept := 0
		var all []int
		for todo := []int{i}; len(todo) > 0; {
			q := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			x, y := q%a.w, q/a.w
			all = append(all, q)
			found := false
			for v := -reach; v <= reach && !found; v += reach {
				for u := -reach; u <= reach && !found; u += reach {
					c, ok := b.at(x+u, y+v)
					found = ok && c.near(a.tone[s])
				}
			}
			if found {
				kept++
			}
			for _, n := range [][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
				if k := n[1]*a.w + n[0]; n[0] >= 0 && n[1] >= 0 && n[0] < a.w && n[1] < a.h && !seen[k] && a.sheet[k] == s {
					seen[k] = true
					todo = append(todo, k)
				}
			}
		}
		size := float64(len(all))
		if size < thingMM2*pixelsPerMM*pixelsPerMM {
			continue
		}
		things++
		if float64(kept) < lostShare*size && !a.hairline(all, s) {
			lost = append(lost, fmt.Sprintf("%.2f mm² at %.1f,%.1f", size/pixelsPerMM/pixelsPerMM, float64(i%a.w)/pixelsPerMM, float64(i/a.w)/pixelsPerMM))
		}
	}
	return things, lost, float64(other) / float64(max(art, 1))
}

func TestLosses_AHairlineIsNoThing(t *testing.T) {
	drawn := func(stripeMM float64) *bitmap {
		b := &bitmap{w: 30 * pixelsPerMM, h: 10 * pixelsPerMM, sheet: slices.Repeat([]int{-1}, 300*pixelsPerMM*pixelsPerMM)}
		b.paint(geometry.RectXYWH(0, 0, 30, 5).Path(), rgb{200, 60, 30})
		if stripeMM > 0 { // through the middle of a row of pixels
			from := 6 + 0.5/pixelsPerMM - stripeMM/2
			b.paint(geometry.RectXYWH(0, from, 30, stripeMM).Path(), rgb{30, 60, 200})
		}
		return b
	}
	for stripe, want := range map[float64]int{0.02: 0, 0.04: 0, 0.12: 1, 0.3: 1} {
		if _, lost, _ := losses(drawn(stripe), drawn(0)); len(lost) != want {
			t.Errorf("without a stripe of %g mm: lost %v", stripe, lost)
		}
	}
}

// cutMended is what became of one file.
type cutMended struct {
	name         string
	things       int
	lost         []string
	changed      float64
	turns        float64 // how much outlines turn, in times as much as drawn
	skew         float64 // how far a symmetric picture is from its mirror image, in mm; −1 where none was drawn
	before, left int     // spots that are listed and not mended
	open         []openSpot
	plain        *written
	mended       *written
	verdict      string
	took         time.Duration
	err          error
}

// openSpot is a spot that job.json lists as too thin.
type openSpot struct {
	Kind   string  `json:"kind"`
	X      float64 `json:"x_mm"`
	Y      float64 `json:"y_mm"`
	Width  float64 `json:"width_mm"`
	Length float64 `json:"length_mm"`
	Of     string  `json:"separation"`
	Mended bool    `json:"mended"`
}

func (s openSpot) String() string {
	return fmt.Sprintf("%s %.2f at %.1f,%.1f", s.Kind, s.Width, s.X, s.Y)
}

// mendFile cuts a file as drawn and mended, and compares what was written.
func mendFile(name, dir string, widthMM, narrowest float64) (out cutMended) {
	out.name = strings.TrimSuffix(filepath.Base(name), ".svg")
	ctx, cancel := context.WithTimeout(context.Background(), hangs)
	defer cancel()
	o := workshop.Options{WidthMM: widthMM, NarrowestMM: narrowest}
	plain, before, err := cutAs(ctx, name, filepath.Join(dir, out.name+"-drawn"), o)
	if err != nil {
		out.err = err
		return out
	}
	o.Mend = true
	start := time.Now()
	mended, left, err := cutAs(ctx, name, filepath.Join(dir, out.name+"-mended"), o)
	if err != nil {
		out.err = err
		return out
	}
	out.took, out.verdict = time.Since(start), mended.Verdict
	out.before, out.left, out.open = len(before), len(left), left
	out.plain, out.mended = plain, mended
	if drawn := turning(plain); drawn > 0 {
		out.turns = turning(mended) / drawn
	}
	if out.skew = -1; skew(plain, symmetricMM) <= symmetricMM {
		out.skew = skew(mended, math.Inf(1))
	}
	out.things, out.lost, out.changed = losses(bitmapOf(plain, plain), bitmapOf(mended, plain))
	return out
}

// cutAs cuts a file into a folder, all colours and without a frame, and returns what was
// written with the spots that are listed as too thin.
func cutAs(ctx context.Context, name, folder string, o workshop.Options) (*written, []openSpot, error) {
	o.Folder, o.AllowBeyond = folder, true
	o.Bare, o.Frame = job.BareRule{Mode: job.BareNone}, job.FrameRule{Mode: job.FrameNone}
	if _, err := workshop.Cut(ctx, workshop.Source{Path: name}, o); err != nil {
		return nil, nil, err
	}
	w, err := readWritten(folder)
	if err != nil {
		return nil, nil, err
	}
	var listed struct {
		Spots []openSpot `json:"weak_spots"`
	}
	b, err := os.ReadFile(filepath.Join(folder, "job.json"))
	if err == nil {
		err = json.Unmarshal(b, &listed)
	}
	return w, slices.DeleteFunc(listed.Spots, func(s openSpot) bool { return s.Mended }), err
}

// turning returns how much the outlines of what was cut turn, in radians, without
// bends that one does not see.
func turning(w *written) float64 {
	const seenMM = 0.08
	sum := 0.0
	for i := range w.sheets {
		for _, c := range w.unmirrored(i).Flatten(0.01).Simplified(seenMM) {
			before := c.Segments[len(c.Segments)-1].End
			for a, b := range c.Sides() {
				u, v := a.Sub(before), b.Sub(a)
				sum += math.Abs(math.Atan2(u.Cross(v), u.Dot(v)))
				before = a
			}
		}
	}
	return sum
}

// mostTurns is how many times as much outlines of a mended picture may turn, and
// usualTurns at the median: what is blunted has two corners for one.
const (
	mostTurns  = 1.6
	usualTurns = 1.15
)

// symmetricMM is how far a picture may be from its mirror image and count as drawn
// symmetric.
const symmetricMM = 0.01

// skew returns how far what was cut is from its mirror image, left for right, in mm; or
// something beyond a limit.
func skew(w *written, limit float64) float64 {
	all := geometry.EmptyRect()
	paths := make([]geometry.Path, len(w.sheets))
	for i := range w.sheets {
		paths[i] = w.unmirrored(i).Flatten(0.01)
		all = all.Union(paths[i].Bounds())
	}
	worst := 0.0
	for _, p := range paths {
		for _, c := range p {
			for a := range c.Sides() {
				worst = max(worst, p.Distance(geometry.Pt(all.Min.X+all.Max.X-a.X, a.Y)))
				if worst > limit {
					return worst
				}
			}
		}
	}
	return worst
}

// cutAndMend cuts files as wide as asked, two at a time, as drawn and mended.
func cutAndMend(t *testing.T, names []string, widthMM func(name string) float64) []cutMended {
	results := make([]cutMended, len(names))
	next := make(chan int)
	dir := t.TempDir()
	var wg sync.WaitGroup
	for range 2 {
		wg.Go(func() {
			for i := range next {
				results[i] = mendFile(names[i], dir, widthMM(names[i]), 1)
			}
		})
	}
	for i := range names {
		next <- i
	}
	close(next)
	wg.Wait()
	return results
}

func mendFiles(t *testing.T, names []string, s uint64, widthMM float64) {
	results := cutAndMend(t, names, func(string) float64 { return widthMM })
	var changed []float64
	var took []time.Duration
	things, lost, losers, left, spots, before := 0, 0, 0, 0, 0, 0
	var turns []float64
	symmetric := 0
	for _, r := range results {
		if r.err == nil {
			turns = append(turns, r.turns)
			if r.turns > 1.15 {
				t.Logf("%s: outlines turn %.2f times as much", r.name, r.turns)
			}
			if r.turns > mostTurns {
				t.Errorf("%s has lumps: outlines turn %.2f times as much", r.name, r.turns)
			}
			if r.skew >= 0 {
				symmetric++
				if r.skew > 0.05 {
					t.Logf("%s: %.3f mm from its mirror image", r.name, r.skew)
				}
			}
		}
		if r.err != nil {
			t.Errorf("%s: %v", r.name, r.err)
			continue
		}
		things, lost, before, spots = things+r.things, lost+len(r.lost), before+r.before, spots+r.left
		changed, took = append(changed, r.changed), append(took, r.took)
		if r.took > 5*time.Second {
			t.Logf("%s took %.1f s", r.name, r.took.Seconds())
		}
		if r.left > 0 {
			left++
			t.Logf("%s: %d of %d left: %v; %s", r.name, r.left, r.before, r.open[:min(len(r.open), 6)], r.verdict)
		}
		if len(r.lost) > 0 {
			losers++
			t.Errorf("%s at %g mm: %d of %d things are lost: %s", r.name, widthMM, len(r.lost), r.things, strings.Join(r.lost[:min(len(r.lost), 6)], "; "))
		}
	}
	if len(changed) == 0 {
		t.Fatal("nothing was cut")
	}
	slices.Sort(turns)
	if turns[len(turns)/2] > usualTurns {
		t.Errorf("outlines turn %.2f times as much at the median", turns[len(turns)/2])
	}
	t.Logf("outlines turn %.3f times as much at the median, %.3f at most; %d pictures drawn symmetric", turns[len(turns)/2], turns[len(turns)-1], symmetric)
	slices.Sort(changed)
	slices.Sort(took)
	t.Logf("figures: seed %d, %d files %g mm wide: %d of %d things lost in %d files; spots %d, %d left in %d files (%.1f %%); changed %.2f %% median, %.2f %% 90th; %v median, %v longest",
		s, len(changed), widthMM, lost, things, losers, before, spots, left, 100*float64(left)/float64(len(changed)),
		100*changed[len(changed)/2], 100*changed[len(changed)*9/10], took[len(took)/2].Round(time.Millisecond), took[len(took)-1].Round(time.Millisecond))
}

func TestEmoji_MendingLosesNothing(t *testing.T) {
	names, s := openArt(t, 12, 500, emoji)
	for _, width := range []float64{60, 40} {
		t.Run(fmt.Sprint(width, " mm"), func(t *testing.T) { mendFiles(t, names, s, width) })
	}
}

// Coats of arms take minutes each, so flags are looked at with all the art only.
func TestFlags_MendingLosesNothing(t *testing.T) {
	if !all() {
		t.Skip("takes minutes a file: set ABUT_CORPUS=all")
	}
	names, s := openArt(t, 12, 100, flags)
	for _, width := range []float64{60, 40} {
		t.Run(fmt.Sprint(width, " mm"), func(t *testing.T) { mendFiles(t, names, s, width) })
	}
}
