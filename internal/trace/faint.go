package trace

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/parallel"
)

// A line narrower than a pixel, or a dot of a few, has no pixel that is more than half its own, so
// each goes to what is around it: the whole would go without a word. What hangs together of pixels
// that are unlike their ink, and that no other ink beside them explains, is such a thing. It gets
// the ink that it is a paler blend of, or one of its own.

const (
	// leastShare is how much of an ink there is at least where a thing of it shows most.
	leastShare = 0.25
	// onRidge is how much of the most around it a pixel of a thin thing has.
	onRidge = 0.5
	// rounds is how often thin parts go on by as far as inks are looked for.
	rounds = 3
	// reaches is how many pixels from an edge a lossy file leaves its traces: one block.
	reaches = 8
	// leastPart is how many pixels' worth of ink there is at least in a thin part that is no tip
	// of something broader.
	leastPart = 1.5
)

// faintThing is what hangs together of pixels that are unlike the ink they went to.
type faintThing struct {
	pixels []int32
	ground uint8
	// peak is the colour of the tenth of it that is most unlike its ground, worth how many
	// pixels of that colour there are in all of it.
	peak  rgba
	worth float64
}

// faint finds what would vanish and labels it.
func (t *tracer) faint(ctx context.Context) error {
	open := t.unlike()
	if err := t.ridges(ctx, slices.Clone(open)); err != nil {
		return err
	}
	list, err := t.faintThings(ctx, open)
	if err != nil || len(list) == 0 {
		return err
	}
	left := slices.DeleteFunc(list, func(f faintThing) bool {
		k := t.faintInk(&f)
		if k != none {
			t.restore(&f, k)
		}
		return k != none
	})
	for len(left) > 0 && len(t.inks) < most && (t.limit == 0 || len(t.inks) <= t.limit) {
		c := t.mostOf(left)
		if c.count < t.leastThin {
			break
		}
		k := uint8(len(t.inks))
		t.take(append(t.inks, c))
		left = slices.DeleteFunc(left, func(f faintThing) bool {
			o := newInk(f.peak, 0)
			if unlike(&c, &o) > t.strange && t.faintInk(&f) != k {
				return false
			}
			t.restore(&f, k)
			return true
		})
	}
	for _, f := range left {
		t.unkept = append(t.unkept, f.pixels...)
	}
	return nil
}

// mostTried is how many colours are asked how much looks like them, those of which there is most: in a dithered picture
// there are as many as dots.
const mostTried = 64

// mostOf returns the colour that the most of some things is worth, and how many pixels that is.
func (t *tracer) mostOf(list []faintThing) (best ink) {
	type of struct {
		ground uint8
		peak   rgba
	}
	at := map[of]int{}
	var grounds []uint8
	var inks []ink
	var worth []float64
	for i := range list {
		key := of{list[i].ground, list[i].peak}
		n, known := at[key]
		if !known {
			n = len(inks)
			at[key] = n
			grounds, inks, worth = append(grounds, key.ground), append(inks, newInk(key.peak, 0)), append(worth, 0)
		}
		worth[n] += list[i].worth
	}
	tried := make([]int, len(inks))
	for i := range tried {
		tried[i] = i
	}
	slices.SortStableFunc(tried, func(a, b int) int { return cmp.Compare(worth[b], worth[a]) })
	for _, i := range tried[:min(mostTried, len(tried))] {
		sum := 0.0
		for j := range inks {
			if grounds[j] == grounds[i] && unlike(&inks[i], &inks[j]) <= t.strange {
				sum += worth[j]
			}
		}
		if int(sum) > best.count {
			best = inks[i]
			best.count = int(sum)
		}
	}
	return best
}

// unlike returns the pixels that are unlike the ink they went to.
func (t *tracer) unlike() (open []int32) {
	var last rgba
	own, near := uint8(none), false
	for i, c := range t.pic.pix {
		if k := t.labels[i]; c != last || k != own {
			last, own = c, k
			near = k == bare || float64(distance2(c, t.inks[k].c)) <= t.off2
		}
		if !near {
			open = append(open, int32(i))
		}
	}
	return open
}

