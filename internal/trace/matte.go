package trace

import (
	"context"
	"slices"

	"abut/geometry/parallel"
)

// GIF, and PNG with a palette, know a pixel as there or not there. What was smoothed against a page (its matte) and cut
// out of it so keeps a fringe around all of it, blends of what is drawn and of the matte. Such a pixel is made what it
// was before: of the colour beside it, and as much there as it has of that.

const (
	// fringeDeep is how many pixels from what is bare a blend may lie: edges that were smoothed by area have one, and
	// little in the second, softer ones some more.
	fringeDeep = 4
	// leastInner is how much there is at least of the shape in the second pixel where hardly any is a blend: with less,
	// somebody drew an outline there.
	leastInner = 0.7
	// leastMixed is how many pixels show a matte, and ofRim the least share of all beside what is bare; mostSampled is of
	// how many that is looked for.
	leastMixed, ofRim, mostSampled = 16, 1.0 / 16, 4000
	// ofFringe is how much of what is unlike what lies within a matte explains at least.
	ofFringe = 0.6
	// mostAlike is how much of it may have about as much of the matte: an outline that somebody drew has the same all around.
	mostAlike = 0.5
	// pure is a share from which on a pixel counts as all of one colour.
	pure = 0.97
)

// cutOut is a picture of which each pixel is there or not.
type cutOut struct {
	*picture
	// depth is how many steps it is to what is bare, 0 for that itself and for what is further than fringeDeep+1.
	depth []uint8
	// rims are the pixels so many steps from what is bare, from 1 on.
	rims [fringeDeep + 2][]int32
	// blend and off2 say how a blend is read and how far off it may be, squared.
	blend func(p, a, b rgba, beyond float64) (share, off2 float64)
	off2  float64
}

// unmatted returns the picture without the fringe of a matte, itself where it has none.
func (p *picture) unmatted(ctx context.Context) (*picture, error) {
	c, err := p.cutOut(ctx)
	if c == nil {
		return p, err
	}
	matte, ok := c.matte()
	if !ok {
		return p, ctx.Err()
	}
	return c.without(ctx, matte)
}

// cutOut returns the picture as one that was cut out, nil where some of it is see-through or nothing is bare.
func (p *picture) cutOut(ctx context.Context) (*cutOut, error) {
	through, there := 0, false
	for _, c := range p.pix {
		if c[3] > clearBelow && c[3] < opaque {
			through++
		}
		there = there || c[3] <= clearBelow
	}
	if !there {
		return nil, ctx.Err()
	}
	c := &cutOut{picture: p, depth: make([]uint8, len(p.pix)), blend: blend, off2: 16 * 16}
	if err := c.find(ctx); err != nil || 20*through > len(c.rims[1]) {
		return nil, err
	}
	if p.isNoisy() {
		c.blend, c.off2 = blendLossy, 26*26
	}
	return c, nil
}

// find notes how far from what is bare pixels are.
func (c *cutOut) find(ctx context.Context) error {
	first, err := c.besideBare(ctx)
	if err != nil {
		return err
	}
	for i, is := range first {
		if is {
			c.depth[i] = 1
			c.rims[1] = append(c.rims[1], int32(i))
		}
	}
	for d := 1; d+1 < len(c.rims); d++ {
		for _, i := range c.rims[d] {
			c.each(i, 1, func(j int32) {
				if c.depth[j] == 0 && c.pix[j][3] > clearBelow {
					c.depth[j] = uint8(d + 1)
					c.rims[d+1] = append(c.rims[d+1], j)
				}
			})
		}
	}
	return ctx.Err()
}

// besideBare marks what touches something bare.
func (p *picture) besideBare(ctx context.Context) ([]bool, error) {
	return p.marked(ctx, func(y int, out []bool) {
		up, row, down := p.row(max(y-1, 0)), p.row(y), p.row(min(y+1, p.h-1))
		last := false // whether the column before has something bare
		for x := range row {
			gone := up[x][3] <= clearBelow || row[x][3] <= clearBelow || down[x][3] <= clearBelow
			if gone && x > 0 {
				out[x-1] = row[x-1][3] > clearBelow
			}
			out[x] = (gone || last) && row[x][3] > clearBelow
			last = gone
		}
	})
}

// inward is how far from a pixel the colour is looked for that it is a blend of.
const inward = 2

