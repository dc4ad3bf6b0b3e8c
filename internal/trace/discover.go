package trace

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry/parallel"
)

// discover adds the ink that explains most of what is left: one that has only
// thin lines or small spots. False when there is none.
func (t *tracer) discover(ctx context.Context, open []int32) (bool, error) {
	if len(t.inks) > most || t.limit > 0 && len(t.inks) > t.limit {
		return false, nil
	}
	list, err := t.candidates(ctx, open)
	if err != nil || len(list) == 0 {
		return false, err
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(b.score, a.score) })
	list = list[:min(len(list), 24)]
	t.rate(list, open)
	best := slices.MaxFunc(list, func(a, b candidate) int { return cmp.Compare(a.score, b.score) })
	t.take(append(t.inks, best.ink))
	return true, nil
}

// candidate is a colour that may be an ink.
type candidate struct {
	ink
	// far is how far it looks from all inks.
	far, score float64
}

// candidates returns the colours of pixels that are frequent and unlike all inks. The further
// one is from these, the less of them is in it.
func (t *tracer) candidates(ctx context.Context, open []int32) (list []candidate, _ error) {
	doubtful, err := t.doubtful(ctx, open)
	if err != nil {
		return nil, err
	}
	b := newBins(4)
	for _, i := range doubtful {
		b.add(t.pic.pix[i], 1)
	}
	least := max(t.leastThin, len(t.pic.pix)/20_000, (len(doubtful)+t.overshot)/40)
	for _, x := range b.list {
		if x.count < least {
			continue
		}
		k := candidate{ink: newInk(x.mean(), x.count), far: math.Inf(1)}
		for j := range t.inks {
			k.far = math.Min(k.far, unlike(&k.ink, &t.inks[j]))
			if t.noisy && j != bare && tinted(k.c, t.inks[j].c, brightAlike) {
				k.far = 0
			}
		}
		if k.score = float64(x.count) * k.far; k.far > t.strange {
			list = append(list, k)
		}
	}
	return list, nil
}

// doubtful returns those of the pixels that no inks near them explain that are no part of an edge either.
func (t *tracer) doubtful(ctx context.Context, open []int32) (list []int32, _ error) {
	grounds := t.beneath()
	is := make([]bool, len(open))
	err := parallel.Ranges(ctx, len(open), 4096, func(_, lo, hi int) error {
		for k := lo; k < hi; k++ {
			if k&0xfff == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			i := int(open[k])
			is[k] = t.pic.pix[i][3] > clearBelow && !t.ramp(i) && !t.leaks(i, none, grounds)
		}
		return nil
	})
	for k, i := range open {
		if is[k] {
			list = append(list, i)
		}
	}
	return list, err
}

// rate sets the score of candidates to how many of some pixels each explains. A blend of a
// line with what is around it explains less than the line's own ink.
func (t *tracer) rate(list []candidate, open []int32) {
	every := 1 + len(open)/2000
	known := len(t.inks)
	for k := range list {
		t.take(append(t.inks[:known:known], list[k].ink))
		list[k].score = 0
		for n := 0; n < len(open); n += every {
			i := int(open[n])
			var room [16]uint8
			set := append(t.around(i%t.pic.w, i/t.pic.w, room[:0]), uint8(known))
			if t.explain(t.pic.pix[i], set, set, t.off2) != none {
				list[k].score++
			}
		}
		list[k].score += 1e-3 * list[k].far
	}
	t.take(t.inks[:known:known])
}

// grounds are what may lie beneath: the paper, though it be seen nowhere else,
// nothing, and each ink but one.
func (t *tracer) grounds(but int) []rgba {
	out := []rgba{{255, 255, 255, 255}, {}}
	for k := range t.inks {
		if k != but && k != bare {
			out = append(out, t.inks[k].c)
		}
	}
	return out
}