// faintThings returns what may vanish of some pixels, that of the most worth first.
func (t *tracer) faintThings(ctx context.Context, open []int32) (list []faintThing, _ error) {
	stray := make([]bool, len(t.labels))
	grounds := t.beneath()
	err := parallel.Ranges(ctx, len(open), 4096, func(_, lo, hi int) error {
		for n, i := range open[lo:hi] {
			if n&0xfff == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			stray[i] = float64(distance2(t.pic.pix[i], t.inks[t.labels[i]].c)) > t.off2 && !t.explained(int(i), grounds)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, i := range open {
		if !stray[i] {
			continue
		}
		f := faintThing{ground: t.labels[i], pixels: []int32{i}}
		stray[i] = false
		for n := 0; n < len(f.pixels); n++ {
			t.each(f.pixels[n], 1, func(j int32) {
				if stray[j] && t.labels[j] == f.ground {
					stray[j] = false
					f.pixels = append(f.pixels, j)
				}
			})
		}
		if t.shows(&f) {
			list = append(list, f)
		}
	}
	slices.SortStableFunc(list, func(a, b faintThing) int { return cmp.Compare(b.worth, a.worth) })
	return list, nil
}

// explained reports whether a pixel is what it is for the inks of other pixels near it, and for what
// shines through between these.
func (t *tracer) explained(i int, grounds []rgba) bool {
	var room [16]uint8
	set := t.around(i%t.pic.w, i/t.pic.w, room[:0])
	return len(set) > 1 && t.explain(t.pic.pix[i], set, set, t.off2) != none || len(set) > 2 && t.among(i) != none ||
		t.leaks(i, none, grounds) || t.atRim(i) && t.fades(i, none, grounds)
}

// echoes reports whether a thing is what an edge near it left: its pixels differ from their ground
// as what is on the other side does, or the other way, by little.
func (t *tracer) echoes(f *faintThing) bool {
	const most = 0.25
	var other [256]int
	alone := 0
	for _, i := range f.pixels {
		var room [16]uint8
		if len(t.around(int(i)%t.pic.w, int(i)/t.pic.w, room[:0])) == 1 {
			alone++
		}
		for _, k := range t.labelsWithin(int(i)%t.pic.w, int(i)/t.pic.w, reaches, room[:0]) {
			if k == f.ground || k == bare {
				continue
			}
			share, off2 := blend(t.pic.pix[i], t.inks[f.ground].c, t.inks[k].c, 0.5)
			if off2 > t.off2 { // a tint may lag behind it
				share, off2 = t.blend(t.pic.pix[i], t.inks[f.ground].c, t.inks[k].c)
			}
			if share <= most && off2 <= t.off2 {
				other[k]++
			}
		}
	}
	return 2*alone < len(f.pixels) || 10*slices.Max(other[:]) >= 7*len(f.pixels)
}

// shows finds what colour a thing has and how much it is worth; false where it is too little to
// be told from what a file leaves.
func (t *tracer) shows(f *faintThing) bool {
	if len(f.pixels) < int(t.leastDot) {
		return false
	}
	g := t.inks[f.ground]
	off := func(i int32) float64 { return math.Sqrt(float64(distance2(t.pic.pix[i], g.c))) }
	slices.SortFunc(f.pixels, func(a, b int32) int { return cmp.Or(cmp.Compare(off(b), off(a)), cmp.Compare(a, b)) })
	var b bin
	for _, i := range f.pixels[:1+len(f.pixels)/10] {
		for c, v := range t.pic.pix[i] {
			b.sum[c] += int(v)
		}
		b.count++
	}
	f.peak = b.mean()
	k := newInk(f.peak, 0)
	if unlike(&k, &g) <= t.strange {
		return false
	}
	most := math.Sqrt(float64(distance2(f.peak, g.c)))
	for _, i := range f.pixels {
		f.worth += math.Min(1, off(i)/most)
	}
	return f.worth >= t.leastDot && !t.echoes(f)
}

// faintInk returns the ink that a thing has less of than its ground has, none where it has a
// colour of its own. One that lies beside it goes first, as that of the rest of a word does.
func (t *tracer) faintInk(f *faintThing) uint8 {
	var beside [256]bool
	for _, i := range f.pixels {
		var room [16]uint8
		for _, k := range t.labelsWithin(int(i)%t.pic.w, int(i)/t.pic.w, reaches, room[:0]) {
			beside[k] = true
		}
	}
	best, at := t.off2, uint8(none)
	for k := range t.inks {
		if k == bare || k == int(f.ground) {
			continue
		}
		share, _ := t.blend(f.peak, t.inks[f.ground].c, t.inks[k].c)
		if share < leastShare {
			continue
		}
		sum := 0.0
		for _, i := range f.pixels {
			_, off2 := t.blend(t.pic.pix[i], t.inks[f.ground].c, t.inks[k].c)
			sum += off2
		}
		sum /= float64(len(f.pixels))
		if first := at != none && beside[k] && !beside[at]; sum < t.off2 && first || sum < best && (at == none || beside[k] == beside[at]) {
			best, at = sum, uint8(k)
		}
	}
	return at
}

// restore labels what has about as much of an ink as the most around it.
func (t *tracer) restore(f *faintThing, ink uint8) {
	g, k := t.inks[f.ground].c, t.inks[ink].c
	is := map[int32]float64{}
	for _, i := range f.pixels {
		is[i], _ = t.blend(t.pic.pix[i], g, k)
	}
	for _, i := range f.pixels {
		most := 0.0
		t.each(i, 1, func(j int32) { most = math.Max(most, is[j]) })
		if is[i] >= onRidge*most {
			t.labels[i] = ink
		}
	}
}

// ridges gives the thin parts of letters and lines, where less than half of each pixel is theirs, to
// the ink of the rest: there is more of it than on either side of them.
func (t *tracer) ridges(ctx context.Context, open []int32) error {
	found := make([]uint8, len(t.labels))
	for i := range found {
		found[i] = none
	}
	for range rounds {
		err := parallel.Ranges(ctx, len(open), 4096, func(_, lo, hi int) error {
			for n, i := range open[lo:hi] {
				if n&0xfff == 0 && ctx.Err() != nil {
					return ctx.Err()
				}
				found[i] = t.ridge(int(i)%t.pic.w, int(i)/t.pic.w)
			}
			return nil
		})
		if err != nil {
			return err
		}
		was := len(open)
		if open = t.settled(open, found); len(open) == was {
			break
		}
	}
	return nil
}

// settled labels the parts of what was found that are thin, and returns the pixels that are left.
func (t *tracer) settled(open []int32, found []uint8) []int32 {
	parts := make([][]int32, len(t.inks))
	for _, i := range open {
		k := found[i]
		if k == none {
			continue
		}
		part := t.together(found, i)
		if t.bridges(part, k) || t.worthOf(part, k) >= leastPart {
			parts[k] = append(parts[k], part...)
		}
	}
	known := map[int32]bool{}
	for k, part := range parts {
		for _, i := range part {
			t.labels[i] = uint8(k)
			known[i] = true
		}
	}
	return slices.DeleteFunc(open, func(i int32) bool { return known[i] })
}

// together returns the pixels that hang together with one for which the same ink was found, and takes
// them out of what was found.
func (t *tracer) together(found []uint8, first int32) []int32 {
	k := found[first]
	found[first] = none
	part := []int32{first}
	for n := 0; n < len(part); n++ {
		t.each(part[n], 1, func(j int32) {
			if found[j] == k {
				found[j] = none
				part = append(part, j)
			}
		})
	}
	return part
}

// worthOf returns how many pixels' worth of an ink there is in some.
func (t *tracer) worthOf(pixels []int32, ink uint8) (sum float64) {
	for _, i := range pixels {
		share, _ := t.blend(t.pic.pix[i], t.inks[t.labels[i]].c, t.inks[ink].c)
		sum += share
	}
	return sum
}

// bridges reports whether what is known of an ink lies on two sides of some pixels: so they are no
// tip of it.
func (t *tracer) bridges(part []int32, ink uint8) bool {
	var ends []int32
	for _, i := range part {
		t.each(i, 1, func(j int32) {
			if t.labels[j] == ink && !slices.Contains(ends, j) {
				ends = append(ends, j)
			}
		})
	}
	if len(ends) == 0 {
		return false
	}
	side := ends[:1:1]
	for n := 0; n < len(side); n++ {
		t.each(side[n], 1, func(j int32) {
			if slices.Contains(ends, j) && !slices.Contains(side, j) {
				side = append(side, j)
			}
		})
	}
	return len(side) < len(ends)
}

// ridge returns the ink near a pixel that explains it best and of which it has more than the pixels on
// both sides, or is one of two such beside each other; none where there is none, or where it is of
// something broad.
func (t *tracer) ridge(x, y int) uint8 {
	var room [16]uint8
	i := y*t.pic.w + x
	own := t.labels[i]
	best, at := t.off2, uint8(none)
	for _, k := range t.around(x, y, room[:0]) {
		if k == own || k == bare || t.noisy && math.Abs(t.contrast(int(k), int(own))) < plainContrast {
			continue // a file may have left the tint of what is near
		}
		share, off2 := t.blend(t.pic.pix[i], t.inks[own].c, t.inks[k].c)
		if share >= leastShare && off2 <= best && t.isCrest(x, y, own, k) && !t.isBroadNear(x, y, k) {
			best, at = off2, k
		}
	}
	return at
}

// isCrest reports whether a pixel has clearly more of an ink than those on both sides have in some
// direction, or is one of two such beside each other, all of them being of that ink and one other.
func (t *tracer) isCrest(x, y int, own, ink uint8) bool {
	const clear = 0.1
	share := func(u, v int) float64 {
		if u < 0 || v < 0 || u >= t.pic.w || v >= t.pic.h {
			return 1
		}
		j := v*t.pic.w + u
		if l := t.labels[j]; l != own && l != ink { // the edge of something else
			return 1
		}
		s, _ := t.blend(t.pic.pix[j], t.inks[own].c, t.inks[ink].c)
		return s
	}
	here := share(x, y)
	for _, d := range facing {
		before, after := share(x-d[0], y-d[1]), share(x+d[0], y+d[1])
		if before > after { // a second one as good may lie on one side
			d = [2]int{-d[0], -d[1]}
			before, after = after, before
		}
		if before > here-clear {
			continue
		}
		if after <= here-clear || math.Abs(after-here) < clear && share(x+2*d[0], y+2*d[1]) <= here-clear {
			return true
		}
	}
	return false
}

// isBroadNear reports whether three by three pixels near one are of an ink.
func (t *tracer) isBroadNear(x, y int, ink uint8) bool {
	w, h := t.pic.w, t.pic.h
	for v := max(y-near, 1); v <= min(y+near, h-2); v++ {
		for u := max(x-near, 1); u <= min(x+near, w-2); u++ {
			i := v*w + u
			all := true
			for _, j := range [9]int{i, i - 1, i + 1, i - w, i + w, i - w - 1, i - w + 1, i + w - 1, i + w + 1} {
				all = all && t.labels[j] == ink
			}
			if all {
				return true
			}
		}
	}
	return false
}

// vanished notes what is left of things that show and have no pixel of their own: how many there are,
// and where the one that is worth most lies. was are the labels before specks were given away.
func (t *tracer) vanished(ctx context.Context, was []uint8) error {
	open := slices.Clone(t.unkept)
	for i, k := range t.labels {
		if k != was[i] && k != bare {
			open = append(open, int32(i))
		}
	}
	list, err := t.faintThings(ctx, open)
	if t.noisy { // tints come from the file more often than from whoever drew
		list = slices.DeleteFunc(list, func(f faintThing) bool {
			y, _, _ := difference(f.peak, t.inks[f.ground].c)
			return math.Abs(y) < plainContrast/2
		})
	}
	if err != nil || len(list) == 0 {
		return err
	}
	i := int(list[0].pixels[0])
	t.lost = len(list)
	t.lostAt = t.whole.Apply(geometry.Pt(float64(i%t.pic.w)+0.5, float64(i/t.pic.w)+0.5))
	return nil
}
