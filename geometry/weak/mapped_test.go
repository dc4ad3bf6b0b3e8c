package weak

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"
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

// anyOf returns what is remembered of one map, the one of the most sides.
func anyOf(m *Memory) (found *parted) {
	for _, of := range m.mapped {
		for _, p := range of {
			if found == nil || len(p.sides) > len(found.sides) {
				found = p
			}
		}
	}
	return found
}

// What the map of a shape showed is kept while it is as it was, whatever becomes of others, and forgotten in the end.
func TestMemory_LaysAShapeOnAMapOnceWhileItIsAsItWas(t *testing.T) {
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
		first := anyOf(memory)
		for range 2 * mostLooks {
			other = other.Transform(geometry.Translate(0, 0.1))
			find(ring, clean(t, other)[0])
			if anyOf(memory) != first || first.looks != 0 {
				t.Fatalf("ring %d: the shape was laid on a map once more, or counts as not needed", n)
			}
		}
		for k := range 3 * mostLooks {
			find(ring.Transform(geometry.Translate(float64(k+1), 0)))
		}
		if slices.Contains(memory.mapped[keyOf(first.sides, first.discs)], first) {
			t.Errorf("ring %d: what has not been needed for long is kept", n)
		}
		return
	}
	t.Error("no shape took a map")
}

// As on one map, what crosses too often is refused for all shapes together, whoever is laid last, and what just does not is not.
func TestDivide_BoundsTheCrossingsOfAllShapesTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 0))
	var pieces []geometry.Path
	for i := range 6 {
		pieces = append(pieces, jitteredRing(t, rng).Transform(geometry.Translate(50*float64(i), 0)))
	}
	divide := func(most int) (sum int, err error) {
		t.Helper()
		f, err := newFinder(t.Context(), pieces, Options{WidthMM: 1, NoGaps: true})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.look(t.Context()); err != nil {
			t.Fatal(err)
		}
		f.most = most
		err = f.divide(t.Context())
		for i := range f.shapes {
			if p := f.shapes[i].parts; p != nil {
				sum += p.crossings
			}
		}
		return sum, err
	}
	all, err := divide(maxCrossings)
	if err != nil || all < 1000 {
		t.Fatalf("%d crossings, %v", all, err)
	}
	if again, err := divide(all); err != nil || again != all {
		t.Errorf("with room for just as many, %d: %d crossings, %v", all, again, err)
	}
	var crowded *planar.ComplexityError
	if sum, err := divide(all / 4); !errors.As(err, &crowded) {
		t.Errorf("with room for a quarter of %d: %d crossings, %v", all, sum, err)
	}
}
