package trace

import (
	"context"
	"math"
)

// enoughPixels along the longer side of a picture are enough to see the light on it.
const enoughPixels = 1000.0

// evened returns the picture without grain and with the light on its paper made even: a surface
// of the second degree through the brightest of each square, those that art covers left out, or
// what changes little by little where a shadow lies on it. Nil where there is no paper that most
// of the surface follows.
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
	all := small.bright()
	if len(all) < 64 {
		return nil, nil
	}
	k, ok := lightOn(paperOf(all), len(all))
	light := func(x, y float64) [3]float64 {
		v := dot(k, terms(x, y))
		return [3]float64{v, v, v}
	}
	switch shaded, err := small.shadow(ctx, light); {
	case err != nil:
		return nil, err
	case shaded != nil:
		light = shaded.on
	case !ok || !fallsOff(k):
		return nil, nil
	}
	smooth := small
	if small.w != p.w {
		if smooth, err = p.smoothed(ctx); err != nil {
			return nil, err
		}
	}
	return smooth.under(light), nil
}

// under returns the picture as it is under even light: of each colour there is a logarithm of how
// bright it lies on paper, at places from 0 0 to 1 1.
func (p *picture) under(light func(x, y float64) [3]float64) *picture {
	q := newPicture(p.w, p.h)
	for y := range p.h {
		for x := range p.w {
			c := p.pix[y*p.w+x]
			for k, v := range light((float64(x)+0.5)/float64(p.w), (float64(y)+0.5)/float64(p.h)) {
				c[k] = uint8(math.Min(float64(c[3]), math.Round(float64(c[k])*255/math.Exp(v))))
			}
			q.pix[y*p.w+x] = c
		}
	}
	return q
}
