package trace

import (
	"cmp"
	"context"
	"math"
	"slices"
)

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
		t.leastDot *= 2
	}
}

// fringes gives back regions of a lossy picture that are nowhere three pixels wide, of a
// scan, which is blurred, five, and that the inks on both sides explain as well: along an
// edge colour lags behind brightness, and what is between looks like a third ink.
func (t *tracer) fringes(ctx context.Context) error {
	count, err := t.narrow(ctx)
	if err != nil {
		return err
	}
	to := map[int32]uint8{}
	polled := 0
	for i, id := range t.of {
		n := &count[id]
		if n.deep || t.labels[i] == bare {
			continue
		}
		if polled++; polled&0xfff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		n.all++
		if k := t.elsewise(i); k != none {
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

// fringe counts the pixels of a region that may be one.
type fringe struct {
	deep           bool // it is too wide
	all, explained int
}

// narrow returns for each region whether it is too wide for a fringe.
func (t *tracer) narrow(ctx context.Context) ([]fringe, error) {
	depth := t.depths()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	count := make([]fringe, len(t.list))
	within := uint8(0)
	if t.scanned {
		within = 1
	}
	for i, id := range t.of {
		count[id].deep = count[id].deep || depth[i] > within
	}
	return count, nil
}

// elsewise explains a pixel by two inks around it other than its own; none where these do not.
func (t *tracer) elsewise(i int) uint8 {
	var room [16]uint8
	own := t.labels[i]
	set := slices.DeleteFunc(t.around(i%t.pic.w, i/t.pic.w, room[:0]), func(k uint8) bool { return k == own })
	if len(set) < 2 {
		return none
	}
	return t.explain(t.pic.pix[i], set, set, t.off2)
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
	most := least
	if t.noisy {
		most = max(least, twoBlocks)
	}
	if !slices.ContainsFunc(t.list, func(r region) bool { return r.area < most }) {
		return nil
	}
	for n, pixels := range t.smaller(most) {
		if n&0xfff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		own := t.labels[pixels[0]]
		best := t.longestBorder(pixels)
		if best == own { // it is all there is, or another speck of its ink grew around it
			continue
		}
		speck := len(pixels) < least
		if !speck && !t.ringing(own, best) || speck && t.isDot(pixels, best) {
			continue
		}
		for _, i := range pixels {
			t.labels[i] = best
		}
		if speck && t.ofInk(pixels, own) && !t.ramp(int(pixels[0])) {
			t.specks++
		}
	}
	return t.regions(ctx)
}

// isDot reports whether a small region was drawn, as the dot of a letter: all around it is one
// ink, much lighter or darker, and there is so much of its own in it and around it as is in a
// region that is kept in a picture as it was painted. What edges leave lies between two inks,
// and what a lossy file leaves is faint.
func (t *tracer) isDot(pixels []int32, ground uint8) bool {
	ink := t.labels[pixels[0]]
	if ink == bare || ground == bare || math.Abs(t.contrast(int(ink), int(ground))) < plainContrast {
		return false
	}
	counted, sum, alone := map[int32]bool{}, 0.0, true
	for _, i := range pixels {
		t.each(i, 1, func(j int32) {
			if k := t.labels[j]; k != ink && k != ground {
				alone = false
			}
			if !counted[j] {
				counted[j] = true
				share, _ := t.blend(t.pic.pix[j], t.inks[ground].c, t.inks[ink].c)
				sum += share
			}
		})
	}
	return alone && sum >= t.leastDot
}

// smaller returns the pixels of regions that have fewer than most, the smallest region first.
func (t *tracer) smaller(most int) [][]int32 {
	pixels := make([][]int32, len(t.list))
	for i, id := range t.of {
		if t.list[id].area < most {
			pixels[id] = append(pixels[id], int32(i))
		}
	}
	pixels = slices.DeleteFunc(pixels, func(p []int32) bool { return p == nil })
	slices.SortStableFunc(pixels, func(a, b []int32) int { return cmp.Compare(len(a), len(b)) })
	return pixels
}

// longestBorder returns the ink that a region has the longest border with, its own where it
// has none.
func (t *tracer) longestBorder(pixels []int32) uint8 {
	w, h := t.pic.w, t.pic.h
	var border [256]int
	own := t.labels[pixels[0]]
	for _, i := range pixels {
		x, y := int(i)%w, int(i)/w
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			if u, v := x+d[0], y+d[1]; u >= 0 && v >= 0 && u < w && v < h && t.labels[v*w+u] != own {
				border[t.labels[v*w+u]]++
			}
		}
	}
	best := own
	for k, n := range border {
		if n > border[best] {
			best = uint8(k)
		}
	}
	return best
}

// ofInk reports whether most pixels have the colour of an ink, and are no blends.
func (t *tracer) ofInk(pixels []int32, ink uint8) bool {
	alike := 0
	for _, i := range pixels {
		if float64(distance2(t.pic.pix[i], t.inks[ink].c)) <= t.off2 {
			alike++
		}
	}
	return 2*alike > len(pixels)
}
