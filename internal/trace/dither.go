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

// Where much of a picture is of one colour, its dots are few, but close together where they are: of squares with a side
// of tile that are not of one colour, a share of 0.3 to 0.94 has a dot on every eighth pixel or more in pictures dithered
// to two or three colours, of drawings that are dithered in places 0.23 at most, whose small lettering would suffer, of
// text, line drawings, icons and screenshots 0.03, and of noise 0.05.
const (
	tile         = 8
	strewnShare  = 0.28
	fewestStrewn = 40
)

// isDithered reports whether many pixels are dots, of all or of those where anything is.
func (p *picture) isDithered() bool {
	if max(p.w, p.h) < 2*leastShown || p.hasMoreColours(mostStrewn) {
		return false
	}
	dots, busy, strewn := 0, 0, 0
	for top := 0; top < p.h; top += tile {
		for left := 0; left < p.w; left += tile {
			n, flat := p.dotsIn(left, top)
			dots += n
			if !flat {
				busy++
			}
			if n*tile >= tile*tile {
				strewn++
			}
		}
	}
	return dots*strewing > len(p.pix) || strewn >= fewestStrewn && float64(strewn) > strewnShare*float64(busy)
}

// dotsIn counts the dots of a tile, and reports whether it is of one colour.
func (p *picture) dotsIn(left, top int) (n int, flat bool) {
	right, down := min(left+tile, p.w), min(top+tile, p.h)
	first := p.pix[top*p.w+left]
	flat = true
	for y := top; y < down && flat; y++ {
		for _, c := range p.row(y)[left:right] {
			flat = flat && c == first
		}
	}
	for y := max(top, 1); y < min(down, p.h-1); y++ {
		up, row, below := p.row(y-1), p.row(y), p.row(y+1)
		for x := max(left, 1); x < min(right, p.w-1); x++ {
			if c := row[x]; c != row[x-1] && isDot(c, [4]rgba{row[x-1], row[x+1], up[x], below[x]}) {
				n++
			}
		}
	}
	return n, flat
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
