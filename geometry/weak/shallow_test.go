package weak

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/motif"
)

// findBy looks and divides, with bands that are shallow wherever they may be, or nowhere.
func findBy(t *testing.T, pieces []geometry.Path, o Options, shallow bool) []Spot {
	t.Helper()
	ctx := context.Background()
	f, err := newFinder(ctx, pieces, o)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.look(ctx); err != nil {
		t.Fatal(err)
	}
	if shallow {
		if err := f.lookCloser(ctx); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.cut(ctx); err != nil {
		t.Fatal(err)
	}
	spots, err := f.spots(ctx)
	if err != nil {
		t.Fatal(err)
	}
	return spots
}

func TestFind_BandsThatAreLessDeepFindTheSame(t *testing.T) {
	check := func(name string, pieces []geometry.Path) {
		t.Helper()
		o := Options{WidthMM: 1, SpeckMM: 2, NoGaps: strings.Contains(name, "rays") || strings.Contains(name, "spikes")}
		want, got := findBy(t, pieces, o, false), findBy(t, pieces, o, true)
		if len(got) != len(want) {
			t.Errorf("%s: %d spots, want %d\n%s", name, len(got), len(want), describe(got[min(len(got), len(want)):]))
			return
		}
		for i := range want {
			// Where rounding decides the order may differ.
			k, near := i, math.Inf(1)
			for m := i; m < len(got); m++ {
				if d := got[m].Bounds.Min.Sub(want[i].Bounds.Min).Len(); name == "lines" && got[m].Piece == want[i].Piece && d < near {
					k, near = m, d
				} else if d := got[m].At.Sub(want[i].At).Len(); name != "lines" && got[m].Piece == want[i].Piece && d < near {
					k, near = m, d
				}
			}
			got[i], got[k] = got[k], got[i]
			g, w := &got[i], &want[i]
			if g.Kind == Speck || name == "lines" {
				near = 0 // where a label has room; anywhere along a line
			}
			if g.Kind != w.Kind || g.Piece != w.Piece || near > 1e-3 || math.Abs(g.WidthMM-w.WidthMM) > 1e-3 ||
				math.Abs(g.AreaMM2-w.AreaMM2) > 1e-3*(1+w.LengthMM) || math.Abs(g.LengthMM-w.LengthMM) > 0.05 {
				t.Errorf("%s: got %swant %s", name, describe(got[i:i+1]), describe(want[i:i+1]))
			}
		}
	}
	for _, k := range known {
		for _, v := range []float64{0.05, 0.3, 0.9} {
			check(fmt.Sprintf("%s, %g mm", k.name, v), clean(t, k.shape(v)...))
		}
	}
	for _, n := range []int{12, 40, 90} {
		for _, share := range []float64{0.1, 0.5, 1} {
			var rays, half []geometry.Path
			for i, p := range motif.Sunburst(n, 12, share) {
				rays = append(rays, clean(t, p)...)
				if i < n/2 {
					half = append(half, clean(t, p)...)
				}
			}
			check(fmt.Sprintf("%d rays over %g of the turn", n, share), rays)
			check(fmt.Sprintf("%d rays over %g of half a turn", n, share), half)
		}
		for _, inner := range []float64{2, 6, 11} {
			check(fmt.Sprintf("a star of %d spikes from %g", n, inner), clean(t, motif.Star(n, inner, 12)))
		}
	}
	check("rings", layered(t, motif.Rings(40, 10)))
	check("lines", layered(t, motif.Hatch(60, 12, true)))
}

// What shrinking leaves is the same but for the arcs' sagitta, on any outline. Spots
// may differ where something is just as broad as the width.
func TestOpen_BandsThatAreLessDeepLeaveTheSame(t *testing.T) {
	check := func(name string, pieces []geometry.Path) {
		ctx := context.Background()
		f, err := newFinder(ctx, pieces, Options{WidthMM: 1})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.look(ctx); err != nil {
			t.Fatal(err)
		}
		cores := func() (out []geometry.Path) {
			if _, err := f.open(ctx); err != nil {
				t.Fatal(err)
			}
			for i := range f.shapes {
				out = append(out, f.shapes[i].core)
			}
			return out
		}
		want := cores()
		if err := f.lookCloser(ctx); err != nil {
			t.Fatal(err)
		}
		for i, got := range cores() {
			length := 0.0
			for _, c := range want[i] {
				for a, b := range c.Sides() {
					length += b.Sub(a).Len()
				}
			}
			if g, w := got.SignedArea(), want[i].SignedArea(); math.Abs(g-w) > f.lengths.sagitta*length+1e-3 {
				t.Errorf("%s: %.4f mm² are left of shape %d, want %.4f", name, g, i, w)
			}
		}
	}
	check("glyphs", layered(t, motif.Lettering(4, 3)))
	const seed = 8
	rng := rand.New(rand.NewPCG(seed, 0))
	for i := range 200 {
		var pts []geometry.Point
		n := 5 + rng.IntN(30)
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.8*rng.Float64()) / float64(n))
			r := 0.2 + 6*rng.Float64()
			pts = append(pts, geometry.Pt(r*cos, r*sin))
		}
		check(fmt.Sprintf("seed %d, polygon %d", seed, i), clean(t, geometry.Path{geometry.Polygon(pts...)}))
	}
}