// seams takes back inks that are only what shines through where two others meet, or
// one ends at the rim: lines a pixel wide all of whose colour is explained by that.
func (t *tracer) seams(ctx context.Context) error {
	lines, all, err := t.thinLines(ctx)
	if err != nil {
		return err
	}
	leak := make([]int, len(t.inks))
	for n, i := range lines {
		if n&0xff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		k := t.labels[i]
		if grounds := t.grounds(int(k)); t.leaks(int(i), k, grounds) || t.atRim(int(i)) && t.fades(int(i), k, grounds) {
			leak[k]++
		}
	}
	return t.takeBack(ctx, slices.DeleteFunc(lines, func(i int32) bool {
		k := t.labels[i]
		return 10*leak[k] <= 7*all[k]
	}))
}

// thinLines returns the pixels of inks nearly all of which is lines a pixel wide, and how many
// pixels each ink has.
func (t *tracer) thinLines(ctx context.Context) (lines []int32, all []int, _ error) {
	all, thin := make([]int, len(t.inks)), make([]int, len(t.inks))
	for y, w := 0, t.pic.w; y < t.pic.h; y++ {
		if y&0x3f == 0 && ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		row, up := t.labels[y*w:(y+1)*w], t.labels[max(y-1, 0)*w:]
		for x := 0; x < w; {
			first, k := x, row[x]
			for ; x < w && row[x] == k; x++ {
				if x > first && y > 0 && up[x] == k && up[x-1] == k {
					continue // as most are
				}
				if !t.broad(y*w + x) {
					thin[k]++
				}
			}
			all[k] += x - first
		}
	}
	for i, k := range t.labels {
		if k != bare && 10*thin[k] > 9*all[k] {
			lines = append(lines, int32(i))
		}
	}
	return lines, all, nil
}

// takeBack gives pixels to the inks around them.
func (t *tracer) takeBack(ctx context.Context, pixels []int32) error {
	for _, i := range pixels {
		t.labels[i] = none
	}
	return t.rest(ctx, pixels)
}

