package packing

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
)

// Shape is an outline to pack, in millimetres.
type Shape struct {
	// Outline is filled even-odd; its contours do not cross. What fits into its
	// holes may come to lie there.
	Outline geometry.Path
	// Turns are the angles that it may be turned by; without any it stays as it is.
	Turns []float64
	// Count is how many there are, 0 for one.
	Count int
}

// sagittaMM is how far chords may stray from curves, as on planar's map; so much
// more is left around what is not straight.
const sagittaMM = 0.01

// nested is a shape with its turns.
type nested struct {
	turns      []float64
	size, area float64
	// By turn: the outline, its profile, and those of narrower slabs where they were
	// needed.
	rings    [][][]corner
	profiles []*profile
	narrow   [][]*profile
}

// nest lays shapes out by bottom-left fill.
type nest struct {
	shapes []nested
	items  []struct{ shape, copy int32 }
	all    []bin
	// edge is what every shape has around it at least: so far it may reach over a
	// sheet's edge.
	edge int32
	slab int32
	told func(Packing)
	// tried is told what share of the first layout is there.
	tried func(float64)

	// blocked is what is blocked of each sheet.
	blocked [][][][]corner
	tables  []table
	kept    []place // by place in the order that was kept
	laid    []lying // the same, settled
	last    []place
	first   [][]place // by shape and turn: where it could lie at first
	best    Packing
	used    float64 // what it costs
}

// place is where a shape lies: bin −1 for nowhere.
type place struct{ bin, turn, x, y int32 }

func newNest(ctx context.Context, shapes []Shape, o Options) (*nest, error) {
	n := &nest{told: o.Progress, tried: o.Tried, edge: math.MaxInt32}
	grown := make([]geometry.Path, len(shapes))
	total, sides, widest, most := 0, 0.0, 0.0, 0.0
	for i, s := range shapes {
		count := max(1, s.Count)
		for c := range count {
			n.items = append(n.items, struct{ shape, copy int32 }{int32(i), int32(c)})
		}
		var err error
		if grown[i], err = grow(ctx, s.Outline, o.GapMM/2); err != nil {
			return nil, err
		}
		b := grown[i].Bounds()
		total += count
		sides += float64(count) * math.Sqrt(max(0, b.Width()*b.Height()))
		if area := float64(count) * b.Width() * b.Height(); area > most {
			widest, most = b.Width(), area
		}
	}
	slab := steps(o.SlabMM)
	if slab == 0 {
		slab = fitting(steps(widest), steps(max(leastSlabMM, sides/float64(max(1, total))/slabsPerShape)))
	}
	n.slab = max(1, (slab+finest/2)/finest) * finest
	for i, s := range shapes {
		turns := s.Turns
		if len(turns) == 0 {
			turns = []float64{0}
		}
		x := nested{turns: turns, area: math.Abs(grown[i].SignedArea())}
		n.first = append(n.first, make([]place, len(turns)))
		for _, t := range turns {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			rings := turned(grown[i], t)
			p := newProfile(rings, n.slab)
			n.edge = min(n.edge, p.around(s.Outline.Transform(geometry.Rotate(t)).Bounds()))
			x.rings, x.profiles = append(x.rings, rings), append(x.profiles, p)
			x.size = max(x.size, float64(p.width)*float64(p.height))
		}
		x.narrow = make([][]*profile, len(turns))
		n.shapes = append(n.shapes, x)
	}
	if n.edge == math.MaxInt32 {
		n.edge = 0
	}
	n.all = bins(o.Sheets, len(n.items)+len(o.Blocked), 2*n.edge)
	if err := n.block(ctx, o); err != nil {
		return nil, err
	}
	for i, b := range n.all {
		n.tables = append(n.tables, table{slab: n.slab, width: b.width, height: b.height, keepsGaps: true, base: taken(n.blocked[i], n.slab)})
	}
	n.laid = make([]lying, len(n.items))
	n.kept, n.last = make([]place, len(n.items)), make([]place, len(n.items))
	return n, nil
}

// block notes what is blocked.
func (n *nest) block(ctx context.Context, o Options) error {
	n.blocked = make([][][][]corner, len(n.all))
	for _, b := range o.Blocked {
		i := slices.IndexFunc(n.all, func(x bin) bool { return x.kind == b.Kind && x.nth == b.Nth })
		if i < 0 {
			continue // nothing comes to lie there anyway
		}
		grown, err := grow(ctx, b.Outline, o.GapMM/2)
		if err != nil {
			return err
		}
		rings := turned(grown, 0)
		for _, ring := range rings {
			for k := range ring { // shapes may reach over the edge
				ring[k].x, ring[k].y = ring[k].x+n.edge, ring[k].y+n.edge
			}
		}
		n.blocked[i] = append(n.blocked[i], rings)
	}
	return nil
}

// left are all items, where there is no sheet.
func (n *nest) left() (out []int) {
	for _, it := range n.items {
		out = append(out, int(it.shape))
	}
	return out
}

// slabsPerShape is how many slabs a shape of the usual size has: with fewer more is
// wasted beside slopes, with more a layout takes longer.
const slabsPerShape = 24

