package trace

import "context"

// What is drawn with crayons or pencils on rough paper is full of white: traced as it is seen, a face comes out as
// thousands of crumbs of some shades. To the eye it is of one colour, paler than the pencil. So such a picture is
// made as much smaller as it takes for strokes and paper to run together.

const (
	// crumb is how many pieces of its size fill a picture, at least, of what is too small to be anything: 1.2 mm by 1.2
	// in one of 60. It has leastCrumb pixels at least: what edges leave has fewer.
	crumb, leastCrumb = 2500, 20
	// alikeBy is how far crumbs look from what is around them, ΔE 2000, at most: letters are black on white.
	alikeBy = 30
	// mostCrumbs are in a picture that is not hatched. Of 25 drawings as JPEG and 18 photographed ones there are 27 at
	// most; of what is drawn with pencils hundreds.
	mostCrumbs = 60
	// ragged is the share of their bounding boxes that half of the crumbs fill at most where strokes and paper left them:
	// with pencils and crayons it is 0.42 at most, of checks, scales, mosaics, letters, charts and most dots that are
	// photographed 0.57 at least, as these are meant; rims that dots have in a photograph are ragged, too (0.46).
	ragged = 0.5
	// mostPressed is how far two shades of one pencil look from each other, ΔE 2000, at most; leastTouching regions of
	// theirs touch, of which one is so small that smallPatch of its size fill the picture.
	mostPressed, leastTouching, smallPatch = 16.0, 6, 400
	// leastWhite is the lightness of paper.
	leastWhite = 80
	// coarser is by how much a hatched picture is made smaller at a time, and leastHatched how many pixels its
	// longer side keeps.
	coarser, leastHatched = 1.5, 300.0
)

// unhatched returns a tracer that is labelled, of a picture whose crumbs have run together: itself where there
// are none.
func (t *tracer) unhatched(ctx context.Context, whole *picture) (*tracer, error) {
	was := t
	for t.lit && !t.photo && float64(max(t.pic.w, t.pic.h)) >= leastHatched*coarser {
		if hatched, err := t.isHatched(ctx); err != nil {
			return nil, err
		} else if !hatched {
			break
		}
		pic, err := t.pic.reduced(ctx, coarser)
		if err != nil {
			return nil, err
		}
		if pic, err = pic.smoothed(ctx); err != nil {
			return nil, err
		}
		t = &tracer{pic: pic, limit: t.limit, noisy: true, lit: true, scanned: t.scanned, dithered: t.dithered, hatched: true}
		t.begin(whole)
		if err := t.label(ctx); err != nil {
			return nil, err
		}
	}
	if t == was || !t.onPaper() {
		return t, nil
	}
	return t, t.blendShades(ctx)
}

// isHatched reports whether there are many crumbs that differ little from what is around them, most of them ragged.
func (t *tracer) isHatched(ctx context.Context) (bool, error) {
	if err := t.regions(ctx); err != nil {
		return false, err
	}
	n, torn := 0, 0
	for _, pixels := range t.smaller(len(t.labels) / crumb) {
		if len(pixels) < leastCrumb {
			continue
		}
		own := t.labels[pixels[0]]
		if best := t.longestBorder(pixels); best != own && t.inks[own].lab.DeltaE(t.inks[best].lab) < alikeBy {
			n++
			if float64(len(pixels)) < ragged*float64(t.boxArea(pixels)) {
				torn++
			}
		}
	}
	return n > mostCrumbs && 2*torn > n, nil
}

// boxArea returns how many pixels the bounding box of some has.
func (t *tracer) boxArea(pixels []int32) int {
	w := t.pic.w
	left, right := w, 0
	for _, i := range pixels {
		left, right = min(left, int(i)%w), max(right, int(i)%w)
	}
	top, bottom := int(pixels[0])/w, int(pixels[len(pixels)-1])/w // they are in the order of reading
	return (right - left + 1) * (bottom - top + 1)
}

// onPaper reports whether what is drawn lies on white or cream.
func (t *tracer) onPaper() bool {
	k := t.paper()
	return k >= 0 && t.inks[k].lab.L > leastWhite
}

// blendShades makes one ink of each two that look alike of which crumbs lie beside each other: they are how
// hard the pencil was pressed. The nearest come first.
func (t *tracer) blendShades(ctx context.Context) error {
	for {
		if err := t.regions(ctx); err != nil {
			return err
		}
		touching := t.touching()
		a, b, least := bare, bare, mostPressed
		for i := range t.inks {
			for j := range i {
				if d := t.inks[i].lab.DeltaE(t.inks[j].lab); d < least && touching[[2]uint8{uint8(j), uint8(i)}] >= leastTouching {
					a, b, least = j, i, d
				}
			}
		}
		if a == b {
			return nil
		}
		n := [2]int{}
		for i, k := range t.labels {
			switch int(k) {
			case a:
				n[0]++
			case b:
				n[1]++
				t.labels[i] = uint8(a)
			}
		}
		var c rgba
		for k := range c {
			c[k] = uint8((int(t.inks[a].c[k])*n[0] + int(t.inks[b].c[k])*n[1]) / (n[0] + n[1]))
		}
		t.inks[a] = newInk(c, t.inks[a].count+t.inks[b].count)
	}
}

// touching counts, for each two inks, the regions of theirs that touch, one of which is small.
func (t *tracer) touching() map[[2]uint8]int {
	w := t.pic.w
	counted, out := map[[2]int32]bool{}, map[[2]uint8]int{}
	for i, r := range t.of {
		for _, j := range [2]int{i - 1, i - w} {
			if j < 0 || j == i-1 && i%w == 0 || t.of[j] == r {
				continue
			}
			a, b := min(r, t.of[j]), max(r, t.of[j])
			if least := min(t.list[a].area, t.list[b].area); counted[[2]int32{a, b}] || least < leastCrumb || least*smallPatch > len(t.of) {
				continue
			}
			counted[[2]int32{a, b}] = true
			p, q := t.list[a].label, t.list[b].label
			out[[2]uint8{min(p, q), max(p, q)}]++
		}
	}
	return out
}