// deeper appends the colours of pixels near one that are further from what is bare, the nearest first, each once.
func (c *cutOut) deeper(i int32, pix []rgba, dst []rgba) []rgba {
	for far := 1; far <= inward; far++ {
		c.each(i, far, func(j int32) {
			if d := c.depth[j]; c.pix[j][3] > clearBelow && (d == 0 || d > c.depth[i]) && !slices.Contains(dst, pix[j]) {
				dst = append(dst, pix[j])
			}
		})
	}
	return dst
}

// of returns how much a colour has of one of some, the rest being the matte, and of which. It is all of what it is like.
// None where it is no such blend.
func (c *cutOut) of(p, matte rgba, some []rgba) (share float64, at int) {
	best, at := c.off2, -1
	for k, s := range some {
		if d := float64(distance2(p, s)); d <= best {
			share, best, at = 1, d, k
		}
	}
	for k, s := range some {
		if 4*float64(distance2(s, matte)) <= c.off2 {
			continue
		}
		if sh, off2 := c.blend(p, matte, s, 0); off2 < 0.6*best {
			share, best, at = sh, off2, k
		}
	}
	return share, at
}

// matte returns the colour that what was cut out was smoothed against, false where none shows.
func (c *cutOut) matte() (matte rgba, ok bool) {
	sample := c.sample(1)
	tried := []rgba{{255, 255, 255, 255}, {0, 0, 0, 255}, {128, 128, 128, 255}, {192, 192, 192, 255}}
	b := newBins(4)
	for _, s := range sample {
		b.add(s.colour, 1)
	}
	list := b.sorted()
	for _, x := range list[:min(len(list), 8)] {
		tried = append(tried, x.mean())
	}
	most := 0
	for _, m := range tried {
		if n := c.explains(m, sample); 20*n > 21*most {
			most, matte = n, m
		}
	}
	return matte, most > 0
}

// sampled is a pixel near what is bare, and the colours that lie deeper.
type sampled struct {
	colour rgba
	inner  []rgba
}

// sample returns some of the pixels that are so many steps from what is bare.
func (c *cutOut) sample(depth int) (list []sampled) {
	rim := c.rims[depth]
	for n := 0; n < len(rim); n += 1 + len(rim)/mostSampled {
		if s := (sampled{colour: c.pix[rim[n]], inner: c.deeper(rim[n], c.pix, nil)}); len(s.inner) > 0 {
			list = append(list, s)
		}
	}
	return list
}

// explains returns how many of some pixels are blends with a matte, 0 where that is not what they are.
func (c *cutOut) explains(matte rgba, sample []sampled) int {
	var bins [8]int
	mixed, other := 0, 0
	for _, s := range sample {
		share, at := c.of(s.colour, matte, s.inner)
		switch {
		case at < 0:
			other++
		case share < pure:
			mixed++
			bins[int(share*8)]++
		}
	}
	if mixed < leastMixed || float64(mixed) < ofRim*float64(len(sample)) || float64(mixed) < ofFringe*float64(mixed+other) ||
		float64(slices.Max(bins[:])) > mostAlike*float64(mixed) {
		return 0
	}
	return mixed
}

// without returns the picture with its fringe made what it was before.
func (c *cutOut) without(ctx context.Context, matte rgba) (*picture, error) {
	deep := 1
	for deep < fringeDeep && c.explains(matte, c.sample(deep+1)) > 0 {
		deep++
	}
	if deep == fringeDeep { // what changes all the way in is a shade, as of a shadow on that page
		return c.picture, nil
	}
	out := c.blank()
	copy(out.pix, c.pix)
	inner := slices.Clone(c.pix) // of which colour pixels are a blend
	for d := max(deep, 2); d > 0; d-- {
		least := 0.0
		if d > deep {
			least = leastInner
		}
		rim := c.rims[d]
		of := make([]rgba, len(rim))
		if err := parallel.Ranges(ctx, len(rim), 4096, func(_, lo, hi int) error {
			for n, i := range rim[lo:hi] {
				if n&0xfff == 0 && ctx.Err() != nil {
					return ctx.Err()
				}
				some := c.deeper(i, inner, make([]rgba, 0, 16))
				share, at := c.of(c.pix[i], matte, some)
				if of[lo+n] = c.pix[i]; at < 0 || share >= pure || share < least {
					continue
				}
				of[lo+n] = some[at]
				out.pix[i] = some[at].part(share)
			}
			return nil
		}); err != nil {
			return nil, err
		}
		for n, i := range rim {
			inner[i] = of[n]
		}
	}
	return out, nil
}
