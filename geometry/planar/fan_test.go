package planar

import (
	"cmp"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/motif"
)

// linesOf returns the input's segments as lines, in order, and their box.
func linesOf(in *input) (lines []line, lo, hi Point) {
	lo, hi = in.segments[0].a, in.segments[0].a
	for _, s := range in.segments {
		lo = Point{min(lo.X, s.a.X), min(lo.Y, s.a.Y)}
		hi = Point{max(hi.X, s.a.X), max(hi.Y, s.a.Y)}
		lines = append(lines, line{s.a, s.b}.ordered())
	}
	slices.SortFunc(lines, func(l, m line) int { return cmp.Or(comparePoints(l.a, m.a), comparePoints(l.b, m.b)) })
	return lines, lo, hi
}

func indexOf(t *testing.T, layers []Layer) *index {
	t.Helper()
	in, err := quantise(context.Background(), layers, defaultSagittaMM, new(scratch))
	if err != nil {
		t.Fatal(err)
	}
	lines, lo, hi := linesOf(in)
	ids := make([]int32, len(lines))
	for i := range ids {
		ids[i] = int32(i)
	}
	x, err := newIndex(context.Background(), lines, ids, 2*len(lines), lo, hi, defaultMaxCrossings, new(scratch))
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// crowded art around sunbursts: a disc and rings over their middles, another
// sunburst from the same place and one from beside it, blobs anywhere.
func bursts() map[string][]Layer {
	rng := rand.New(rand.NewPCG(3, 14))
	burst := layersOf(motif.Sunburst(300, 20, 0.5))
	aside := func(x, y float64) (out []Layer) {
		for _, p := range motif.Sunburst(290, 15, 0.7) {
			out = append(out, layer(geometry.NonZero, p.Transform(geometry.Translate(x, y))))
		}
		return out
	}
	var discs []Layer
	for _, r := range []float64{0.001, 0.02, 0.5, 7, 19.9999} {
		discs = append(discs, layer(geometry.NonZero, geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), r, r)}))
	}
	return map[string][]Layer{
		"alone":                        burst,
		"under discs":                  slices.Concat(burst, discs),
		"with blobs":                   slices.Concat(burst, blobsOf(rng, 5, 200, 20)),
		"two from one place":           slices.Concat(burst, aside(0, 0)),
		"two that overlap":             slices.Concat(burst, aside(3, 1)),
		"two a step apart":             slices.Concat(burst, aside(0.0001, 0)),
		"one at the other's tip":       slices.Concat(burst, aside(20, 0)),
		"a strip through the middle":   slices.Concat(burst, []Layer{rect(-0.0003, -30, 0.0006, 60), rect(-30, 0, 60, 0.0001)}),
		"along its own rays, reversed": slices.Concat(burst, layersOf(motif.Sunburst(100, 30, 0.5))),
	}
}

// The oracle tests every line against every other.
func TestIndex_FindsWhatTestingAllPairsFinds(t *testing.T) {
	for name, layers := range bursts() {
		x := indexOf(t, layers)
		if len(x.fans) == 0 {
			t.Errorf("%s: no fan is found", name)
		}
		var want []Point
		for i, s := range x.lines {
			for _, o := range x.lines[:i] {
				if p, ok := crossing(s.a, s.b, o.a, o.b); ok {
					want = append(want, p)
				}
			}
		}
		got, err := x.findCrossings(context.Background(), defaultMaxCrossings, new(scratch))
		if err != nil {
			t.Fatal(err)
		}
		slices.SortFunc(got, comparePoints)
		slices.SortFunc(want, comparePoints)
		if !slices.Equal(got, want) {
			t.Errorf("%s: %d crossings, want %d", name, len(got), len(want))
		}
	}
}

// Where the hub lies in a corner of the grid, directions and pixels are as large
// as they can be.
func TestFan_IsExactAtTheLimits(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 10))
	for range rounds(40, 400) {
		hub := extremePoint(rng, Point{})
		var lines []line
		for range fanRays {
			p := extremePoint(rng, hub)
			for p == hub {
				p = extremePoint(rng, hub)
			}
			lines = append(lines, line{hub, p}.ordered())
		}
		fans, rest := findFans(lines)
		if len(fans) != 1 || len(rest) != 0 || fans[0].hub != hub {
			t.Fatalf("%d fans, %d segments beside: want one around %v", len(fans), len(rest), hub)
		}
		for range 40 {
			s := line{extremePoint(rng, hub), extremePoint(rng, hub)}.ordered()
			across := map[int32]bool{}
			for _, stretch := range fans[0].across(&s) {
				for _, r := range stretch {
					across[r.id] = true
				}
			}
			for i := range lines {
				r := &lines[i]
				if _, ok := crossing(r.a, r.b, s.a, s.b); ok && !across[int32(i)] {
					t.Fatalf("from %v: %v crosses %v and is not asked", hub, *r, s)
				}
			}
		}
	}
}

// 6,000 sides end in one point and cross nowhere: pair by pair that were 18
// million tests there, and more in the cells around.
func TestBuild_RaysFromOnePointAreNotTestedPairByPair(t *testing.T) {
	ctx := endsAfter(math.MaxInt)
	for _, n := range []int{3000, 30_000} {
		before := ctx.left
		m, err := Build(ctx, []Layer{layer(geometry.NonZero, slices.Concat(motif.Sunburst(n, 50, 0.5)...))}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		// Each ray takes some 300 units of work, see pace; and workers ask as they begin.
		if asked := before - ctx.left; asked > n*600/poll+150 {
			t.Errorf("%d rays: the context is asked %d times", n, asked)
		}
		if d := divided(m, topmost(m)); len(d.Pieces) != n {
			t.Errorf("%d rays are %d pieces", n, len(d.Pieces))
		}
	}
}

// Rays that begin on a tiny circle crowd around it as much as if they met, and
// cross nowhere: the budget counts the tests.
func TestBuild_StopsAtTheBudgetOfTests(t *testing.T) {
	const n = 3000
	var rays geometry.Path
	for _, p := range motif.Sunburst(n, 50, 0.5) {
		a, b := p[0].Segments[0].End, p[0].Segments[1].End
		rays = append(rays, geometry.Polygon(a.Mul(0.001), a, b, b.Mul(0.001)))
	}
	layers := []Layer{layer(geometry.NonZero, rays)}
	var ce *ComplexityError
	if _, err := Build(context.Background(), layers, Options{MaxCrossings: 1}); !errors.As(err, &ce) {
		t.Errorf("got %v, want a *ComplexityError", err)
	} else if ce.At.Len() > 2 {
		t.Errorf("the error points at %v", ce.At)
	}
	if _, err := Build(context.Background(), layers, Options{}); err != nil {
		t.Errorf("the usual budget: %v", err)
	}
}
