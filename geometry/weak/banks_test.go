package weak

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/motif"
)

// everyone calls check with known shapes, what everyday art is full of, and random
// ones.
func everyone(t *testing.T, check func(name string, pieces []geometry.Path)) {
	for _, k := range known {
		for _, v := range []float64{0.05, 0.3, 0.9, 0.98} {
			check(fmt.Sprintf("%s, %g mm", k.name, v), clean(t, k.shape(v)...))
		}
	}
	check("glyphs", layered(t, motif.Lettering(8, 3)))
	check("rings", layered(t, motif.Rings(20, 12)))
	check("a windmill", layered(t, motif.Windmill(12, 15, 3)))
	check("a star", clean(t, motif.Star(24, 6, 12)))
	const seed = 15
	rng := rand.New(rand.NewPCG(seed, 0))
	for i := range quick(60, 400) {
		check(fmt.Sprintf("seed %d, polygon %d", seed, i), jagged(t, rng))
	}
	for i := range quick(1, 4) {
		check(fmt.Sprintf("coast %d", i), coast(t, uint64(i)))
	}
}

// coast is an island with bays in its bays, of sides a third of a sample long, and the line around it.
func coast(t *testing.T, seed uint64) []geometry.Path {
	rng := rand.New(rand.NewPCG(seed, 60))
	var phases [60]float64
	for k := range phases {
		phases[k] = 2 * math.Pi * rng.Float64()
	}
	const n, radius, rounded = 3000, 16.5, 0.0015 // as in a file with two digits
	var pts []geometry.Point
	for i := range n {
		a := 2 * math.Pi * float64(i) / n
		r := radius
		for k, phase := range phases {
			r += 0.16 * radius / float64(k+1) * math.Sin(float64(k+1)*a+phase)
		}
		sin, cos := math.Sincos(a)
		pts = append(pts, geometry.Pt(math.Round(r*cos/rounded)*rounded, math.Round(r*sin/rounded)*rounded))
	}
	var sides []geometry.Path
	for _, by := range [...]float64{0.15, -0.15} {
		p, err := planar.Offset(t.Context(), planar.Enclosed(geometry.Path{geometry.Polygon(pts...)}), by, geometry.Join{MitreLimit: 4}, planar.Options{})
		if err != nil {
			t.Fatal(err)
		}
		sides = append(sides, p)
	}
	return layered(t, sides)
}

// Ends of different discs lie nearer to each other there than two places that are asked. Taken for those of one, they leave
// others over, and it takes a map of all that is thin.
func TestBanks_AreFollowedAlongSidesShorterThanASample(t *testing.T) {
	ends := 0
	for seed := range uint64(quick(4, 12)) {
		ctx := context.Background()
		f, err := newFinder(ctx, coast(t, seed), Options{WidthMM: 1})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.look(ctx); err != nil {
			t.Fatal(err)
		}
		mapped, err := f.follow(ctx)
		if err != nil || mapped {
			t.Errorf("coast %d: it takes a map (%v)", seed, err)
		}
		for i := range f.shapes {
			if b := f.shapes[i].banked; b != nil {
				ends += len(b.ends)
			}
		}
	}
	if ends < 500 {
		t.Errorf("only %d ends", ends)
	}
}

// The oracle is the distance to every side.
func TestBanks_EndWhereADiscOfTheWidthFits(t *testing.T) {
	ends := 0
	everyone(t, func(name string, pieces []geometry.Path) {
		ctx := context.Background()
		f, err := newFinder(ctx, pieces, Options{WidthMM: 1})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.look(ctx); err != nil {
			t.Fatal(err)
		}
		if _, err := f.follow(ctx); err != nil {
			t.Fatal(err)
		}
		for i := range f.shapes {
			s := &f.shapes[i]
			if s.banked == nil {
				continue
			}
			inside := geometry.NewEnclosure(s.outline)
			for k := range s.banked.ends {
				e, far := &s.banked.ends[k], math.Inf(1)
				for m := range s.sides {
					far = min(far, s.sides[m].distance(e.c))
				}
				off := math.Abs(e.p.Sub(e.c).Len()-f.lengths.thin) + math.Abs(e.q.Sub(e.c).Len()-f.lengths.thin)
				if !inside.Holds(e.c) || far < f.lengths.thin-1e-4 || off > 1e-3 {
					t.Errorf("%s: an end at %v: the outline is %.5f mm from %v, and touched at %v", name, e.p, far, e.c, e.q)
				}
				ends++
			}
		}
	})
	if ends < 500 {
		t.Errorf("only %d ends", ends)
	}
}

// The oracle lays all outlines on one map. Jagged polygon 376 has a thorn between two
// corners around which, from one sample to the next, it is sturdy and thin again.
func TestFind_FollowingBanksFindsWhatAMapShows(t *testing.T) {
	most := 0
	everyone(t, func(name string, pieces []geometry.Path) {
		o := Options{WidthMM: 1, SpeckMM: 2}
		followed, mapped := find(t, pieces, o), findBy(t, pieces, o, false)
		for i := range followed {
			// The narrowest place is in what is shown, or as near as the middle of a
			// disc may lie to the line between where it touches.
			s := &followed[i]
			if s.Kind != Speck && s.Kind != Point && !s.Whole && !geometry.NewEnclosure(s.Outline).Holds(s.At) && s.Outline.Distance(s.At) > 0.1 {
				t.Errorf("%s: it lies beside its outline: %s", name, describe(followed[i:i+1]))
			}
		}
		lacks := func(some, of []Spot) {
			for i := range some {
				// What is no longer than the width does not count, and a place as broad
				// as that may be found or not. Pointed waste is left out; with corners
				// that rounding makes it is not.
				s := &some[i]
				if max(s.Bounds.Width(), s.Bounds.Height()) <= 1.2*o.WidthMM || s.WidthMM > 0.98*o.WidthMM || s.Kind == Gap {
					continue
				}
				found := false
				for k := range of {
					found = found || of[k].Piece == s.Piece && !of[k].Bounds.Intersect(s.Bounds).Empty() && (s.Kind == Point || of[k].Kind == Point || of[k].WidthMM < s.WidthMM+0.02)
				}
				if !found {
					t.Errorf("%s: one way alone finds %s", name, describe(some[i:i+1]))
				}
			}
		}
		lacks(followed, mapped)
		lacks(mapped, followed)
		most += len(followed)
	})
	if most < 200 {
		t.Errorf("only %d spots", most)
	}
}

func TestUnshared_LeavesTheOutlineOfWhatPiecesCoverTogether(t *testing.T) {
	pieces := []geometry.Path{rect(0, 0, 10, 5), rect(0, 5, 6, 5), rect(6, 5, 4, 5)}
	f, err := newFinder(context.Background(), pieces, Options{WidthMM: 1})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(f.shapes) - len(pieces); n != 1 {
		t.Fatalf("%d gaps, want the one around everything", n)
	}
	outside := f.shapes[3]
	if want := 18.0*18 - 100; math.Abs(outside.area-want) > 1e-6 {
		t.Errorf("it has %.3f mm², want %.3f", outside.area, want)
	}
}
