package trace

import (
	"context"
	"slices"
)

// deepest is how far from its edges the colour of an area is looked for: a lossy
// file spoils the block of eight pixels that an edge runs through, twice that for
// its tint.
const deepest = 12

// enough is how many pixels say what colour an ink is.
const enough = 24

// refine sets each ink to the middle of the colours of its pixels that are farthest
// from other inks: those near edges have been spoilt, and not evenly to both sides.
func (t *tracer) refine(ctx context.Context) error {
	depth := t.depths()
	if err := ctx.Err(); err != nil {
		return err
	}
	count := make([][deepest + 1]int, len(t.inks))
	for i, k := range t.labels {
		count[k][depth[i]]++
	}
	least := make([]uint8, len(t.inks))
	pixels := make([][4][]uint8, len(t.inks))
	for k := range t.inks {
		n, d := 0, deepest
		for ; d > 0; d-- {
			if n += count[k][d]; n >= enough {
				break
			}
		}
		least[k] = uint8(d)
	}
	for i, k := range t.labels {
		if k == bare || depth[i] < least[k] {
			continue
		}
		for c, v := range t.pic.pix[i] {
			pixels[k][c] = append(pixels[k][c], v)
		}
	}
	for k := range t.inks {
		n := len(pixels[k][0])
		if n < enough {
			continue
		}
		var c rgba
		for j := range c {
			slices.Sort(pixels[k][j])
			c[j] = pixels[k][j][n/2]
		}
		t.inks[k] = newInk(c, t.inks[k].count)
	}
	return nil
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
