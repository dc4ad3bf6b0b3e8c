package colour

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func hex(t *testing.T, s string) RGB {
	t.Helper()
	c, err := Parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// ask is Merge of shades to some of themselves.
func ask(t *testing.T, q Merging) []int {
	t.Helper()
	for _, s := range q.Shades {
		q.Candidates = append(q.Candidates, s.Colour)
	}
	to, err := Merge(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return to
}

// Eight hues of a painter's wheel and their tints with white: by ΔE alone the
// pale ones are merged with each other, and hues are lost while others keep two
// shades.
func TestMerge_AWheelKeepsAsManyHuesAsFit(t *testing.T) {
	hues := []string{"#d02c2c", "#e8801e", "#f0c832", "#3ca046", "#1ea0a0", "#2860c0", "#6a3a9c", "#c8468c"}
	for _, white := range []float64{0.35, 0.5} {
		for _, share := range []float64{0.05, 1, 20} { // of a tint's area beside its hue's
			var shades []Shade
			for _, h := range hues {
				c := hex(t, h)
				shades = append(shades, Shade{c, 100}, Shade{White.Over(c, white), 100 * share})
			}
			for _, n := range []int{8, 6, 5} {
				kept := map[int]bool{}
				for _, k := range ask(t, Merging{Shades: shades, Most: n}) {
					kept[k/2] = true
				}
				if len(kept) != n {
					t.Errorf("%g white on %g of the area: %d hues on %d sheets", white, share, len(kept), n)
				}
			}
		}
	}
}

// What the shop's picture of a harbour came to: a large sky and sea, two greys of
// rock, and small blue cabins with a red door.
func TestMerge_SmallDistinctColoursSurviveBeforeSecondShades(t *testing.T) {
	shades := []Shade{
		{hex(t, "#f3e3c2"), 2400}, {hex(t, "#474a55"), 1300}, {hex(t, "#7b7d86"), 900},
		{hex(t, "#2f62b5"), 60}, {hex(t, "#c8372d"), 40}, {hex(t, "#3c9a4a"), 300},
	}
	to := ask(t, Merging{Shades: shades, Most: 5})
	if want := []int{0, 1, 1, 3, 4, 5}; !slices.Equal(to, want) {
		t.Errorf("%v, not %v", to, want)
	}
}

func randomThings(r *rand.Rand, n int) (out []Thing) {
	for range 3 * n {
		of := r.IntN(n)
		beside := []int{}
		for _, b := range r.Perm(n)[:1+r.IntN(2)] {
			if b != of {
				beside = append(beside, b)
			}
		}
		out = append(out, Thing{of, beside, 20 * r.Float64()})
	}
	return out
}

// judged is what Merge's comment says a way to merge comes to, but for lightness:
// written anew, shade by shade.
func judged(q Merging, to []int) (parted int, cost float64) {
	for i, s := range q.Shades {
		cost += costOf(s, q.Candidates[to[i]])
	}
	for _, p := range q.Apart {
		if to[p[0]] == to[p[1]] {
			parted++
		}
	}
	for _, th := range q.Things {
		gone, contrast := len(th.Beside) > 0, math.Inf(1)
		for _, b := range th.Beside {
			gone = gone && to[b] == to[th.Of]
			contrast = min(contrast, q.Shades[b].Colour.DeltaE(q.Shades[th.Of].Colour))
		}
		if gone && contrast >= told {
			cost += lostFactor * math.Sqrt(th.AreaMM2) * contrast * contrast
		}
	}
	return parted, cost
}

// All ways to send five shades to at most n of their own colours, each colour's
// sheet taking that colour.
func TestMerge_KeepsThingsAsWellAsCanBe(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 0))
	for range 60 {
		shades, colours := randomShades(r, 5)
		q := Merging{Shades: shades, Candidates: colours, Most: 1 + r.IntN(4), Things: randomThings(r, 5)}
		if r.IntN(2) == 0 {
			q.Apart = [][2]int{{0, 1 + r.IntN(4)}, {1, 2}}
		}
		if r.IntN(3) == 0 {
			q.Locked = []int{3}
		}
		if r.IntN(3) == 0 {
			q.Together = [][2]int{{0, 4}}
		}
		parted, cost := 1000, math.Inf(1)
		to := make([]int, 5)
		for code := range 3125 {
			used := map[int]bool{}
			for i, c := 0, code; i < 5; i, c = i+1, c/5 {
				to[i] = c % 5
				used[to[i]] = true
			}
			fair := len(used) <= q.Most
			for k := range used {
				fair = fair && to[k] == k
			}
			for _, i := range q.Locked {
				fair = fair && to[i] == i
			}
			for _, p := range q.Together {
				fair = fair && to[p[0]] == to[p[1]]
			}
			if !fair {
				continue
			}
			if p, c := judged(q, to); p < parted || p == parted && c < cost {
				parted, cost = p, c
			}
		}
		m, err := newMerger(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		found, err := m.exact(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		for i := range to {
			to[i] = found[m.group[i]]
		}
		if p, c := judged(q, to); p != parted || c > cost*(1+1e-9)+1e-6 {
			t.Errorf("%+v: %v, %d parted and %g, the best is %d and %g", q, to, p, c, parted, cost)
		}
	}
}

// Shades that people would call the same colour, or that lie side by side, and are
// told apart by lightness.
func TestMerge_WhatIsDarkerStaysDarker(t *testing.T) {
	r := rand.New(rand.NewPCG(20, 0))
	pairs, turned := 0, 0
	for range 300 {
		shades, colours := randomShades(r, 4+r.IntN(9))
		to := merged(t, shades, colours, 2+r.IntN(3))
		for a := range to {
			for b := range a {
				p, q := colours[a].Lab(), colours[b].Lab()
				if hueOf(p) == noHue || hueOf(q) == noHue || math.Abs(math.Remainder(hueOf(p)-hueOf(q), 2*math.Pi)) > oneHue {
					continue
				}
				before, after := p.L-q.L, colours[to[a]].Lab().L-colours[to[b]].Lab().L
				if math.Abs(before) >= darker {
					pairs++
					if before*after < 0 && math.Abs(after) >= darker {
						turned++
					}
				}
			}
		}
	}
	if pairs < 1000 || turned*200 > pairs { // 18 in 1,000 without any care
		t.Errorf("%d of %d pairs changed places", turned, pairs)
	}
}

func TestMerge_DecisionsByHandGoFirst(t *testing.T) {
	var shades []Shade
	for i, c := range []string{"#c8372d", "#d9512c", "#474a55", "#4d505b", "#2f62b5"} {
		shades = append(shades, Shade{hex(t, c), float64(10 + i)})
	}
	for _, c := range []struct {
		name string
		q    Merging
		want []int
	}{
		{"by itself", Merging{Most: 3}, []int{1, 1, 3, 3, 4}},
		{"locked", Merging{Most: 3, Locked: []int{1}}, []int{1, 1, 3, 3, 4}},
		{"more locked than there are to be", Merging{Most: 1, Locked: []int{0, 2, 4}}, []int{0, 0, 2, 2, 4}},
		{"together", Merging{Most: 4, Together: [][2]int{{0, 4}}}, []int{4, 1, 2, 3, 4}},
		{"together, one of them locked", Merging{Most: 4, Together: [][2]int{{0, 4}}, Locked: []int{0}}, []int{0, 1, 2, 3, 0}},
		{"both locked, so not together", Merging{Most: 5, Together: [][2]int{{0, 4}}, Locked: []int{0, 4}}, []int{0, 1, 2, 3, 4}},
		{"apart", Merging{Most: 4, Apart: [][2]int{{2, 3}}}, []int{1, 1, 2, 3, 4}},
		{"as far as there are enough", Merging{Most: 1, Apart: [][2]int{{2, 3}}}, []int{3, 3, 3, 3, 3}},
	} {
		c.q.Shades = shades
		if to := ask(t, c.q); !slices.Equal(to, c.want) {
			t.Errorf("%s: %v, not %v", c.name, to, c.want)
		}
	}
}

// A scene too large to try all of: what can vanish still weighs.
func TestMerge_KeepsThingsOfManyShades(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 0))
	with, without := 0.0, 0.0
	for range 12 {
		shades, colours := randomShades(r, 26)
		q := Merging{Shades: shades, Candidates: colours, Most: 6, Things: randomThings(r, 26)}
		_, c := judged(q, merged(t, shades, colours, 6))
		without += c
		to, err := Merge(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		_, c = judged(q, to)
		with += c
	}
	if with > 0.9*without {
		t.Errorf("%g with them, %g without", with, without)
	}
}

func ExampleMerge() {
	shades := []Shade{{RGB{200, 55, 45}, 30}, {RGB{71, 74, 85}, 900}, {RGB{77, 80, 91}, 800}}
	to, _ := Merge(context.Background(), Merging{Shades: shades, Candidates: []RGB{{200, 55, 45}, {71, 74, 85}, {77, 80, 91}}, Most: 2})
	fmt.Println(to)
	// Output: [0 1 1]
}

// Twenty pairs of shades, the first of which lies on the second and nowhere else,
// with two more: three sheets for four. Each pair stays two colours, and no way
// that keeps it has much less of a sum of ΔE.
func TestMerge_ThingsOnAGroundLikeThemStay(t *testing.T) {
	for _, c := range []struct {
		what          string
		thing, ground string
		others        [2]string
		areas         [4]float64
	}{
		{"a cheek on a face", "#f4900c", "#ffcc4d", [2]string{"#be1931", "#dd2e44"}, [4]float64{6, 300, 60, 90}},
		{"a tongue in a mouth", "#ea596e", "#be1931", [2]string{"#ffcc4d", "#ffac33"}, [4]float64{12, 30, 600, 200}},
		{"a vein on a leaf", "#3e721d", "#5c913b", [2]string{"#662113", "#8a4b38"}, [4]float64{10, 200, 60, 40}},
		{"a wave on the sea", "#4fa3b5", "#1f6f8b", [2]string{"#f3e3c2", "#efd9b4"}, [4]float64{18, 900, 300, 100}},
		{"a plank on a hull", "#a5573c", "#8c3b2e", [2]string{"#badee6", "#bfe3e6"}, [4]float64{12, 100, 1000, 400}},
		{"a wing on a coat", "#3a444e", "#20262c", [2]string{"#f6c544", "#ffe07a"}, [4]float64{88, 250, 40, 40}},
		{"a stone on a rock", "#7b7d86", "#474a55", [2]string{"#c8372d", "#d9512c"}, [4]float64{50, 900, 100, 100}},
		{"a cloud on the sky", "#d4ecec", "#9fd0e0", [2]string{"#474a55", "#3a444e"}, [4]float64{150, 3000, 300, 200}},
		{"a pane in a lantern", "#ffe07a", "#f6c544", [2]string{"#26384a", "#20262c"}, [4]float64{20, 60, 80, 100}},
		{"a spot on a petal", "#c8468c", "#e08ab8", [2]string{"#3ca046", "#5c913b"}, [4]float64{8, 120, 200, 100}},
		{"a star on a flag", "#2860c0", "#1b2a6b", [2]string{"#d02c2c", "#be1931"}, [4]float64{5, 500, 200, 150}},
		{"a stripe on a shirt", "#d9512c", "#c8372d", [2]string{"#1f6f8b", "#26607a"}, [4]float64{30, 200, 150, 90}},
		{"a button on a jacket", "#6a3a9c", "#3f286c", [2]string{"#f0c832", "#ffe07a"}, [4]float64{3, 200, 80, 40}},
		{"a crust on bread", "#bb7733", "#e8b06a", [2]string{"#3ca046", "#1ea060"}, [4]float64{40, 150, 90, 90}},
		{"glaze on a teapot", "#1ea0a0", "#147070", [2]string{"#f3e3c2", "#fff3d8"}, [4]float64{25, 300, 400, 100}},
		{"a seam on a sail", "#d8c090", "#f3e3c2", [2]string{"#8f2a24", "#8c3b2e"}, [4]float64{9, 150, 60, 60}},
		{"a shadow on a wall", "#d0d4d8", "#f0f2f2", [2]string{"#c8372d", "#d2452f"}, [4]float64{60, 500, 100, 80}},
		{"a knot in wood", "#662113", "#8a4b38", [2]string{"#5c913b", "#77b255"}, [4]float64{4, 90, 200, 400}},
		{"a gill on a fish", "#f06030", "#f08a50", [2]string{"#55acee", "#88c9f9"}, [4]float64{5, 110, 300, 800}},
		{"a rim on a buoy", "#a01818", "#d02c2c", [2]string{"#50647a", "#667a90"}, [4]float64{14, 130, 220, 90}},
	} {
		q := Merging{Most: 3, Things: []Thing{{0, []int{1}, c.areas[0]}}}
		for i, s := range []string{c.thing, c.ground, c.others[0], c.others[1]} {
			q.Shades = append(q.Shades, Shade{hex(t, s), c.areas[i]})
		}
		to := ask(t, q)
		sum := func(to []int) (all float64) {
			for i, k := range to {
				all += q.Shades[i].Colour.DeltaE(q.Shades[k].Colour)
			}
			return all
		}
		least := math.Inf(1)
		for from := range 4 {
			for k := range 4 {
				other := []int{0, 1, 2, 3}
				other[from] = k
				if other[0] != other[1] && from != k {
					least = math.Min(least, sum(other))
				}
			}
		}
		if to[0] == to[1] || sum(to) > 1.25*least {
			t.Errorf("%s: %v, ΔE %.1f together, the least is %.1f", c.what, to, sum(to), least)
		}
	}
}
