package fit

import (
	"context"
	"slices"

	"abut/geometry/planar"
)

// claims is what the rules say about every cover of a map. A label names a set
// of separations that claim a place together; faces with one label are alike in
// everything that a plan says of them.
type claims struct {
	// label of each cover, planar.None where nobody claims anything.
	label []int32
	// sets holds the separations of each label, ascending. Label bareLabel is
	// the empty set: bare on purpose.
	sets [][]int32
	// claimants of each cover, topmost first.
	claimants [][]claimant
}

const bareLabel int32 = 0

// stacked reports whether two separations lie over each other under the label.
func (c *claims) stacked(label int32) bool { return label >= 0 && len(c.sets[label]) > 1 }

// claim applies the rules to every cover of a map; cover i is coverByID(i).
func claim(ctx context.Context, r *rules, covers int, coverByID func(int32) []int32) (*claims, error) {
	c := &claims{
		label:     make([]int32, covers),
		sets:      [][]int32{nil},
		claimants: make([][]claimant, covers),
	}
	var single []int32 // label of the set of one separation, plus one
	var arena []claimant
	var set []int32
	var key []byte
	named := map[string]int32{}
	for i := range covers {
		if i%256 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		from := len(arena)
		arena = r.claimants(coverByID(int32(i)), arena)
		// A grown arena leaves earlier parts where they were, still valid.
		who := arena[from:len(arena):len(arena)]
		c.claimants[i] = who
		set = set[:0]
		for _, w := range who {
			if w.separation != bare {
				set = append(set, w.separation)
			}
		}
		slices.Sort(set)
		set = slices.Compact(set)
		switch {
		case len(who) == 0:
			c.label[i] = planar.None
		case len(set) == 0:
			c.label[i] = bareLabel
		case len(set) == 1:
			s := int(set[0])
			for len(single) <= s {
				single = append(single, 0)
			}
			if single[s] == 0 {
				c.sets = append(c.sets, slices.Clone(set))
				single[s] = int32(len(c.sets))
			}
			c.label[i] = single[s] - 1
		default:
			key = key[:0]
			for _, s := range set {
				key = append(key, byte(s), byte(s>>8), byte(s>>16), byte(s>>24))
			}
			l, ok := named[string(key)]
			if !ok {
				l = int32(len(c.sets))
				c.sets = append(c.sets, slices.Clone(set))
				named[string(key)] = l
			}
			c.label[i] = l
		}
	}
	return c, nil
}