// unblur takes back inks of a scan that are only what a blurred edge has on its way from
// one ink to another: there is little of them, nowhere seven pixels wide, and most of it
// is explained by what is on both sides.
func (t *tracer) unblur(ctx context.Context) error {
	const little, narrow, across = 250, 2, 4
	type tally struct {
		deep           uint8
		all, explained int
	}
	count := make([]tally, len(t.inks))
	for i, d := range t.depths() {
		n := &count[t.labels[i]]
		n.deep = max(n.deep, d)
		n.all++
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	var open []int32
	for i, k := range t.labels {
		if n := &count[k]; k != bare && n.all*little <= len(t.labels) && n.deep <= narrow {
			open = append(open, int32(i))
			var room [16]uint8
			set := t.labelsWithin(i%t.pic.w, i/t.pic.w, across, room[:0])
			set = slices.DeleteFunc(set, func(o uint8) bool { return o == k })
			if len(set) > 1 && t.explain(t.pic.pix[i], set, set, t.off2) != none {
				n.explained++
			}
		}
	}
	open = slices.DeleteFunc(open, func(i int32) bool {
		n := count[t.labels[i]]
		return 10*n.explained < 7*n.all
	})
	return t.takeBack(ctx, open)
}

// broad reports whether a pixel is one of four in a square with its label.
func (t *tracer) broad(i int) bool {
	w, h := t.pic.w, t.pic.h
	x, y, k := i%w, i/w, t.labels[i]
	for _, u := range [2]int{-1, 1} {
		if x+u < 0 || x+u >= w || t.labels[i+u] != k {
			continue
		}
		for _, v := range [2]int{-w, w} {
			if at := y + v/w; at >= 0 && at < h && t.labels[i+v] == k && t.labels[i+u+v] == k {
				return true
			}
		}
	}
	return false
}

// label finds the inks and gives each pixel one.
func (t *tracer) label(ctx context.Context) error {
	flat, err := t.findInks(ctx)
	if err != nil {
		return err
	}
	t.labels = make([]uint8, len(t.pic.pix))
	t.seed(flat)
	var open []int32
	for i, k := range t.labels {
		if k == none {
			open = append(open, int32(i))
		}
	}
	if !t.photo {
		if open, err = t.edges(ctx, open); err != nil {
			return err
		}
	}
	if err := t.rest(ctx, open); err != nil {
		return err
	}
	if err := t.seams(ctx); err != nil {
		return err
	}
	if t.noisy {
		if err := t.refine(ctx); err != nil {
			return err
		}
		if err := t.strokes(ctx); err != nil {
			return err
		}
	}
	if !t.photo && !t.scanned {
		if err := t.faint(ctx); err != nil {
			return err
		}
	}
	if !t.scanned {
		return nil
	}
	return t.unblur(ctx)
}

// findInks finds the inks that have areas, and returns the pixels in the middle of these.
func (t *tracer) findInks(ctx context.Context) (flat []bool, err error) {
	if flat, err = t.pic.flat(ctx, t.flatness); err != nil {
		return nil, err
	}
	var squares []bool
	if !t.noisy {
		if squares, err = t.pic.squares(ctx); err != nil {
			return nil, err
		}
	}
	var found []ink
	if found, t.photo, err = t.flats(ctx, flat, squares); err != nil {
		return nil, err
	}
	t.merged = t.photo
	if n := t.limit; n > 0 && len(found) > n {
		t.merged = true
		found, err = fewer(ctx, found, n)
	} else if t.photo && n == 0 {
		found, err = fewer(ctx, found, tones)
	}
	if err != nil {
		return nil, err
	}
	t.take(append([]ink{newInk(rgba{}, 0)}, found...))
	// What is even and of an ink is as good as the middle of an area.
	var last rgba
	is := t.isInk(last)
	for i := range squares {
		if flat[i] || !squares[i] {
			continue
		}
		if c := t.pic.pix[i]; c != last {
			last, is = c, t.isInk(c)
		}
		flat[i] = is
	}
	return flat, nil
}

// edges labels the pixels beside areas, then thin lines and small spots, for which it finds
// the inks, and returns those that are left.
func (t *tracer) edges(ctx context.Context, open []int32) (_ []int32, err error) {
	for _, how := range []func(int) uint8{t.between, t.pure, t.between, t.among} {
		if open, err = t.pass(ctx, open, how); err != nil {
			return nil, err
		}
	}
	if open, err = t.oversharp(ctx, open); err != nil {
		return nil, err
	}
	for range most {
		if open, err = t.pass(ctx, open, t.line); err != nil {
			return nil, err
		}
		if found, err := t.discover(ctx, open); err != nil {
			return nil, err
		} else if !found {
			break
		}
		if open, err = t.pass(ctx, open, t.pure); err != nil {
			return nil, err
		}
	}
	return open, nil
}

// oversharp labels the pixels that are explained as what sharpening left beside edges, once
// all that goes without has been, and notes how many nothing else explained: they still say
// how much there is in the picture that was never drawn.
func (t *tracer) oversharp(ctx context.Context, open []int32) (_ []int32, err error) {
	if t.overshoot == 0 {
		return open, nil
	}
	if open, err = t.pass(ctx, open, t.line); err != nil {
		return nil, err
	}
	before, err := t.doubtful(ctx, open)
	if err != nil {
		return nil, err
	}
	t.past = t.overshoot
	for _, how := range []func(int) uint8{t.between, t.line} {
		if open, err = t.pass(ctx, open, how); err != nil {
			return nil, err
		}
	}
	after, err := t.doubtful(ctx, open)
	t.overshot = len(before) - len(after)
	return open, err
}

// rest gives what is left the likeliest ink near it, what touches known pixels
// first.
func (t *tracer) rest(ctx context.Context, open []int32) (err error) {
	for len(open) > 0 {
		before := len(open)
		if open, err = t.pass(ctx, open, func(i int) uint8 {
			if !t.touches(i) {
				return none
			}
			return t.whatever(i)
		}); err != nil {
			return err
		}
		if len(open) == before {
			_, err = t.pass(ctx, open, t.whatever)
			return err
		}
	}
	return nil
}
