package trace

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry/parallel"
	"abut/internal/colour"
)

// ink is a colour of the drawing.
type ink struct {
	c   rgba
	lab colour.Lab
	// count is how many pixels it was found by.
	count int
}

// bare is the label of what is transparent; the inks follow.
const bare = 0

// none is the label of a pixel that is not known yet.
const none = 255

// most is how many inks there may be: more sheets than anyone lays together.
const most = 48

// tones is what a picture with more colours than that becomes: a poster.
const tones = 8

// tinted reports whether the brightness of two colours differs by less than bright
// and their tint by what a lossy file may leave beside an edge: its steps of colour
// are twice as coarse.
func tinted(a, b rgba, bright float64) bool {
	y, cb, cr := difference(a, b)
	return math.Abs(y) < bright && math.Hypot(cb, cr) < 20
}

// onWhite is the colour as it looks on a white blank.
func (c rgba) onWhite() colour.RGB {
	rest := 255 - c[3]
	return colour.RGB{R: c[0] + rest, G: c[1] + rest, B: c[2] + rest}
}

// unlike is how far two colours look apart: ΔE 2000 on white, and as much again
// as one is less opaque, so that white paper is not taken for none.
func unlike(a, b *ink) float64 {
	return a.lab.DeltaE(b.lab) + math.Abs(float64(a.c[3])-float64(b.c[3]))/4
}

// contrast is how much brighter one ink is than another, of 255.
func (t *tracer) contrast(a, b int) float64 {
	y, _, _ := difference(t.inks[a].c, t.inks[b].c)
	return y
}

func newInk(c rgba, count int) ink { return ink{c: c, lab: c.onWhite().Lab(), count: count} }

// isNoisy reports whether most differences between neighbours are faint ones, or many
// pixels lie on small waves. In a picture as it was painted differences are edges, and
// hardly one is lighter or darker than both its neighbours by a little; what a lossy
// file or a camera leaves behind outnumbers these.
func (p *picture) isNoisy() bool {
	faint, edges, waves := 0, 0, 0
	for y := range p.h {
		row := p.pix[y*p.w : (y+1)*p.w]
		for x := 1; x < len(row); x++ {
			if row[x] == row[x-1] {
				continue
			}
			switch d := apart(row[x], row[x-1]); {
			case d <= faintest:
				faint++
			default:
				edges++
			}
			if x+1 < len(row) && isWave(row[x-1], row[x], row[x+1]) {
				waves++
			}
		}
	}
	return faint > edges || float64(waves) > waving*float64(edges)
}

const (
	// faintest is the largest difference of a channel that counts as noise: JPEG at
	// quality 80 strays by some 10 of 255 a few pixels from an edge.
	faintest = 10
	// leastWave and mostWave are how much brighter or darker than both its neighbours a
	// pixel on a small wave is: more than rounding, and less than the faintest line drawn.
	leastWave, mostWave = 2, 24
	// waving is how many pixels lie on waves for each edge. Of 60 open drawings at 72 to
	// 512 pixels, saved in ten ways, it is 0.24 at most as painted, also with a palette of
	// 32 colours, and 0.30 at least in JPEG of quality 50 to 90 and lossy WebP.
	waving = 0.27
)

// isWave reports whether the second of three pixels in a row lies on a small wave.
func isWave(a, b, c rgba) bool {
	in, out := b.brightness()-a.brightness(), b.brightness()-c.brightness()
	if in < 0 {
		in, out = -in, -out
	}
	least := min(in, out)
	return least >= leastWave && least <= mostWave
}

// flat marks pixels whose eight neighbours differ from them by no more than a
// little: the middle of areas, never an edge or a thin line.
func (p *picture) flat(ctx context.Context, within int) ([]bool, error) {
	return p.marked(ctx, func(y int, out []bool) {
		up, row, down := p.row(max(y-1, 0)), p.row(y), p.row(min(y+1, p.h-1))
		// same is how many columns up to this one are of one colour: nearly all of a
		// picture that was painted is settled by that.
		same := 0
		for x, c := range row {
			switch {
			case up[x] != c || down[x] != c:
				same = 0
			case same > 0 && row[x-1] == c:
				same++
			default:
				same = 1
			}
			if x > 0 {
				out[x-1] = same >= 3 || p.flatAt(x-1, y, within)
			}
		}
		out[p.w-1] = p.flatAt(p.w-1, y, within)
	})
}

// squares marks pixels that are one of four even ones.
func (p *picture) squares(ctx context.Context) ([]bool, error) {
	return p.marked(ctx, func(y int, out []bool) {
		row, down := p.row(y), p.row(min(y+1, p.h-1))
		for x, c := range row {
			out[x] = y+1 < p.h && x+1 < p.w && row[x+1] == c && down[x] == c && down[x+1] == c || p.inSquare(x, y)
		}
	})
}

