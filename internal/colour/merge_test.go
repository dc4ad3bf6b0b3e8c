package colour

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// costOf is what Merge's comment says of one shade.
func costOf(s Shade, to RGB) float64 {
	return math.Sqrt(s.AreaMM2) * math.Pow(s.Colour.Lab().strangeness(to.Lab()), 2)
}

// bestPartition tries every way to put the shades into at most n heaps, each
// going to the candidate that suits it best.
func bestPartition(shades []Shade, candidates []RGB, n int) float64 {
	heap := make([]int, len(shades))
	best := math.Inf(1)
	var put func(i, used int)
	put = func(i, used int) {
		if i == len(shades) {
			sum := 0.0
			for h := range used {
				least := math.Inf(1)
				for _, c := range candidates {
					v := 0.0
					for k, s := range shades {
						if heap[k] == h {
							v += costOf(s, c)
						}
					}
					least = math.Min(least, v)
				}
				sum += least
			}
			best = math.Min(best, sum)
			return
		}
		for h := 0; h <= used && h < n; h++ {
			heap[i] = h
			put(i+1, max(used, h+1))
		}
	}
	put(0, 0)
	return best
}

func randomShades(r *rand.Rand, n int) ([]Shade, []RGB) {
	var shades []Shade
	var colours []RGB
	for range n {
		c := RGB{uint8(r.IntN(256)), uint8(r.IntN(256)), uint8(r.IntN(256))}
		if len(colours) > 0 && r.IntN(2) == 0 { // a shade of one that is there
			b := colours[r.IntN(len(colours))]
			c = b.Over(RGB{c.R, c.G, c.B}, 0.8)
		}
		shades, colours = append(shades, Shade{c, math.Exp(6 * r.Float64())}), append(colours, c)
	}
	return shades, colours
}

func TestMerge_FewChoicesAreAllTried(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 0))
	for range 40 {
		shades, colours := randomShades(r, 2+r.IntN(6))
		n := 1 + r.IntN(len(shades))
		m, _ := newMerger(context.Background(), Merging{Shades: shades, Candidates: colours, Most: n})
		all, _ := m.best(context.Background(), n, 1)
		got := m.total(all[0])
		if want := bestPartition(shades, colours, n); got > want*(1+1e-9)+1e-9 {
			t.Errorf("%v to %d: %g, the best is %g", shades, n, got, want)
		}
	}
}

// The search for large palettes, held against the best choice on ones small
// enough to try all.
func TestMerge_SearchIsNeverTwiceTheBest(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 0))
	worst := 1.0
	for range 60 {
		shades, colours := randomShades(r, 4+r.IntN(9))
		n := 1 + r.IntN(len(shades)-1)
		m, _ := newMerger(context.Background(), Merging{Shades: shades, Candidates: colours})
		found, _ := m.search(context.Background(), n)
		all, _ := m.best(context.Background(), n, 1)
		best := all[0]
		if len(found) != n {
			t.Fatalf("%d chosen, not %d", len(found), n)
		}
		got, want := m.total(found), m.total(best)
		if want > 0 {
			worst = math.Max(worst, got/want)
		}
		if got > 2*want+1e-9 {
			t.Errorf("%v to %d: %g, the best is %g", shades, n, got, want)
		}
	}
	t.Logf("at worst %.3f times the best", worst)
}

func merged(t *testing.T, shades []Shade, colours []RGB, n int) []int {
	t.Helper()
	to, err := Merge(context.Background(), Merging{Shades: shades, Candidates: colours, Most: n})
	if err != nil {
		t.Fatal(err)
	}
	return to
}

// A search must end where no exchange of one sheet for another helps: checked
// by trying all of them, the slow way.
func TestMerge_SearchEndsWhereNoExchangeHelps(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 0))
	for range 20 {
		shades, colours := randomShades(r, 20+r.IntN(10))
		n := 3 + r.IntN(6)
		m, _ := newMerger(context.Background(), Merging{Shades: shades, Candidates: colours})
		chosen, _ := m.search(context.Background(), n)
		total := m.total(chosen)
		for i := range chosen {
			for k := range colours {
				if slices.Contains(chosen, k) {
					continue
				}
				other := slices.Clone(chosen)
				other[i] = k
				if v := m.total(other); v < total-1e-6 {
					t.Fatalf("%d for %d: %g instead of %g", k, chosen[i], v, total)
				}
			}
		}
	}
}

// What is dropped first is what is missed least, as told by adding up anew each
// time.
func TestMerge_DropsWhatIsMissedLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 0))
	for range 30 {
		shades, colours := randomShades(r, 5+r.IntN(15))
		m, _ := newMerger(context.Background(), Merging{Shades: shades, Candidates: colours})
		want := m.every()
		for n := len(colours) - 1; n > 0; n-- {
			least := math.Inf(1)
			for i := range want {
				least = math.Min(least, m.total(slices.Delete(slices.Clone(want), i, i+1)))
			}
			in, _ := m.drop(context.Background(), n)
			var got []int
			for k, ok := range in {
				if ok {
					got = append(got, k)
				}
			}
			if v := m.total(got); len(got) != n || math.Abs(v-least) > 1e-6*(1+least) {
				t.Fatalf("%d left: %g, least %g", len(got), v, least)
			}
			want = got
		}
	}
}

