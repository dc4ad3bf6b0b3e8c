package planar

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"abut/geometry"
)

// Every line is in one run; the chords of a run follow each other from left to right,
// all of them up or all down, in the box of its ends, which is no larger than a run may be.
func TestRuns_GoOneWayInTheBoxOfTheirEnds(t *testing.T) {
	ctx := context.Background()
	several := 0
	for name, layers := range dense() {
		sc := new(scratch)
		in, err := quantise(ctx, layers, defaultSagittaMM, sc)
		if err != nil {
			t.Fatal(err)
		}
		_, lo, hi := linesOf(in)
		arr := &arrangement{segs: in.segments, origins: in.origins, deltas: newDeltas(len(in.terms))}
		frags, err := arr.number(unhurried(ctx), in, lo, hi, sc)
		if err != nil {
			t.Fatal(err)
		}
		lines, ids, err := arr.lines(ctx, frags, sc)
		if err != nil {
			t.Fatal(err)
		}
		var rs runs
		if err := rs.makeRuns(context.Background(), lines, ids, lo, hi); err != nil {
			t.Fatal(err)
		}
		seen, end := make([]bool, len(lines)), int32(0)
		for _, r := range rs.all {
			if r.first != end || r.last <= r.first || r.last-r.first > longestRun {
				t.Fatalf("%s: a run of chords %d to %d follows %d", name, r.first, r.last, end)
			}
			end = r.last
			if r.last-r.first > 1 {
				several++
			}
			rises, falls := false, false
			for i := r.first; i < r.last; i++ {
				c := rs.chords[i]
				f := frags[rs.ids[i]]
				if l := (line{arr.vertices[f.from], arr.vertices[f.to]}); seen[rs.ids[i]] || l != c {
					t.Fatalf("%s: chord %v is fragment %v, seen %t", name, c, l, seen[rs.ids[i]])
				}
				seen[rs.ids[i]] = true
				if i > r.first && c.a != rs.chords[i-1].b {
					t.Fatalf("%s: chord %v does not go on from %v", name, c, rs.chords[i-1])
				}
				rises, falls = rises || c.b.Y < c.a.Y, falls || c.b.Y > c.a.Y
			}
			if rises && falls || rs.chords[r.first].a != r.a || rs.chords[r.last-1].b != r.b {
				t.Fatalf("%s: run %v of %v", name, r, rs.chords[r.first:r.last])
			}
		}
		if slices.Contains(seen, false) {
			t.Fatalf("%s: a line is in no run", name)
		}
	}
	if several < 100 {
		t.Errorf("%d runs of several chords: too few to tell", several)
	}
}

// Wherever two lines cross, the search by runs and cells finds it: shapes of few and of
// many corners, some of which have corners in common, tested pair by pair besides.
func TestFindCrossings_TellsWhatEveryPairDoes(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 31))
	ctx := context.Background()
	total := 0
	for range rounds(60, 600) {
		var layers []Layer
		spread := []float64{0.01, 1, 40}[rng.IntN(3)]
		for range 1 + rng.IntN(6) {
			layers = append(layers, layer(geometry.NonZero, blob(rng, 3+rng.IntN(80), rng.Float64()*spread, rng.Float64()*spread, 20)))
		}
		layers = append(layers, layers[0])
		sc := new(scratch)
		in, err := quantise(ctx, layers, defaultSagittaMM, sc)
		if err != nil {
			t.Fatal(err)
		}
		_, lo, hi := linesOf(in)
		arr := &arrangement{segs: in.segments, origins: in.origins, deltas: newDeltas(len(in.terms))}
		frags, err := arr.number(unhurried(ctx), in, lo, hi, sc)
		if err != nil {
			t.Fatal(err)
		}
		lines, ids, err := arr.lines(ctx, frags, sc)
		if err != nil {
			t.Fatal(err)
		}
		x, err := newIndex(ctx, lines, ids, 2*len(lines), lo, hi, defaultMaxCrossings, sc)
		if err != nil {
			t.Fatal(err)
		}
		found, err := x.findCrossings(ctx, defaultMaxCrossings, sc)
		if err != nil {
			t.Fatal(err)
		}
		got := slices.Clone(found)
		var want []Point
		for i, s := range lines {
			for _, o := range lines[:i] {
				if at, ok := crossing(s.a, s.b, o.a, o.b); ok {
					want = append(want, at)
				}
			}
		}
		slices.SortFunc(got, comparePoints)
		slices.SortFunc(want, comparePoints)
		if !slices.Equal(got, want) {
			t.Fatalf("%d crossings found of %d lines, want %d", len(got), len(lines), len(want))
		}
		total += len(want)
	}
	if total < 1000 {
		t.Errorf("%d crossings: too few to tell", total)
	}
}

// Keys strewn evenly, in clumps, all alike or in few bits: sorted, and what is equal stays
// in its order.
func TestSortKeyed_IsStable(t *testing.T) {
	defer func(worth int) { worthSplitting = worth }(worthSplitting)
	rng := rand.New(rand.NewPCG(32, 32))
	for range rounds(200, 2000) {
		width := rng.IntN(60)
		clump := rng.IntN(width + 1)
		items := make([]keyed, rng.IntN(5000))
		base := rng.Uint64()
		for i := range items {
			key := base
			if rng.IntN(3) > 0 {
				key = base>>clump<<clump | rng.Uint64()&(1<<clump-1)
			} else if rng.IntN(2) > 0 {
				key = rng.Uint64()
			}
			items[i] = keyed{key & (1<<width - 1), int32(i)}
		}
		want := slices.Clone(items)
		slices.SortStableFunc(want, func(a, b keyed) int {
			switch {
			case a.key < b.key:
				return -1
			case a.key > b.key:
				return 1
			}
			return 0
		})
		worthSplitting = len(items) + rng.IntN(2) // shared or not
		if err := sortShared(unhurried(context.Background()), items, make([]keyed, len(items)), width); err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(items, want) {
			t.Fatalf("%d items of %d bits, %d of them in clumps, are not in order (worth splitting: %d)", len(items), width, clump, worthSplitting)
		}
	}
}
