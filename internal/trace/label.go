package trace

import (
	"context"
	"math"

	"abut/geometry/parallel"
)

// A pixel that is not in the middle of an area lies on an edge: its colour is a
// blend of those on both sides. So it belongs to the ink of which it has more, of
// the two that explain it, and these are looked for around it; that the blend may
// look like a third ink says nothing.

// near is how far around a pixel inks are looked for: an edge is smoothed over two
// pixels at most.
const near = 2

// seed labels what is flat by the nearest ink, but for what looks like none: the middle of a spot of
// so few pixels that no ink was found by them.
func (t *tracer) seed(flat []bool) {
	known := map[rgba]uint8{}
	var last rgba
	at := t.seeded(last)
	for i, c := range t.pic.pix[:len(flat)] {
		if !flat[i] {
			t.labels[i] = none
			continue
		}
		if c != last {
			var ok bool
			if at, ok = known[c]; !ok {
				at = t.seeded(c)
				known[c] = at
			}
			last = c
		}
		t.labels[i] = at
	}
}

// seeded returns the ink of a flat colour, none where it is as unlike the nearest as no colour
// that went to it is. Where inks were merged all go to the nearest.
func (t *tracer) seeded(c rgba) uint8 {
	at := t.nearest(c)
	if t.merged || float64(distance2(c, t.inks[at].c)) <= t.off2 {
		return at
	}
	if k := newInk(c, 0); unlike(&k, &t.inks[at]) <= t.gathered {
		return at
	}
	return none
}

// isInk reports whether a colour is that of an ink but for rounding.
func (t *tracer) isInk(c rgba) bool {
	return float64(distance2(c, t.inks[t.nearest(c)].c)) <= t.off2/4
}

// nearest returns the ink that is nearest to a colour.
func (t *tracer) nearest(c rgba) uint8 {
	best, at := math.MaxInt, uint8(0)
	for k := range t.inks {
		if d := distance2(c, t.inks[k].c); d < best {
			best, at = d, uint8(k)
		}
	}
	return at
}

// around appends each label near a pixel, once.
func (t *tracer) around(x, y int, dst []uint8) []uint8 { return t.labelsWithin(x, y, near, dst) }

// labelsWithin appends each label that is no further from a pixel, once.
func (t *tracer) labelsWithin(x, y, far int, dst []uint8) []uint8 {
	w := t.pic.w
	var seen [4]uint64
	for v := max(y-far, 0); v <= min(y+far, t.pic.h-1); v++ {
		for _, k := range t.labels[v*w+max(x-far, 0) : v*w+min(x+far+1, w)] {
			if k != none && seen[k>>6]>>(k&63)&1 == 0 {
				seen[k>>6] |= 1 << (k & 63)
				dst = append(dst, k)
			}
		}
	}
	return dst
}

// pass labels the pixels of a list by how, which returns none for what it cannot
// tell, and returns those that are left. It sees the labels as they were before.
func (t *tracer) pass(ctx context.Context, open []int32, how func(i int) uint8) ([]int32, error) {
	found := make([]uint8, len(open))
	if err := parallel.Ranges(ctx, len(open), 4096, func(_, lo, hi int) error {
		for k := lo; k < hi; k++ {
			if k&0xfff == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			found[k] = how(int(open[k]))
		}
		return nil
	}); err != nil {
		return nil, err
	}
	left := open[:0]
	for k, i := range open {
		if found[k] == none {
			left = append(left, i)
		} else {
			t.labels[i] = found[k]
		}
	}
	return left, nil
}

// between explains a pixel by one or two inks near it.
func (t *tracer) between(i int) uint8 {
	var room [16]uint8
	set := t.around(i%t.pic.w, i/t.pic.w, room[:0])
	return t.explain(t.pic.pix[i], set, set, t.off2)
}

