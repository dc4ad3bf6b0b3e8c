package trace

import (
	"context"
	"math"
)

// deepest is how far from its edges the colour of an area is looked for: a lossy
// file spoils the block of eight pixels that an edge runs through, twice that for
// its tint.
const deepest = 12

// enough is how many pixels say what colour an ink is.
const enough = 24

// refine sets each ink to the mean of its pixels but those beside other inks. What a
// lossy file does to a block cancels out over it, so all count: those farther from
// edges more, for what a lens has blurred does not.
func (t *tracer) refine(ctx context.Context) error {
	depth := t.depths()
	if err := ctx.Err(); err != nil {
		return err
	}
	type tally struct {
		n      int
		weight float64
		sum    [4]float64
	}
	all := make([]tally, len(t.inks))
	for i, k := range t.labels {
		if depth[i] == 0 {
			continue
		}
		all[k].n++
		w := float64(depth[i]+1) * float64(depth[i]+1)
		all[k].weight += w
		for c, v := range t.pic.pix[i] {
			all[k].sum[c] += w * float64(v)
		}
	}
	for k, a := range all {
		if k == bare || a.n < enough {
			continue
		}
		var c rgba
		for j := range c {
			c[j] = uint8(math.Round(a.sum[j] / a.weight))
		}
		t.inks[k] = newInk(c, a.n)
	}
	t.unite()
	return nil
}

// unite makes one of inks that one colour may have become.
func (t *tracer) unite() {
	to := make([]uint8, len(t.inks))
	for a := range t.inks {
		to[a] = uint8(a)
		for b := range t.inks[:a] {
			if a == bare || b == bare || to[a] != uint8(a) || to[b] != uint8(b) || !t.strayed(t.inks[a].c, t.inks[b].c) {
				continue
			}
			if t.inks[a].count > t.inks[b].count {
				to[b] = uint8(a)
			} else {
				to[a] = uint8(b)
			}
		}
	}
	for i, k := range t.labels {
		for to[k] != k {
			k = to[k]
		}
		t.labels[i] = k
	}
}

// depths returns how many pixels each is from the nearest of another ink, at most
// deepest, diagonals counting as one: in two sweeps.
func (t *tracer) depths() []uint8 {
	w, h := t.pic.w, t.pic.h
	out := make([]uint8, len(t.labels))
	sweep := func(i, x, y, dx, dy int) {
		d := out[i]
		for _, n := range [4][2]int{{dx, 0}, {-1, dy}, {0, dy}, {1, dy}} {
			u, v := x+n[0], y+n[1]
			if u < 0 || v < 0 || u >= w || v >= h {
				continue
			}
			if j := v*w + u; t.labels[j] != t.labels[i] {
				d = 0
			} else {
				d = min(d, out[j]+1)
			}
		}
		out[i] = d
	}
	for i := range out {
		out[i] = deepest
		sweep(i, i%w, i/w, -1, -1)
	}
	for i := len(out) - 1; i >= 0; i-- {
		sweep(i, i%w, i/w, 1, 1)
	}
	return out
}
