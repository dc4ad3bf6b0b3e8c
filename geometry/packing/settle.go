package packing

import (
	"cmp"
	"context"
	"slices"
)

// lying is where a shape's lowest corner is, in steps.
type lying struct{ x, y int32 }

// finer are the parts that slabs are cut into one after the other when a layout
// settles, and finest is all of them: what is wasted for a shape's not ending with
// a slab becomes that much less.
var finer = [...]int32{10, 10}

const finest = 10 * 10

// leastFine is the narrowest slab that shapes settle by, in steps: a hundredth of a
// millimetre. Profiles of large shapes would have hundreds of thousands otherwise.
const leastFine = 100

// rounds is how often every shape may move at each fineness. Most are at rest after
// two or three.
const rounds = 8

// settle moves the shapes of the layout that was kept further to the left and down
// than slabs allow: with narrower slabs, one shape after the other. When the context
// ends it leaves off; the layout is as good as it was then.
func (n *nest) settle(ctx context.Context, order []gene) {
	for i, at := range n.kept {
		n.laid[i] = lying{at.x * n.slab, at.y}
	}
	slab := n.slab
	for level, parts := range finer {
		if slab /= parts; slab < leastFine {
			break
		}
		fine := make([]*profile, len(order))
		tables := make([]table, len(n.all))
		for b := range tables {
			tables[b] = table{slab: slab, width: n.all[b].width, height: n.all[b].height, base: taken(n.blocked[b], slab)}
			tables[b].clear()
		}
		var turn []int // the shapes from left to right
		for i, g := range order {
			if ctx.Err() != nil {
				return
			}
			at := n.kept[i]
			if at.bin < 0 {
				continue
			}
			s := n.items[g.item].shape
			fine[i] = n.fine(s, at.turn, level, slab)
			tables[at.bin].put(fine[i], n.laid[i].x/slab, n.laid[i].y)
			turn = append(turn, i)
		}
		for range rounds {
			slices.SortStableFunc(turn, func(a, b int) int { return cmp.Compare(n.laid[a].x, n.laid[b].x) })
			moved := false
			for _, i := range turn {
				if ctx.Err() != nil {
					return
				}
				t, l := &tables[n.kept[i].bin], n.laid[i]
				x := l.x / slab
				t.take(fine[i], x, l.y)
				to := l
				low := max(0, l.y-fine[i].height) // what lies further down is found by the search
				for from := max(0, x-parts); from <= x; from++ {
					if y, ok := t.lowest(fine[i], from, low); ok {
						to = lying{from * slab, y}
						break
					}
				}
				t.put(fine[i], to.x/slab, to.y)
				n.laid[i], moved = to, moved || to != l
			}
			if !moved {
				break
			}
		}
	}
}

// fine returns a shape's profile with narrower slabs.
func (n *nest) fine(shape, turn int32, level int, slab int32) *profile {
	s := &n.shapes[shape]
	if s.narrow[turn] == nil {
		s.narrow[turn] = make([]*profile, len(finer))
	}
	p := &s.narrow[turn][level]
	if *p == nil {
		*p = newProfile(s.rings[turn], slab)
	}
	return *p
}