// explain returns the larger part of the pair, one of each set, whose blend is
// nearest to a colour, or none where all are further than off2. A single ink goes
// before a pair that is hardly better.
func (t *tracer) explain(c rgba, some, others []uint8, off2 float64) uint8 {
	best, at := off2, uint8(none)
	for _, a := range some {
		if d := float64(distance2(c, t.inks[a].c)); d <= best {
			best, at = d, a
		}
	}
	for _, a := range some {
		for _, b := range others {
			if a == b {
				continue
			}
			if share, d := t.blend(c, t.inks[a].c, t.inks[b].c); d < 0.6*best {
				best, at = d, a
				if share > 0.5 {
					at = b
				}
			}
		}
	}
	return at
}

// pure labels a pixel that has the colour of an ink and is no blend of two
// neighbours that face each other.
func (t *tracer) pure(i int) uint8 {
	k := t.nearest(t.pic.pix[i])
	if float64(distance2(t.pic.pix[i], t.inks[k].c)) > t.off2 || t.ramp(i) {
		return none
	}
	return k
}

// facing are the four pairs of neighbours that face each other across a pixel.
var facing = [4][2]int{{1, 0}, {0, 1}, {1, 1}, {1, -1}}

// ramp reports whether a pixel lies between two neighbours that face each other,
// as on an edge.
func (t *tracer) ramp(i int) bool {
	w, h := t.pic.w, t.pic.h
	x, y := i%w, i/w
	c := t.pic.pix[i]
	for _, d := range facing {
		if x-d[0] < 0 || x+d[0] >= w || y-d[1] < 0 || y+d[1] >= h || y-d[1] >= h || y+d[1] < 0 {
			continue
		}
		a, b := t.pic.pix[i-d[1]*w-d[0]], t.pic.pix[i+d[1]*w+d[0]]
		if float64(distance2(a, c)) <= 4*t.off2 || float64(distance2(b, c)) <= 4*t.off2 {
			continue
		}
		if share, off := t.blend(c, a, b); off <= t.off2 && share > 0.05 && share < 0.95 {
			return true
		}
	}
	return false
}

// line explains a pixel by an ink near it and any other: what has no pure pixel
// near it is a thin line.
func (t *tracer) line(i int) uint8 {
	var room [16]uint8
	set := t.around(i%t.pic.w, i/t.pic.w, room[:0])
	k := t.explain(t.pic.pix[i], set, t.all, t.off2)
	return k
}

// among explains a pixel by three inks near it, as where three areas meet, and
// returns the one of which it has most.
func (t *tracer) among(i int) uint8 {
	var room [16]uint8
	set := t.around(i%t.pic.w, i/t.pic.w, room[:0])
	best, at := t.off2, uint8(none)
	for k, a := range set {
		for l, b := range set[:k] {
			for _, c := range set[:l] {
				x, y, off2, ok := mix(t.pic.pix[i], t.inks[c].c, t.inks[a].c, t.inks[b].c)
				if !ok || x < 0 || y < 0 || x+y > 1 || off2 > best {
					continue
				}
				best, at = off2, c
				if x > 1-x-y && x >= y {
					at = a
				} else if y > 1-x-y {
					at = b
				}
			}
		}
	}
	return at
}

// whatever takes the likeliest, however unlikely.
func (t *tracer) whatever(i int) uint8 {
	var room [16]uint8
	set := t.around(i%t.pic.w, i/t.pic.w, room[:0])
	if len(set) == 0 {
		set = t.all
	}
	return t.explain(t.pic.pix[i], set, set, math.Inf(1))
}

// touches reports whether an ink is known near a pixel.
func (t *tracer) touches(i int) bool {
	var room [16]uint8
	return len(t.around(i%t.pic.w, i/t.pic.w, room[:0])) > 0
}

func (t *tracer) take(inks []ink) {
	t.inks, t.ground = inks, 0
	t.all = t.all[:0]
	for k := range inks {
		if inks[k].count > inks[t.ground].count {
			t.ground = k
		}
		t.all = append(t.all, uint8(k))
	}
}
