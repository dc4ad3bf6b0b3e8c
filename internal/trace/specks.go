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

// span is a part of a row that has one label.
type span struct {
	from, to int32 // to is the pixel after the last
	// root leads to the span that stands for all that hangs together.
	root int32
}

// regions divides the picture: spans of rows are joined with those above that they
// touch, corners included.
func (t *tracer) regions(ctx context.Context) error {
	w, h := t.pic.w, t.pic.h
	if t.of == nil {
		t.of = make([]int32, len(t.labels))
	}
	var spans []span
	root := func(k int32) int32 {
		for spans[k].root != k {
			spans[k].root = spans[spans[k].root].root
			k = spans[k].root
		}
		return k
	}
	above := 0 // where the spans of the row above begin
	for y := range h {
		if y&63 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		row := len(spans)
		for i := y * w; i < (y+1)*w; {
			j, k := i+1, t.labels[i]
			for j < (y+1)*w && t.labels[j] == k {
				j++
			}
			spans = append(spans, span{int32(i), int32(j), int32(len(spans))})
			i = j
		}
		up := above
		for k := row; k < len(spans); k++ {
			from, to := spans[k].from-int32(w)-1, spans[k].to-int32(w)+1
			for up < row && spans[up].to <= from {
				up++
			}
			for a := up; a < row && spans[a].from < to; a++ {
				if t.labels[spans[a].from] != t.labels[spans[k].from] {
					continue
				}
				// The first stands for all: so numbers follow the order of reading.
				if p, q := root(int32(a)), root(int32(k)); p < q {
					spans[q].root = p
				} else {
					spans[p].root = q
				}
			}
		}
		above = row
	}
	t.list = t.list[:0]
	id := make([]int32, len(spans))
	for k, s := range spans {
		r := root(int32(k))
		if int(r) == k {
			id[k] = int32(len(t.list))
			t.list = append(t.list, region{label: t.labels[s.from], first: s.from})
		}
		n := id[r]
		t.list[n].area += int(s.to - s.from)
		for i := s.from; i < s.to; i++ {
			t.of[i] = n
		}
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

// fringes gives back regions of a lossy picture that are nowhere three pixels wide, of a
// scan, which is blurred, five, and that the inks on both sides explain as well: along an
// edge colour lags behind brightness, and what is between looks like a third ink.
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
	within := uint8(0)
	if t.scanned {
		within = 1
	}
	for i, id := range t.of {
		count[id].deep = count[id].deep || depth[i] > within
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

const (
	// twoBlocks is how many pixels a region of a lossy picture has that may be ringing: two
	// blocks of eight by eight, in which an edge leaves traces (ITU-T T.81).
	twoBlocks = 128
	// faint is how far apart (ΔE 2000) what rings may look from what it lies in.
	faint = 6
)

// ringing reports whether regions of an ink, beside another one, are the traces of an edge in
// a lossy picture when they are small.
func (t *tracer) ringing(ink, beside uint8) bool {
	return t.noisy && ink != bare && beside != bare && t.inks[ink].c.onWhite().DeltaE(t.inks[beside].c.onWhite()) <= faint
}

// merge gives regions to their neighbours: of fewer pixels than least, or of ringing.
func (t *tracer) merge(ctx context.Context, least int) error {
	w, h := t.pic.w, t.pic.h
	most := least
	if t.noisy {
		most = max(least, twoBlocks)
	}
	if !slices.ContainsFunc(t.list, func(r region) bool { return r.area < most }) {
		return nil
	}
	pixels := make([][]int32, len(t.list))
	for i, id := range t.of {
		if t.list[id].area < most {
			pixels[id] = append(pixels[id], int32(i))
		}
	}
	var small []int
	for id := range pixels {
		if pixels[id] != nil {
			small = append(small, id)
		}
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
		if t.list[id].area >= least && !t.ringing(own, best) {
			continue
		}
		if best == own { // it is all there is, or another speck of its ink grew around it
			continue
		}
		for _, i := range pixels[id] {
			t.labels[i] = best
		}
		if 2*alike > len(pixels[id]) && t.list[id].area < least && !t.ramp(int(pixels[id][0])) {
			t.specks++
		}
	}
	return t.regions(ctx)
}
