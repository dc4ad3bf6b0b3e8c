package trace

import (
	"cmp"
	"context"
	"slices"
)

// region is what hangs together of one ink, corners that touch included: a thin
// slanting line does no more than that.
type region struct {
	label uint8
	area  int
	// first is the pixel of it that is read first.
	first int32
}

// regions divides the picture.
func (t *tracer) regions(ctx context.Context) error {
	w, h := t.pic.w, t.pic.h
	if t.of == nil {
		t.of = make([]int32, len(t.labels))
	}
	for i := range t.of {
		t.of[i] = -1
	}
	t.list = t.list[:0]
	var stack []int32
	for i := range t.of {
		if t.of[i] >= 0 {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		id, k := int32(len(t.list)), t.labels[i]
		r := region{label: k, first: int32(i)}
		t.of[i] = id
		stack = append(stack[:0], int32(i))
		for len(stack) > 0 {
			j := int(stack[len(stack)-1])
			stack = stack[:len(stack)-1]
			r.area++
			x, y := j%w, j/w
			for v := max(y-1, 0); v <= min(y+1, h-1); v++ {
				for u := max(x-1, 0); u <= min(x+1, w-1); u++ {
					if n := v*w + u; t.of[n] < 0 && t.labels[n] == k {
						t.of[n] = id
						stack = append(stack, int32(n))
					}
				}
			}
		}
		t.list = append(t.list, r)
	}
	return nil
}

// mostRegions is how many regions there may be: past it, as in noise, specks are
// larger. Nobody lays together a thousandth of them.
const mostRegions = 20_000

// clean gives regions of fewer pixels than least to the neighbour that they have
// the longest border with, the smallest first, and counts those that were no
// blends: a person may miss them.
func (t *tracer) clean(ctx context.Context, least int) error {
	if err := t.regions(ctx); err != nil {
		return err
	}
	if t.noisy {
		if err := t.fringes(ctx); err != nil {
			return err
		}
	}
	for {
		if err := t.merge(ctx, least); err != nil {
			return err
		}
		if len(t.list) <= mostRegions {
			return nil
		}
		least *= 2
	}
}

// fringes gives back regions of a lossy picture that are nowhere three pixels wide
// and that the inks on both sides explain as well: along an edge colour lags behind
// brightness, and what is between looks like a third ink.
func (t *tracer) fringes(ctx context.Context) error {
	depth := t.depths()
	if err := ctx.Err(); err != nil {
		return err
	}
	type tally struct {
		deep           bool
		all, explained int
	}
	count := make([]tally, len(t.list))
	for i, id := range t.of {
		count[id].deep = count[id].deep || depth[i] > 0
	}
	to := map[int32]uint8{}
	for i, id := range t.of {
		n := &count[id]
		if n.deep || t.labels[i] == bare {
			continue
		}
		if n.all++; n.all&0xfff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		var room [16]uint8
		own := t.labels[i]
		set := slices.DeleteFunc(t.around(i%t.pic.w, i/t.pic.w, room[:0]), func(k uint8) bool { return k == own })
		if len(set) < 2 {
			continue
		}
		if k := t.explain(t.pic.pix[i], set, set, t.off2); k != none {
			n.explained++
			to[int32(i)] = k
		}
	}
	changed := false
	for i, id := range t.of {
		if n := count[id]; n.deep || 10*n.explained < 7*n.all {
			continue
		}
		if k, ok := to[int32(i)]; ok {
			t.labels[i], changed = k, true
		}
	}
	if !changed {
		return nil
	}
	return t.regions(ctx)
}

func (t *tracer) merge(ctx context.Context, least int) error {
	w, h := t.pic.w, t.pic.h
	pixels := make([][]int32, len(t.list))
	for i, id := range t.of {
		if t.list[id].area < least {
			pixels[id] = append(pixels[id], int32(i))
		}
	}
	var small []int
	for id := range pixels {
		if pixels[id] != nil {
			small = append(small, id)
		}
	}
	if len(small) == 0 {
		return nil
	}
	slices.SortStableFunc(small, func(a, b int) int { return cmp.Compare(t.list[a].area, t.list[b].area) })
	for n, id := range small {
		if n&0xfff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		var border [256]int
		own := t.labels[pixels[id][0]]
		alike := 0
		for _, i := range pixels[id] {
			x, y := int(i)%w, int(i)/w
			for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				if u, v := x+d[0], y+d[1]; u >= 0 && v >= 0 && u < w && v < h && t.labels[v*w+u] != own {
					border[t.labels[v*w+u]]++
				}
			}
			if float64(distance2(t.pic.pix[i], t.inks[own].c)) <= t.off2 {
				alike++
			}
		}
		best := own
		for k, n := range border {
			if n > border[best] {
				best = uint8(k)
			}
		}
		if best == own { // it is all there is, or another speck of its ink grew around it
			continue
		}
		for _, i := range pixels[id] {
			t.labels[i] = best
		}
		if 2*alike > len(pixels[id]) && !t.ramp(int(pixels[id][0])) {
			t.specks++
		}
	}
	return t.regions(ctx)
}
