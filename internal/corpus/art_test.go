package corpus

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/oracle"
	"abut/internal/workshop"
)

func TestMain(m *testing.M) { oracle.Main(m) }

// all says whether the whole of the open art is to be run, not a sample.
func all() bool { return os.Getenv("ABUT_CORPUS") == "all" }

// seed is printed, and taken from ABUT_SEED to run the same choice again. The
// sample of ./run test is always the same, so that it fails for what was changed
// and not for what was drawn.
func seed(t *testing.T) uint64 {
	if s := os.Getenv("ABUT_SEED"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if !all() {
		return 2
	}
	return uint64(time.Now().UnixNano())
}

// sample returns n of the names, chosen by the seed, or all when n is 0.
func sample(names []string, n int, s uint64) []string {
	if n == 0 || n >= len(names) {
		return names
	}
	r := rand.New(rand.NewPCG(s, 0))
	out := append([]string(nil), names...)
	r.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	out = out[:n]
	sort.Strings(out)
	return out
}

// openArt returns open art by what it matches, sorted, and the seed that chose
// it: few files or, of the whole of the open art, most (0: all there are). Quick
// tests do without.
func openArt(t *testing.T, few, most int, patterns ...string) (names []string, s uint64) {
	t.Helper()
	if testing.Short() {
		t.Skip("the open art takes a while: ./run test runs a sample of it, ./run test-all the whole")
	}
	for _, p := range patterns {
		names = append(names, oracle.Art(t, p)...)
	}
	n := few
	if all() {
		n = most
	}
	s = seed(t)
	return sample(names, n, s), s
}

const (
	flags = "flag-icons/flags/4x3/*.svg"
	emoji = "@twemoji/svg/*.svg"
)

func TestFlags_AreCutAsTheyLook(t *testing.T) {
	names, s := openArt(t, 60, 0, flags)
	cutAll(t, names, s, 0.08)
}

func TestEmoji_AreCutAsTheyLook(t *testing.T) {
	names, s := openArt(t, 60, 0, emoji)
	cutAll(t, names, s, 0.02)
}

// A file may differ from its art in this share of the art's pixels.
const maxShare = 0.003

// maxOverlapMM2 is what two sheets may have in common by the second geometry
// engine, which computes in floats: its own rounding, not ours.
const maxOverlapMM2 = 1e-6

type result struct {
	name     string
	err      error
	d        difference
	warnings []string
	overlap  float64
	pieces   int
	sheets   int
	fit      time.Duration
	art, cut []byte // the picture, and the sheets laid back where they belong in it
	asked    bool   // whether a browser drew both
	browser  float64
}

// asABrowser says whether a browser draws the cut like its art.
func (r *result) asABrowser() bool { return r.asked && r.browser <= maxShare }

// cutAll cuts every file at 100 mm wide, without a frame, nothing bare, all
// knocked out, and looks at the files that come of it.
func cutAll(t *testing.T, names []string, s uint64, maxWarned float64) {
	// Two workers: renderer and engine run beside them, on a machine of two cores.
	const workers = 2
	results := make([]result, len(names))
	next := make(chan int)
	var wg sync.WaitGroup
	for range workers {
		r, g := oracle.StartRenderer(t), oracle.StartGeos(t)
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				results[i] = cutOne(t, r, g, names[i])
			}
		}()
	}
	for i := range names {
		next <- i
	}
	close(next)
	wg.Wait()
	askBrowser(t, results)
	judge(t, results, s, maxWarned)
}

// cut takes the picture through the workshop as `abut cut` does with --width
// 100mm --frame none --bare none, and reads back what was written.
func cut(ctx context.Context, name string, art []byte, dir string) (*written, time.Duration, error) {
	j, err := workshop.OpenSVG(ctx, name, bytes.NewReader(art))
	if err != nil {
		return nil, 0, err
	}
	if j, err = workshop.Size(ctx, j, 100, 0); err != nil {
		return nil, 0, err
	}
	if j, err = job.KnockOutAll(j); err != nil {
		return nil, 0, err
	}
	j.Settings.Bare.Mode = job.BareNone
	if j, err = job.SetFrame(j, job.FrameRule{Mode: job.FrameNone}); err != nil {
		return nil, 0, err
	}
	start := time.Now()
	p, err := fit.Compute(ctx, j)
	if err != nil {
		return nil, 0, err
	}
	took := time.Since(start)
	// What is long and thin is larger than a sheet when it is 100 mm wide.
	if _, err := workshop.Write(ctx, new(fit.Cache), j, p, dir, workshop.WriteOptions{AllowBeyond: true}); err != nil {
		return nil, 0, err
	}
	w, err := readWritten(dir)
	return w, took, err
}

