package weak

import "cmp"

// order compares discs as they touch the outline along the walk.
func (d *disc) order(e *disc) int { return cmp.Or(cmp.Compare(d.s, e.s), cmp.Compare(d.at, e.at)) }

// beyond returns those of the opening discs at which a waist that opens at a wide
// angle goes on to widen: they touch at a blunter angle than a thin place does, and
// lie less than a width from the waist's own disc that is next along the outline.
// Both lists are in the order of the walk.
func beyond(discs, opening []disc, width float64) []disc {
	var out []disc
	k := 0 // the first of the waist's that comes later
	for i := range opening {
		d := &opening[i]
		for k < len(discs) && discs[k].order(d) < 0 {
			k++
		}
		nearest, best := -1, width
		for _, n := range [2]int{k - 1, k} {
			if n < 0 || n == len(discs) {
				continue
			}
			if l := discs[n].c.Sub(d.c).Len(); l < best {
				nearest, best = n, l
			}
		}
		// Towards a plain corner discs become smaller.
		if nearest >= 0 && d.r > discs[nearest].r {
			out = append(out, *d)
		}
	}
	return out
}
