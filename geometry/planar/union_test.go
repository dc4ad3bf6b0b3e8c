package planar

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Groups that share pieces, held against the slow and obvious way: the map
// divided anew for each group, by whether a face belongs to it.
func TestUnion_IsWhatDividingAnewGives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMap(t)
		labels := topmost(m)
		const groups = 4
		belongs := map[int32][]int32{} // groups of a label, ascending
		for _, l := range slices.Compact(slices.Sorted(slices.Values(labels))) {
			if l == None {
				continue
			}
			for g := range int32(groups) {
				if rapid.Bool().Draw(t, "belongs") {
					belongs[l] = append(belongs[l], g)
				}
			}
		}
		u, err := divided(m, labels).Union(context.Background(), func(l int32) []int32 { return belongs[l] })
		if err != nil {
			t.Fatal(err)
		}
		if !slices.IsSortedFunc(u.Pieces, func(a, b Piece) int { return int(a.Label - b.Label) }) {
			t.Fatal("pieces are not ordered by group")
		}
		for g := range int32(groups) {
			own := make([]int32, len(labels))
			for f, l := range labels {
				own[f] = None
				if l != None && slices.Contains(belongs[l], g) {
					own[f] = 0
				}
			}
			got, want := describe(t, u, g), describe(t, divided(m, own), 0)
			if !slices.Equal(got, want) {
				t.Fatalf("group %d:\n got %v\nwant %v", g, got, want)
			}
		}
	})
}

// describe writes the pieces of a label down, whatever ring or point comes
// first, and checks that outer rings come before holes.
func describe(t failer, d *Division, label int32) []string {
	var out []string
	for i := range d.Pieces {
		p := &d.Pieces[i]
		if p.Label != label {
			continue
		}
		if p.Rings[0].Area2 <= 0 || slices.ContainsFunc(p.Rings[1:], func(r Ring) bool { return r.Area2 >= 0 }) {
			t.Fatalf("the outer ring is not the first, or not the only one")
		}
		out = append(out, fmt.Sprint(p.Area2, p.Bounds, p.Faces, ringSet(d, i)))
	}
	slices.Sort(out)
	return out
}

// Squares that touch at corners only are pieces of their own, and a ring that
// comes back to a node is parted there, in unions too.
func TestUnion_AtNodesWhereBordersMeet(t *testing.T) {
	var layers []Layer
	for _, r := range [][5]float64{{0, 0, 0, 20, 20}, {0, 20, 20, 20, 20}, {1, 0, 0, 10, 10}, {1, 10, 10, 10, 10}, {1, 20, 20, 10, 10}, {1, 30, 30, 10, 10}, {2, 20, 0, 20, 20}} {
		for len(layers) <= int(r[0]) {
			layers = append(layers, Layer{})
		}
		l := &layers[int(r[0])]
		l.Figures = append(l.Figures, rect(r[1], r[2], r[3], r[4]).Figures...)
	}
	m := mustBuild(t, layers)
	// Group 0 is all that layer 0 covers, group 1 all that layer 1 does.
	groups := map[int32][]int32{}
	labels := m.Label(func(cover []int32) int32 {
		if len(cover) == 0 {
			return None
		}
		label := int32(0)
		for _, l := range cover {
			label |= 1 << l
		}
		groups[label] = slices.Clone(cover)
		return label
	})
	u, err := divided(m, labels).Union(context.Background(), func(l int32) []int32 { return groups[l] })
	if err != nil {
		t.Fatal(err)
	}
	count, area := map[int32]int{}, map[int32]float64{}
	for i, p := range u.Pieces {
		count[p.Label]++
		area[p.Label] += p.AreaMM2()
		if n := len(u.RingPoints(p.Rings[0])); len(p.Rings) != 1 || n != 4 {
			t.Errorf("piece %d has %d rings, %d corners", i, len(p.Rings), n)
		}
	}
	for g, want := range []struct {
		pieces int
		area   float64
	}{{2, 800}, {4, 400}, {1, 400}} {
		if g := int32(g); count[g] != want.pieces || area[g] != want.area {
			t.Errorf("group %d: %d pieces of %g mm²", g, count[g], area[g])
		}
	}
}

func TestDivideHealUnion_Stop(t *testing.T) {
	m := mustBuild(t, []Layer{rect(0, 0, 9, 9)})
	d := divided(m, topmost(m))
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := m.Divide(ctx, topmost(m)); err == nil {
		t.Error("Divide goes on")
	}
	if _, err := m.Heal(ctx, topmost(m), 0.02); err == nil {
		t.Error("Heal goes on")
	}
	if _, err := d.Union(ctx, func(int32) []int32 { return []int32{0} }); err == nil {
		t.Error("Union goes on")
	}
	if _, err := Region(ctx, Layer{}, RegionOptions{}); err == nil {
		t.Error("Region goes on")
	}
}
