package own

import (
	"context"
	"slices"

	"abut/geometry/planar"
	"abut/internal/colour"
)

// Claims is what the rules say about every cover of a map. A label names a set
// of materials that claim a place together; faces with one label are alike in
// everything that a plan says of them.
type Claims struct {
	// Materials that claim something, in the order in which they were met.
	Materials []Material
	// Label of each cover, planar.None where nobody claims anything.
	Label []int32
	// Sets holds the materials of each label as indices, ascending. Label
	// bareLabel is the empty set: bare on purpose.
	Sets [][]int32
	// Claimants of each cover, topmost first; none where mends gave it away.
	Claimants [][]Claimant
	// NoSheet are colours that were assigned to sheets that are not there.
	NoSheet []colour.RGB

	index  map[Material]int32
	single []int32 // label of the set of one material, plus one
	named  map[string]int32
}

// bareLabel is the label of places that are bare on purpose.
const bareLabel int32 = 0

// Owner returns the only material under a label: Bare where there is none, false
// where several stack.
func (c *Claims) Owner(label int32) (Material, bool) {
	switch {
	case label < 0 || len(c.Sets[label]) == 0:
		return Bare, true
	case len(c.Sets[label]) == 1:
		return c.Materials[c.Sets[label][0]], true
	}
	return Bare, false
}

// Named returns the material of a colour as people see it, such as that of a
// sheet, whatever art is cut from it; without one, what a colour of the art is
// cut from.
func (c *Claims) Named(r *Rules, of colour.RGB) Material {
	for _, m := range c.Materials {
		if m.Colour == of {
			return m
		}
	}
	m, _ := r.Material(of)
	return m
}

// Claim applies the rules to every cover of a map on which only the layers of the
// rules count: others above them change nothing. Its only error is the context's.
func Claim(ctx context.Context, r *Rules, m *planar.Map) (*Claims, error) {
	return claim(ctx, r, m.NumCovers(), m.CoverByID)
}

func claim(ctx context.Context, r *Rules, covers int, coverByID func(int32) []int32) (*Claims, error) {
	c := &Claims{
		Label:     make([]int32, covers),
		Sets:      [][]int32{nil},
		Claimants: make([][]Claimant, covers),
		index:     map[Material]int32{},
		named:     map[string]int32{},
	}
	claimer := newClaimer(r)
	var arena []Claimant
	var set []int32
	for i := range c.Label {
		if i%256 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		from := len(arena)
		arena = claimer.claimants(r.Art(coverByID(int32(i))), arena)
		// A grown arena leaves earlier parts where they were, still valid.
		who := arena[from:len(arena):len(arena)]
		c.Claimants[i] = who
		set = set[:0]
		for _, w := range who {
			if w.Material != Bare {
				set = append(set, c.number(w.Material))
			}
		}
		if len(who) == 0 {
			c.Label[i] = planar.None
		} else {
			c.Label[i] = c.label(set)
		}
	}
	c.NoSheet = claimer.noSheet
	return c, nil
}

// Art returns the part of a cover that is layers of the rules.
func (r *Rules) Art(cover []int32) []int32 {
	k, _ := slices.BinarySearch(cover, int32(len(r.Layers)))
	return cover[:k]
}

// number returns a material's place in Materials.
func (c *Claims) number(m Material) int32 {
	i, known := c.index[m]
	if !known {
		i = int32(len(c.Materials))
		c.Materials = append(c.Materials, m)
		c.index[m] = i
	}
	return i
}

// label returns the label of a set of materials, given in any order, some
// perhaps twice.
func (c *Claims) label(set []int32) int32 {
	if len(set) == 0 {
		return bareLabel
	}
	if len(set) > 1 {
		slices.Sort(set)
		set = slices.Compact(set)
	}
	if len(set) == 1 {
		for len(c.single) <= int(set[0]) {
			c.single = append(c.single, 0)
		}
		if l := &c.single[set[0]]; *l == 0 {
			c.Sets = append(c.Sets, slices.Clone(set))
			*l = int32(len(c.Sets))
		}
		return c.single[set[0]] - 1
	}
	key := make([]byte, 0, 4*len(set))
	for _, s := range set {
		key = append(key, byte(s), byte(s>>8), byte(s>>16), byte(s>>24))
	}
	l, known := c.named[string(key)]
	if !known {
		l = int32(len(c.Sets))
		c.Sets = append(c.Sets, slices.Clone(set))
		c.named[string(key)] = l
	}
	return l
}

// Give makes one material, or Bare, the owner of all places with a cover.
func (c *Claims) Give(cover int32, to Material) {
	if to == Bare {
		c.Label[cover] = bareLabel
	} else {
		c.Label[cover] = c.label([]int32{c.number(to)})
	}
	c.Claimants[cover] = nil // it is no layer's any longer
}