func cutOne(t *testing.T, r *oracle.Renderer, g *oracle.Geos, name string) (out result) {
	out.name = strings.TrimSuffix(filepath.Base(name), ".svg")
	art, err := os.ReadFile(name)
	if err != nil {
		out.err = err
		return out
	}
	ctx, cancel := context.WithTimeout(context.Background(), hangs)
	defer cancel()
	w, took, err := cut(ctx, filepath.Base(name), art, filepath.Join(t.TempDir(), "out"))
	if err != nil {
		out.err = err
		return out
	}
	out.fit, out.sheets = took, len(w.sheets)
	for _, x := range w.Warnings {
		if strings.HasPrefix(x.ID, "import-") {
			out.warnings = append(out.warnings, x.ID)
		}
	}
	for _, x := range w.Separations {
		out.pieces += x.Pieces
	}
	if w.StackedAfter != 0 {
		out.err = fmt.Errorf("%v mm² still stack", w.StackedAfter)
		return out
	}
	if out.d, out.err = compare(r, art, w); out.err != nil {
		return out
	}
	if out.overlap, out.err = worstOverlap(g, w.outlines()); out.err != nil {
		return out
	}
	out.art = art
	out.cut, out.err = laidBack(art, w, w.sheets)
	return out
}

// worstOverlap returns the largest area, in mm², that two of the outlines have
// in common by the second engine. That knows no curves: chords of two curves
// that run close by each other may cross where the curves do not. So what
// overlaps with the usual chords is looked at again with chords within
// 0.0005 mm of their curves, under a hundredth of what a cutter can place.
func worstOverlap(g *oracle.Geos, outlines []geometry.Path) (float64, error) {
	worst := 0.0
	for _, sagitta := range []float64{0.01, 0.0005} {
		flat := make([]geometry.Path, len(outlines))
		for i, p := range outlines {
			flat[i] = p.Flatten(sagitta)
		}
		pairs, err := g.Overlaps(flat)
		if err != nil {
			return 0, err
		}
		worst = 0
		for _, p := range pairs {
			worst = max(worst, p.AreaMM2)
		}
		if worst <= maxOverlapMM2 {
			break
		}
	}
	return worst, nil
}

func judge(t *testing.T, results []result, s uint64, maxWarned float64) {
	var clean, right, warned, strictRight, sheets, pieces, asked, alike int
	var strict, worstOverlap float64
	var fits []time.Duration
	var reasons, disputed, browsers []string
	for i := range results {
		r := &results[i]
		if r.err != nil {
			t.Errorf("%s: %v", r.name, r.err)
			continue
		}
		fits = append(fits, r.fit)
		sheets += r.sheets
		pieces += r.pieces
		worstOverlap = max(worstOverlap, r.overlap)
		if r.overlap > maxOverlapMM2 {
			t.Errorf("%s: two sheets have %g mm² in common", r.name, r.overlap)
		}
		if r.d.twice > 0 {
			t.Errorf("%s: %d pixels are covered twice", r.name, r.d.twice)
		}
		if len(r.warnings) > 0 {
			warned++
			reasons = append(reasons, fmt.Sprintf("%s (%s, %.2f %% differ)", r.name, strings.Join(distinct(r.warnings), ", "), 100*r.d.share()))
			continue
		}
		clean++
		strict += r.d.strictShare()
		if r.d.strictShare() <= maxShare {
			strictRight++
		}
		if r.asked {
			asked++
		}
		if r.asABrowser() {
			alike++
		} else if r.asked {
			t.Errorf("%s: a browser draws %.2f %% of its pixels otherwise, resvg %.2f %%", r.name, 100*r.browser, 100*r.d.share())
		}
		switch {
		case r.d.right():
			right++
			if r.d.disputed {
				disputed = append(disputed, r.name)
			}
		case r.asABrowser():
			right++
			browsers = append(browsers, r.name)
		default:
			t.Logf("%s: %.2f %% of its %d pixels differ (strictly %.2f %%)", r.name, 100*r.d.share(), r.d.art, 100*r.d.strictShare())
		}
	}
	sort.Slice(fits, func(i, j int) bool { return fits[i] < fits[j] })
	if len(fits) == 0 {
		t.Fatalf("seed %d: none of %d files was cut", s, len(results))
	}
	t.Logf("figures: seed %d, %d files, %d sheets, %d pieces; %d of %d without a warning are right (strictly: %d; mean %.2f %%); %d warned; largest overlap %.1g mm²; fit median %v, longest %v",
		s, len(results), sheets, pieces, right, clean, strictRight, 100*strict/float64(max(clean, 1)), warned, worstOverlap,
		fits[len(fits)/2].Round(time.Microsecond), fits[len(fits)-1].Round(time.Microsecond))
	if len(disputed) > 0 {
		t.Logf("figures: the two renderers disagree about %s; the cut is as the second draws it", strings.Join(disputed, ", "))
	}
	if asked > 0 {
		t.Logf("figures: a browser draws %d of the %d that it was asked about as they were cut; neither of the others does %v", alike, asked, browsers)
	}
	for _, r := range reasons {
		t.Logf("figures: warned: %s", r)
	}
	// Of a sample one file may be off: the bounds are for the whole of the art.
	slack := 1
	if all() {
		slack = 0
	}
	if wrong, most := clean-right, int(0.005*float64(clean))+slack; wrong > most {
		t.Errorf("seed %d: %d of %d files differ from their art in more than %.1f %% of its pixels, at most %d may", s, wrong, clean, 100*maxShare, most)
	}
	if most := int(maxWarned*float64(len(results))) + 2*slack; warned > most {
		t.Errorf("seed %d: %d of %d files are cut with a warning, at most %d may be", s, warned, len(results), most)
	}
}

func distinct(list []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range list {
		if !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}
