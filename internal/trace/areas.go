package trace

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
)

// radii are how far apart colours may look and still be one, the first for
// pictures as they were painted: rounding moves a colour by less. The last joins
// what a gradient has between two steps that one tells apart.
var radii = []float64{1.5, 2.5, 4, 6, 8, 10, 14}

// begin says how closely a picture is looked at, by where it is from.
func (t *tracer) begin(whole *picture) {
	t.whole = geometry.Scale(float64(whole.w)/float64(t.pic.w), float64(whole.h)/float64(t.pic.h))
	t.flatness, t.off2, t.alike, t.strange, t.clear, t.noise = 2, 8*8, radii[0], 6, 0.02, 0.1
	t.leastFlat, t.leastThin, t.leastArea, t.leastDot = 4, 8, 4, 3
	if t.noisy {
		t.flatness, t.binShift, t.off2, t.alike = 14, 2, 26*26, 8
		t.strange = 12
		t.clear, t.noise = 0.1, 0.16
		t.leastFlat, t.leastThin, t.leastArea = 16, 16, 12
	}
	how := blend
	if t.noisy {
		how = blendLossy
	}
	t.blend, t.overshoot = func(p, a, b rgba) (share, off2 float64) { return how(p, a, b, t.past) }, t.pic.overshoot()
	if t.scanned {
		// What is left of the grain makes patches of some pixels along edges.
		t.leastFlat, t.leastArea, t.leastDot, t.noise = 40, 24, 12, 0.25
	}
}

// flats returns the inks that have flat areas, and whether there are so many
// that they are only the tones of a photograph.
func (t *tracer) flats(ctx context.Context, flat, squares []bool) (inks []ink, photo bool, err error) {
	if t.noisy {
		// What is even to the last bit is no noise: so shades that look alike are told
		// apart by what is far from edges, and others only by what is unlike these.
		even, err := t.pic.flat(ctx, 1)
		if err != nil {
			return nil, false, err
		}
		inks, _ = clustered(nil, t.binned(even, 0), evenAlike, 0, evenBright, t.leastFlat, most/2)
		if inks, err = t.patches(ctx, inks); err != nil {
			return nil, false, err
		}
	}
	patchy, bright := 0.0, 0.0
	if t.noisy {
		patchy, bright = t.alike, brightAlike
	}
	list := t.binned(flat, t.binShift)
	if len(t.pic.pix) < 64 { // of a few pixels each counts
		t.leastFlat = 1
	}
	for _, alike := range radii {
		if alike < t.alike {
			continue
		}
		if all, ok := clustered(inks, list, alike, patchy, bright, t.leastFlat, most/2); ok {
			more, _ := clustered(all, t.binned(squares, 0), math.Max(alike, 4), 0, 0, t.leastFlat, most)
			for _, k := range more[len(all):] {
				if !isBlend(k.c, more) {
					all = append(all, k)
				}
			}
			t.gathered = alike
			return all, false, nil
		}
	}
	list = list[:min(len(list), 4000)]
	for alike := 12.0; ; alike += 3 { // at 200 all are one
		if all, ok := clustered(nil, list, alike, 0, 0, t.leastFlat, most/2); ok {
			return all, true, nil
		}
	}
}

// brightAlike is how much the brightness may differ of what is only tinted, and
// evenBright that of what is even: an edge leaves its tint in the blocks beside it,
// but its brightness in none that is even.
const brightAlike, evenBright = 14, 6

// evenAlike is how far apart two even areas of one colour may be in a lossy file:
// a step of its brightness and of both its colours.
const evenAlike = 2.5

// binned counts the colours of marked pixels, the most frequent first.
func (t *tracer) binned(marked []bool, shift uint8) []bin {
	b := newBins(shift)
	var last rgba
	n := 0 // how many of it follow each other
	add := func() {
		if n > 0 && last[3] > clearBelow {
			b.add(last, n)
		}
	}
	for i, c := range t.pic.pix[:len(marked)] {
		if !marked[i] {
			continue
		}
		if c != last {
			add()
			last, n = c, 0
		}
		n++
	}
	add()
	return b.sorted()
}

// clearBelow: what is hardly there is not there.
const clearBelow = 12

// opaque: what is nearly there is there.
const opaque = 250

// The colour of a patch is the mean of its pixels, in which what a lossy file does to
// each cancels out: so shades are told apart that pixels alone could not tell.
const (
	// quiet is how much neighbours in a patch may differ: less than two shades that
	// are told apart do across an edge that is smoothed.
	quiet = 4
	// leastMean is how many pixels have a mean worth believing: two thirds of a
	// block of eight by eight.
	leastMean = 40
	// shade is how far apart the means of two colours look at least. Of JPEG 80 nine
	// in ten means of drawn areas lie within 0.8 of what was drawn.
	shade = 3
)

// patches adds the colours of what hangs together to inks that are unlike them: of quiet
// pixels first, then of those in the middle of areas, for in small ones few are quiet.
func (t *tracer) patches(ctx context.Context, inks []ink) ([]ink, error) {
	for _, within := range [2]int{quiet, t.flatness} {
		is, err := t.pic.flat(ctx, within)
		if err != nil {
			return nil, err
		}
		for _, b := range t.hanging(is) {
			if b.count < leastMean || len(inks) >= most/2 {
				break
			}
			k := newInk(b.mean(), b.count)
			if !slices.ContainsFunc(inks, func(o ink) bool { return unlike(&k, &o) < shade || t.strayed(k.c, o.c) }) {
				inks = append(inks, k)
			}
		}
	}
	return inks, nil
}

// strayed reports whether two colours differ in tint alone, and by no more than a
// lossy file leaves in lines and other thin parts of one colour. Scans are saved with
// steps that are half as large again.
func (t *tracer) strayed(a, b rgba) bool {
	most := 10.0
	if t.scanned {
		most = 15
	}
	y, cb, cr := difference(a, b)
	return math.Abs(y) < 3 && math.Hypot(cb, cr) < most
}

// hanging returns what hangs together of marked pixels, the largest first. It takes
// the marks away.
func (t *tracer) hanging(marked []bool) (list []bin) {
	w := t.pic.w
	var stack []int
	for i := range marked {
		if !marked[i] || t.pic.pix[i][3] <= clearBelow {
			continue
		}
		var b bin
		marked[i] = false
		for stack = append(stack, i); len(stack) > 0; {
			j := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for c, v := range t.pic.pix[j] {
				b.sum[c] += int(v)
			}
			b.count++
			for _, n := range [4]struct {
				to int
				is bool
			}{{j - 1, j%w > 0}, {j + 1, j%w < w-1}, {j - w, j >= w}, {j + w, j+w < len(marked)}} {
				if n.is && marked[n.to] {
					marked[n.to] = false
					stack = append(stack, n.to)
				}
			}
		}
		list = append(list, b)
	}
	slices.SortStableFunc(list, func(x, y bin) int { return cmp.Compare(y.count, x.count) })
	return list
}
