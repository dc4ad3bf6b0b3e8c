package trace

import "context"

// A picture of few colours, as GIF has them, shows shades between these by dots of a pixel, strewn over the
// place. To the eye they are shades; cut as drawn they are tens of thousands of specks. So it is made as
// much smaller as it takes for them to run together, and what is left of them is smoothed like grain.

// mostStrewn is how many colours a picture has at most whose shades are dots: a palette of 8 bits.
const mostStrewn = 256

// strewing is how many pixels there are for each dot, at most. Of 16 pictures dithered in seven ways down to 64 colours
// these are 2 to 10, of the same and of drawings with a palette alone, text and line drawings more than 70; of
// drawings whose edges alone are dithered 20 at least. In noise of two colours they are 16.
const strewing = 12

// isDithered reports whether many pixels are dots.
func (p *picture) isDithered() bool {
	if max(p.w, p.h) < 2*leastShown || p.hasMoreColours(mostStrewn) {
		return false
	}
	dots := 0
	for y := 1; y+1 < p.h; y++ {
		up, row, down := p.row(y-1), p.row(y), p.row(y+1)
		for x := 1; x+1 < p.w; x++ {
			if isDot(row[x], [4]rgba{row[x-1], row[x+1], up[x], down[x]}) {
				dots++
			}
		}
	}
	return dots*strewing > len(p.pix)
}

// isDot reports whether a pixel has clearly more of some channel than all that are beside it, or less.
func isDot(c rgba, beside [4]rgba) bool {
	for k, v := range c {
		least, most := beside[0][k], beside[0][k]
		for _, b := range beside[1:] {
			least, most = min(least, b[k]), max(most, b[k])
		}
		if int(v) > int(most)+faintest || int(v) < int(least)-faintest {
			return true
		}
	}
	return false
}

// undithered returns the picture with the shades that its dots show, and whether it had any. It is halved until
// there are more shades than a poster has: four dots of two colours have five.
func (p *picture) undithered(ctx context.Context) (q *picture, was bool, err error) {
	for q = p; q.isDithered() || was && max(q.w, q.h) >= 2*leastShown && !q.hasMoreColours(tones); was = true {
		if q, err = q.reduced(ctx, 2); err != nil {
			return nil, false, err
		}
	}
	if !was {
		return p, false, nil
	}
	smooth, err := q.smoothed(ctx)
	if err != nil {
		return nil, false, err
	}
	q.pix = smooth.pix
	return q, true, nil
}
