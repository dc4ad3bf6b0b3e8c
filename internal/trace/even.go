package trace

import (
	"context"
	"math"

	"abut/geometry/parallel"
)

const (
	// enoughPixels along the longer side of a picture are enough to see the light on it.
	enoughPixels = 1000.0
	// leastFall is by how much the light of a lamp falls off, at least: in a scan it does less. None
	// falls off by much more than half (mostFall): that would be a picture of something.
	leastFall, mostFall = 0.08, 1.0
	// whiteInLight is how far from grey paper is at most that a lamp or a camera made yellow or blue, and
	// whiteInScan in a scan, of which the light is even and white: it is white. Coloured paper keeps its colour.
	whiteInLight, whiteInScan = 0.08, 0.03
)

// lamp is how bright each colour of white paper is at a place from 0 0 to 1 1, as a logarithm.
type lamp func(x, y float64) [3]float64

// evened returns the picture without grain and with the light on its paper made even and white; nil where
// no paper is seen.
func (p *picture) evened(ctx context.Context) (*picture, error) {
	small := p
	var err error
	if factor := float64(max(p.w, p.h)) / enoughPixels; factor > 1 {
		if small, err = p.reduced(ctx, factor); err != nil {
			return nil, err
		}
	}
	if small, err = small.smoothed(ctx); err != nil {
		return nil, err
	}
	on, err := small.lighting(ctx)
	if err != nil || on == nil {
		return nil, err
	}
	smooth := small
	if small.w != p.w {
		if smooth, err = p.smoothed(ctx); err != nil {
			return nil, err
		}
	}
	return smooth.under(ctx, on)
}

// lighting finds the light on a picture without grain: a surface of the second degree through the
// brightest of each square, those that art covers left out, or what changes little by little where a
// shadow lies on it. Nil where there is no paper that most of the surface follows.
func (p *picture) lighting(ctx context.Context) (lamp, error) {
	all := p.bright()
	if len(all) < 64 {
		return nil, nil
	}
	k, ok := lightOn(paperOf(all), len(all))
	var on lamp = func(x, y float64) [3]float64 {
		v := dot(k, terms(x, y))
		return [3]float64{v, v, v}
	}
	shaded, err := p.shadow(ctx, on)
	switch {
	case err != nil:
		return nil, err
	case shaded != nil:
		on = shaded.on
	case !ok || falls(k) > mostFall:
		return nil, nil
	}
	paper := p.paperUnder(on)
	switch far := tint(paper); {
	case far > whiteInScan && shaded == nil && falls(k) < leastFall:
		return nil, nil
	case far > whiteInLight:
		return on, nil
	}
	return func(x, y float64) [3]float64 {
		l := on(x, y)
		for k := range l {
			l[k] += paper[k]
		}
		return l
	}, nil
}

// under returns the picture as it is under even light.
func (p *picture) under(ctx context.Context, on lamp) (*picture, error) {
	q := p.blank()
	err := parallel.Ranges(ctx, p.h, 16, func(_, lo, hi int) error {
		for y := lo; y < hi; y++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			for x := range p.w {
				c := p.pix[y*p.w+x]
				for k, v := range on((float64(x)+0.5)/float64(p.w), (float64(y)+0.5)/float64(p.h)) {
					c[k] = uint8(math.Min(float64(c[3]), math.Round(float64(c[k])*255/math.Exp(v))))
				}
				q.pix[y*p.w+x] = c
			}
		}
		return nil
	})
	return q, err
}

// tint returns how far a colour, as logarithms, is from a grey.
func tint(c [3]float64) float64 {
	red, blue := shares(math.Exp(c[0]), math.Exp(c[1]), math.Exp(c[2]))
	return math.Max(math.Abs(red-1.0/3), math.Abs(blue-1.0/3))
}

// paperUnder returns how much of each colour paper has under even light, as logarithms.
func (p *picture) paperUnder(on lamp) (out [3]float64) {
	var sum [3]float64
	n := 0
	for y := 0; y < p.h; y += 4 {
		for x := 0; x < p.w; x += 4 {
			c := p.pix[y*p.w+x]
			l := on((float64(x)+0.5)/float64(p.w), (float64(y)+0.5)/float64(p.h))
			var even [3]float64
			for k := range even {
				even[k] = math.Log(math.Max(1, float64(c[k]))) - l[k]
			}
			if math.Abs(0.299*even[0]+0.587*even[1]+0.114*even[2]) > paperStrays {
				continue
			}
			n++
			for k := range sum {
				sum[k] += even[k]
			}
		}
	}
	for k := range sum {
		out[k] = sum[k] / math.Max(1, float64(n))
	}
	return out
}
