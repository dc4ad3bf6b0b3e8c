package weak

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"abut/geometry"
)

// finders look at jagged pieces, each in a hole of a square, of which thin parts are found on maps.
func finders(t *testing.T, n int, check func(f *finder, pieces []geometry.Path)) {
	t.Helper()
	const seed = 11
	rng := rand.New(rand.NewPCG(seed, 0))
	for range n {
		ring := jagged(t, rng)[0]
		pieces := layered(t, []geometry.Path{ring.Bounds().Grow(3).Path(), ring})
		f, err := newFinder(t.Context(), pieces, Options{WidthMM: 1})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.look(t.Context()); err != nil {
			t.Fatal(err)
		}
		if err := f.divide(t.Context()); err != nil {
			t.Fatal(err)
		}
		check(f, pieces)
	}
}

// jitteredRing is a ring about as broad as the width, between coasts of many short sides.
func jitteredRing(t *testing.T, rng *rand.Rand) geometry.Path {
	t.Helper()
	var out geometry.Path
	for _, r := range []float64{20, 19} {
		const n = 400
		var pts []geometry.Point
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / n)
			pts = append(pts, geometry.Pt(cos, sin).Mul(r+0.3*rng.Float64()))
		}
		out = append(out, geometry.Polygon(pts...))
	}
	return clean(t, append(out[:1:1], out[1:].Reverse()...))[0]
}

// A map holds a shape alone: what lies beside its thin parts is told by its sides, and is all there is
// along their outline.
func TestDivide_TellsWhatLiesBesideAShapeThatIsAloneOnItsMap(t *testing.T) {
	parts := 0
	finders(t, quick(20, 80), func(f *finder, pieces []geometry.Path) {
		for k := range f.shapes {
			s := &f.shapes[k]
			if s.parts == nil || s.piece == NoPiece {
				continue
			}
			for i := range s.parts.Pieces {
				if s.parts.Pieces[i].Label != thinPart {
					continue
				}
				b, sum := f.border(int32(k), int32(i)), 0.0
				for of, l := range b.neighbours {
					sum += l
					// Nobody's is only the outside of the square, where it is thin beside its hole.
					if of == NoPiece && s.outline.Bounds().Grow(-0.01).Encloses(s.parts.bounds(int32(i))) && l > 0.01 {
						t.Errorf("%v: %.3f mm of what is thin lie beside nobody", s.parts.bounds(int32(i)), l)
					}
				}
				if math.Abs(sum-b.freeMM) > 1e-3*(1+b.freeMM) {
					t.Errorf("%v: neighbours have %.4f mm of %.4f mm", s.parts.bounds(int32(i)), sum, b.freeMM)
				}
				parts++
			}
		}
	})
	if parts < 50 {
		t.Errorf("%d thin parts: too few to tell", parts)
	}
}

// What the map of a shape showed is kept while it is as it was, whatever becomes of others, and forgotten in the end.
func TestMemory_LaysAShapeOnAMapOnceWhileItIsAsItWas(t *testing.T) {
	kept := 0
	for n := range uint64(20) {
		rng := rand.New(rand.NewPCG(n, 1))
		ring, other := jitteredRing(t, rng), jagged(t, rng)[0].Transform(geometry.Translate(80, 0))
		memory := new(Memory)
		find := func(pieces ...geometry.Path) []Spot {
			t.Helper()
			spots, err := Find(context.Background(), pieces, Options{WidthMM: 1, NoGaps: true, Memory: memory})
			if err != nil {
				t.Fatal(err)
			}
			want, err := Find(context.Background(), pieces, Options{WidthMM: 1, NoGaps: true})
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(spots, want) {
				t.Errorf("ring %d: %d spots are not as without a memory, %d", n, len(spots), len(want))
			}
			return spots
		}
		find(ring)
		if len(memory.mapped) == 0 {
			continue // its banks can be followed
		}
		first := memory.mapped[0]
		for range 2 * mostLooks {
			other = other.Transform(geometry.Translate(0, 0.1))
			find(ring, clean(t, other)[0])
			if memory.mapped[0] != first || first.looks != 0 {
				t.Fatalf("ring %d: the shape was laid on a map once more, or counts as not needed", n)
			}
		}
		for k := range 3 * mostLooks {
			find(ring.Transform(geometry.Translate(float64(k+1), 0)))
		}
		if slices.Contains(memory.mapped, first) {
			t.Errorf("ring %d: what has not been needed for long is kept", n)
		}
		if kept++; kept == quick(1, 2) {
			return
		}
	}
	t.Errorf("%d shapes took a map: too few to tell", kept)
}