func (p *picture) row(y int) []rgba { return p.pix[y*p.w : (y+1)*p.w] }

// marked has the marks of all rows made.
func (p *picture) marked(ctx context.Context, mark func(y int, row []bool)) ([]bool, error) {
	out := make([]bool, len(p.pix))
	err := parallel.Ranges(ctx, p.h, 64, func(_, lo, hi int) error {
		for y := lo; y < hi; y++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			mark(y, out[y*p.w:(y+1)*p.w])
		}
		return nil
	})
	return out, err
}

func (p *picture) flatAt(x, y, within int) bool {
	c := p.pix[y*p.w+x]
	for v := max(y-1, 0); v <= min(y+1, p.h-1); v++ {
		for _, d := range p.pix[v*p.w+max(x-1, 0) : v*p.w+min(x+2, p.w)] {
			if d != c && apart(c, d) > within {
				return false
			}
		}
	}
	return true
}

// inSquare reports whether a pixel is one of four even ones, which no edge has that
// was smoothed by area, unless it is a line of two such.
func (p *picture) inSquare(x, y int) bool {
	c := p.pix[y*p.w+x]
	even := func(u, v int) bool { d := p.pix[v*p.w+u]; return c == d || apart(c, d) <= 1 }
	for _, u := range [2]int{x - 1, x + 1} {
		if u < 0 || u >= p.w || !even(u, y) {
			continue
		}
		for _, v := range [2]int{y - 1, y + 1} {
			if v >= 0 && v < p.h && even(x, v) && even(u, v) {
				return true
			}
		}
	}
	return false
}

// bins counts pixels by their colour.
type bins struct {
	of    map[rgba]int
	shift uint8
	list  []bin
	// last is the colour that was added last, and lastBin where it went.
	last    rgba
	lastBin int
}

type bin struct {
	sum   [4]int
	count int
}

// newBins keeps colours apart that differ in what is left of a channel after a
// shift.
func newBins(shift uint8) *bins { return &bins{of: map[rgba]int{}, shift: shift} }

func (b *bins) add(c rgba, n int) {
	k := b.lastBin
	if c != b.last || len(b.list) == 0 {
		key := c
		for i := range key {
			key[i] >>= b.shift
		}
		var ok bool
		if k, ok = b.of[key]; !ok {
			k = len(b.list)
			b.of[key] = k
			b.list = append(b.list, bin{})
		}
		b.last, b.lastBin = c, k
	}
	for i := range c {
		b.list[k].sum[i] += n * int(c[i])
	}
	b.list[k].count += n
}

// sorted returns the bins, the fullest first.
func (b *bins) sorted() []bin {
	out := slices.Clone(b.list)
	slices.SortStableFunc(out, func(x, y bin) int { return cmp.Compare(y.count, x.count) })
	return out
}

func (b bin) mean() (c rgba) {
	for i := range c {
		c[i] = uint8((b.sum[i] + b.count/2) / b.count)
	}
	return c
}

// clustered joins colours to the fullest that they are alike, and leaves out what
// has fewer pixels than least. Those that are known stay. Small ones also join what
// looks less than patchy apart or is tinted, given bright. False when there are more
// than limit.
func clustered(known []ink, list []bin, alike, patchy, bright float64, least, limit int) ([]ink, bool) {
	out := slices.Clone(known)
	for _, b := range list {
		k := newInk(b.mean(), b.count)
		near := -1
		for i := range out {
			// A patch that is hardly another shade, and small beside the other, is what a
			// lossy file makes of a block.
			d := unlike(&k, &out[i])
			if d < alike || b.count*8 < out[i].count && (d < patchy || tinted(k.c, out[i].c, bright)) {
				near = i
				break
			}
		}
		if near >= 0 {
			out[near].count += b.count
		} else if out = append(out, k); len(out) > 40*limit {
			return nil, false
		}
	}
	out = slices.DeleteFunc(out, func(k ink) bool { return k.count < least })
	return out, len(out) <= limit
}

// fewer merges inks until there are n, the small but different ones last.
func fewer(ctx context.Context, inks []ink, n int) ([]ink, error) {
	q := colour.Merging{Most: n}
	for _, k := range inks {
		q.Shades = append(q.Shades, colour.Shade{Colour: k.c.onWhite(), AreaMM2: float64(k.count)})
		q.Candidates = append(q.Candidates, k.c.onWhite())
	}
	to, err := colour.Merge(ctx, q)
	if err != nil {
		return nil, err
	}
	var out []ink
	for i, k := range inks {
		if slices.Contains(to, i) {
			out = append(out, k)
		}
	}
	return out, nil
}