// leastSlabMM is the narrowest slab that is chosen unasked: less saves nothing that a
// hand could lay closer.
const leastSlabMM = 0.1

// fitting returns a slab, not far from the wanted one, that goes into a width without
// a rest; the wanted one where there is none. So shapes that just fit a sheet side by
// side do.
func fitting(width, slab int32) int32 {
	parts := width / max(1, slab)
	for d := int32(0); d <= parts/2; d++ {
		for _, k := range [2]int32{parts + d, parts - d} {
			if k > 0 && width%(k*finest) == 0 {
				return width / k
			}
		}
	}
	return slab
}

// grow returns the outline as chords, with so much around it, and more where it is
// curved.
func grow(ctx context.Context, outline geometry.Path, by float64) (geometry.Path, error) {
	flat := outline.Flatten(sagittaMM)
	curved := slices.ContainsFunc(outline, func(c geometry.Contour) bool {
		return slices.ContainsFunc(c.Segments, func(s geometry.Segment) bool { return s.Cubic })
	})
	if curved {
		by += sagittaMM
	}
	if by == 0 {
		return flat, nil
	}
	layer := planar.Enclosed(flat)
	// The joins are chords too.
	return planar.Offset(ctx, layer, by+sagittaMM, geometry.Join{}, planar.Options{SagittaMM: sagittaMM})
}

func (n *nest) same(a, b int32) bool { return n.items[a].shape == n.items[b].shape }

func (n *nest) turns(item int32) int { return len(n.shapes[n.items[item].shape].turns) }

func (n *nest) keep() { n.kept, n.last = n.last, n.kept }

func (n *nest) lay(ctx context.Context, order []gene, from int, limit float64) float64 {
	for i := range n.tables {
		n.tables[i].clear()
	}
	for _, f := range n.first {
		clear(f)
	}
	cost := costs{nest: n}
	for i, g := range order {
		s := n.items[g.item].shape
		var at place
		if i < from {
			at = n.kept[i]
			if at.bin >= 0 { // no other of its kind fits anywhere before it
				n.first[s][at.turn] = at
			}
		} else {
			if i%8 == 0 {
				if ctx.Err() != nil {
					return math.Inf(1)
				}
				if n.best.Step == 0 && n.tried != nil {
					n.tried(float64(i) / float64(len(order)))
				}
			}
			at = n.find(s, g.turn)
		}
		n.last[i] = at
		if at.bin >= 0 {
			n.tables[at.bin].put(n.shapes[s].profiles[at.turn], at.x, at.y)
		}
		if cost.add(s, at); cost.least() > limit {
			return math.Inf(1)
		}
	}
	return cost.least()
}

// find returns the best place of a shape: the one that reaches least far.
func (n *nest) find(shape, turn int32) place {
	best := place{bin: -1}
	reach := int32(math.MaxInt32)
	s := &n.shapes[shape]
	for t, p := range s.profiles {
		if turn != anyTurn && int(turn) != t {
			continue
		}
		first := &n.first[shape][t]
		at, ok := n.bottomLeft(p, *first, best.bin, reach)
		if !ok {
			continue
		}
		at.turn = int32(t)
		*first = at
		if r := at.x*n.slab + p.width; best.bin < 0 || at.bin < best.bin || r < reach || r == reach && at.y < best.y {
			best, reach = at, r
		}
	}
	return best
}

// bottomLeft returns the first place from a given one on that is clear, and false
// where it would lie in a later bin than bin, or reach further than reach there.
func (n *nest) bottomLeft(p *profile, from place, bin, reach int32) (place, bool) {
	for b := from.bin; int(b) < len(n.all); b++ {
		t := &n.tables[b]
		x, y := int32(0), int32(0)
		if b == from.bin {
			x, y = from.x, from.y
		}
		most := (n.all[b].width - p.width)
		if bin == b {
			most = min(most, reach-p.width)
		} else if bin >= 0 && b > bin {
			return place{}, false
		}
		for ; most >= 0 && x <= most/n.slab; x++ {
			if y, ok := t.lowest(p, x, y); ok {
				return place{bin: b, x: x, y: y}, true
			}
			y = 0
		}
	}
	return place{}, false
}

// costs add up what a layout uses.
type costs struct {
	nest *nest
	last int32 // bin
	used int32 // of it
	left float64
}

func (c *costs) add(shape int32, at place) {
	s := &c.nest.shapes[shape]
	if at.bin < 0 {
		c.left += s.area
		return
	}
	c.reach(at.bin, at.x*c.nest.slab+s.profiles[at.turn].width)
}

func (c *costs) reach(bin, x int32) {
	if bin > c.last {
		c.last, c.used = bin, 0
	}
	if bin == c.last {
		c.used = max(c.used, x)
	}
}

// leftCosts is how many times its area what finds no place costs: more than any
// sheet that it could lie on.
const leftCosts = 1e6

// least is what the layout costs at least, however it goes on.
func (c *costs) least() float64 {
	sum := mm(c.used)*mm(c.nest.all[c.last].height) + leftCosts*c.left
	for _, b := range c.nest.all[:c.last] {
		sum += mm(b.width) * mm(b.height)
	}
	return sum
}
