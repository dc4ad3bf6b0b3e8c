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

// eachMapped goes through the shapes that a map is laid for, and looks closer at them first where it is asked to.
func eachMapped(t *testing.T, f *finder, closer bool, do func(*shape) error) {
	t.Helper()
	for i := range f.shapes {
		s := &f.shapes[i]
		if !s.mapped() {
			continue
		}
		if closer {
			if err := f.lookCloser(context.Background(), s); err != nil {
				t.Fatal(err)
			}
		}
		if err := do(s); err != nil {
			t.Fatal(err)
		}
	}
}

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
	eachMapped(t, f, shallow, func(s *shape) (err error) {
		s.parts, _, err = f.cut(ctx, s)
		return err
	})
	spots, err := f.spots(ctx)
	if err != nil {
		t.Fatal(err)
	}
	return spots
}

// sameSpots holds spots to those that are wanted, in any order where rounding decides it.
func sameSpots(t *testing.T, name string, got, want []Spot) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d spots, want %d\n%s", name, len(got), len(want), describe(got[min(len(got), len(want)):]))
		return
	}
	place := func(s *Spot) geometry.Point { return s.At }
	if name == "lines" { // it is anywhere along a line
		place = func(s *Spot) geometry.Point { return s.Bounds.Min }
	}
	for i := range want {
		k, near := i, math.Inf(1)
		for m := i; m < len(got); m++ {
			if d := place(&got[m]).Sub(place(&want[i])).Len(); got[m].Piece == want[i].Piece && d < near {
				k, near = m, d
			}
		}
		got[i], got[k] = got[k], got[i]
		g, w := &got[i], &want[i]
		if g.Kind == Speck || name == "lines" {
			near = 0 // where a label has room
		}
		if g.Kind != w.Kind || g.Piece != w.Piece || near > 1e-3 || math.Abs(g.WidthMM-w.WidthMM) > 1e-3 ||
			math.Abs(g.AreaMM2-w.AreaMM2) > 1e-3*(1+w.LengthMM) || math.Abs(g.LengthMM-w.LengthMM) > 0.05 {
			t.Errorf("%s: got %swant %s", name, describe(got[i:i+1]), describe(want[i:i+1]))
		}
	}
}

func TestFind_BandsThatAreLessDeepFindTheSame(t *testing.T) {
	check := func(name string, pieces []geometry.Path) {
		t.Helper()
		o := Options{WidthMM: 1, SpeckMM: 2, NoGaps: strings.Contains(name, "rays") || strings.Contains(name, "spikes")}
		sameSpots(t, name, findBy(t, pieces, o, true), findBy(t, pieces, o, false))
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

// jagged returns a polygon with up to 34 corners anywhere around its middle.
func jagged(t *testing.T, rng *rand.Rand) []geometry.Path {
	t.Helper()
	var pts []geometry.Point
	n := 5 + rng.IntN(30)
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.8*rng.Float64()) / float64(n))
		r := 0.2 + 6*rng.Float64()
		pts = append(pts, geometry.Pt(r*cos, r*sin))
	}
	return clean(t, geometry.Path{geometry.Polygon(pts...)})
}

// cores are what shrinking leaves, with bands within reach of thin places that are
// shallow wherever they may be, or nowhere.
func cores(t *testing.T, pieces []geometry.Path, reach float64, shallow bool) *finder {
	t.Helper()
	ctx := context.Background()
	f, err := newFinder(ctx, pieces, Options{WidthMM: 1})
	if err != nil {
		t.Fatal(err)
	}
	f.reach = reach
	if _, err := f.look(ctx); err != nil {
		t.Fatal(err)
	}
	eachMapped(t, f, shallow, func(s *shape) error {
		_, err := f.open(ctx, s)
		return err
	})
	return f
}

// What shrinking leaves is the same but for the arcs' sagitta, on any outline, where
// there are bands all along it: where they end, one that is less deep ends sooner.
// Spots may differ where something is just as broad as the width.
func TestOpen_BandsThatAreLessDeepLeaveTheSame(t *testing.T) {
	const everywhere = 1000
	check := func(name string, pieces []geometry.Path) {
		t.Helper()
		want, got := cores(t, pieces, everywhere, false), cores(t, pieces, everywhere, true)
		for i := range want.shapes {
			core, length := want.shapes[i].core, 0.0
			for _, c := range core {
				for a, b := range c.Sides() {
					length += b.Sub(a).Len()
				}
			}
			if g, w := got.shapes[i].core.SignedArea(), core.SignedArea(); math.Abs(g-w) > want.lengths.sagitta*length+1e-3 {
				t.Errorf("%s: %.4f mm² are left of shape %d, want %.4f", name, g, i, w)
			}
		}
	}
	check("glyphs", layered(t, motif.Lettering(4, 3)))
	const seed = 8
	rng := rand.New(rand.NewPCG(seed, 0))
	for i := range quick(40, 200) {
		check(fmt.Sprintf("seed %d, polygon %d", seed, i), jagged(t, rng))
	}
}

// The oracle is the distance to every side, at places all over the shape.
func TestOpen_LeavesNearThinPlacesWhatIsHalfAWidthFromTheOutline(t *testing.T) {
	const (
		seed = 9
		// What grows back over a thin place is no further from it than this, and
		// a band beside it begins at most half a width further off.
		near = reach - 0.5 - 0.25
	)
	rng := rand.New(rand.NewPCG(seed, 0))
	left, gone := 0, 0
	for i := range quick(15, 60) {
		pieces := jagged(t, rng)
		for _, shallow := range []bool{false, true} {
			f := cores(t, pieces, reach, shallow)
			for k := range f.shapes {
				s := &f.shapes[k]
				if len(s.discs) == 0 {
					continue
				}
				core, whole := geometry.NewEnclosure(s.core), geometry.NewEnclosure(s.outline)
				for _, d := range s.discs[:min(len(s.discs), 400)] {
					p := d.c.Add(geometry.Pt(near*(2*rng.Float64()-1), near*(2*rng.Float64()-1)))
					if p.Sub(d.c).Len() > near || !whole.Holds(p) {
						continue
					}
					far := math.Inf(1)
					for m := range s.grid.sides {
						far = min(far, s.grid.sides[m].distance(p))
					}
					if math.Abs(far-f.lengths.r) <= 2*f.lengths.sagitta {
						continue
					}
					want := far > f.lengths.r
					if want {
						left++
					} else {
						gone++
					}
					if core.Holds(p) != want {
						t.Errorf("seed %d, polygon %d, shape %d, shallow %v: %v is %.4f mm from the outline; left: %v", seed, i, k, shallow, p, far, !want)
					}
				}
			}
		}
	}
	if left < 100 || gone < 100 {
		t.Errorf("%d places asked that are left, %d that are gone", left, gone)
	}
}

// quick returns the first when tests are to be short, else the second.
func quick(short, all int) int {
	if testing.Short() {
		return short
	}
	return all
}