func TestMerge_Stops(t *testing.T) {
	shades, colours := randomShades(rand.New(rand.NewPCG(8, 0)), 60)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, n := range []int{1, 6, 60} {
		if _, err := Merge(ctx, Merging{Shades: shades, Candidates: colours, Most: n}); !errors.Is(err, context.Canceled) {
			t.Errorf("to %d: %v", n, err)
		}
	}
}

// manyShades is a photo as squares: thousands of shades about few colours, some of each.
func manyShades(r *rand.Rand, n int, about []RGB) (shades []Shade, of []int) {
	for range n {
		k := r.IntN(len(about))
		c := about[k]
		near := func(v uint8) uint8 { return uint8(min(max(int(v)+r.IntN(21)-10, 0), 255)) }
		shades, of = append(shades, Shade{RGB{near(c.R), near(c.G), near(c.B)}, 1 + r.Float64()}), append(of, k)
	}
	return shades, of
}

// Of thousands of shades each goes to one of those it lies among: to one of the shades themselves, or to the sheet that
// is theirs. What is locked stays, and what is to be apart goes apart.
func TestMerge_ThousandsOfShades(t *testing.T) {
	about := []RGB{{200, 30, 40}, {30, 60, 170}, {240, 210, 60}, {40, 140, 60}, {20, 20, 20}, {235, 235, 235}}
	shades, of := manyShades(rand.New(rand.NewPCG(5, 5)), 3000, about)
	own := make([]RGB, len(shades))
	for i, s := range shades {
		own[i] = s.Colour
	}
	a, b := slices.Index(of, 0), lastOf(of, 0)
	for name, c := range map[string]struct {
		q    Merging
		most int
	}{
		"own":    {Merging{Shades: shades, Candidates: own, Most: len(about)}, len(about)},
		"sheets": {Merging{Shades: shades, Candidates: about, Most: len(about)}, len(about)},
		"locked": {Merging{Shades: shades, Candidates: own, Most: len(about), Locked: []int{a}}, len(about)},
		"apart":  {Merging{Shades: shades, Candidates: own, Most: len(about) + 1, Apart: [][2]int{{a, b}}}, len(about) + 1},
	} {
		to, err := Merge(t.Context(), c.q)
		if err != nil {
			t.Fatal(err)
		}
		used := map[int]bool{}
		for i, k := range to {
			used[k] = true
			if name == "apart" && (i == a || i == b) {
				continue // one of them goes to what is open
			}
			if name == "sheets" && k != of[i] || name != "sheets" && of[k] != of[i] {
				t.Fatalf("%s: shade %d, of colour %d, goes to candidate %d", name, i, of[i], k)
			}
		}
		if len(used) > c.most {
			t.Errorf("%s: %d sheets", name, len(used))
		}
		if name == "locked" && to[a] != a || name == "apart" && to[a] == to[b] {
			t.Errorf("%s: %d goes to %d, %d to %d", name, a, to[a], b, to[b])
		}
	}
}

func lastOf(list []int, v int) int {
	for i, x := range slices.Backward(list) {
		if x == v {
			return i
		}
	}
	return -1
}

// Everything may be decided by hand.
func TestMerge_ThousandsThatAreApart(t *testing.T) {
	shades, _ := manyShades(rand.New(rand.NewPCG(5, 6)), mostShades+88, []RGB{{120, 120, 120}})
	q := Merging{Shades: shades, Most: 3}
	for i, s := range shades {
		q.Candidates = append(q.Candidates, s.Colour)
		if i > 0 {
			q.Apart = append(q.Apart, [2]int{i - 1, i})
		}
	}
	if to, err := Merge(t.Context(), q); err != nil || len(to) != len(shades) {
		t.Errorf("%d, %v", len(to), err)
	}
}

// 2,000 colours took hours when each drop was weighed anew.
func BenchmarkMerge_2000Colours(b *testing.B) {
	shades, colours := randomShades(rand.New(rand.NewPCG(8, 0)), 2000)
	for b.Loop() {
		if _, err := Merge(context.Background(), Merging{Shades: shades, Candidates: colours, Most: 6}); err != nil {
			b.Fatal(err)
		}
	}
}

func TestMerge_ManyColoursTakeLittleTime(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 0))
	shades, colours := randomShades(r, 60)
	to := merged(t, shades, colours, 6)
	used := map[int]bool{}
	for _, k := range to {
		used[k] = true
	}
	if len(used) > 6 {
		t.Errorf("%d sheets", len(used))
	}
}
