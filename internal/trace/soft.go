package trace

import (
	"context"
	"math"
	"slices"

	"abut/geometry/parallel"
)

// No sheet is see-through little by little. A shadow or a glow that fades out beneath what was drawn would come as
// bands of colours that nobody has, with what it surrounds in pieces: it is left out, as effects of drawings are. What was
// drawn and fades out itself, as the soft rim of a sticker, ends where it is half there.

const (
	// mostStep is how much of 255 neighbours differ at most in something soft: it has no edges.
	mostStep = 32
	// leastFade is over how much of 255 it fades at least: what is less is flat.
	leastFade = 40
	// mostOutside is how much of 255 is left of it at most beside what is bare, two pixels from there, but for a tenth:
	// what is more was cut off with an edge, as a beam of light has at its sides.
	mostOutside = 96
	// leastSoft is how many pixels it has at least.
	leastSoft = 24
	// besideSoft is how far around it pixels are blends with it.
	besideSoft = 2
	// ownColour is how far its colour may be, in steps of a channel, from that of the shape that fades out, squared.
	ownColour = 32 * 32
)

// kinds of what is soft.
const (
	hard = iota
	fading
	cast
)

// softly is what is soft in a picture.
type softly struct {
	*picture
	// of is which of them a pixel is in the middle of, from 1 on; kinds is what each is.
	of    []int32
	kinds []uint8
}

// hardened returns the picture without soft shadows and glows, and with edges where something drawn fades out;
// itself, and false, where there are none.
func (p *picture) hardened(ctx context.Context) (*picture, bool, error) {
	s := &softly{picture: p, kinds: []uint8{hard}}
	if some, err := s.find(ctx); err != nil || !some {
		return p, false, err
	}
	out := p.blank()
	copy(out.pix, p.pix)
	err := parallel.Ranges(ctx, p.h, 16, func(_, lo, hi int) error {
		for i := lo * p.w; i < hi*p.w; i++ {
			if i%p.w == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			if c := p.pix[i]; c[3] > 0 && c[3] < opaque {
				out.pix[i] = s.without(int32(i))
			}
		}
		return nil
	})
	return out, true, err
}

// isPartly reports whether a colour is see-through, and there.
func (c rgba) isPartly() bool { return c[3] > clearBelow && c[3] < opaque }

// find notes what is soft, and reports whether there is something, and more that is not.
func (s *softly) find(ctx context.Context) (some bool, err error) {
	opaques, partly := 0, 0
	for _, c := range s.pix {
		switch {
		case c[3] >= opaque:
			opaques++
		case c.isPartly():
			partly++
		}
	}
	if partly == 0 || opaques == 0 {
		return false, ctx.Err()
	}
	inner, err := s.marked(ctx, func(y int, row []bool) {
		for x := range row {
			row[x] = s.pix[y*s.w+x].isPartly() && s.isAmong(x, y)
		}
	})
	if err != nil {
		return false, err
	}
	s.of = make([]int32, len(s.pix))
	softs := 0
	for i := range s.pix {
		if i&0xffff == 0 && ctx.Err() != nil {
			return false, ctx.Err()
		}
		if !inner[i] {
			continue
		}
		all := s.spread(inner, int32(i))
		kind := s.kindOf(all)
		if s.kinds = append(s.kinds, kind); kind != hard {
			softs += len(all)
		}
	}
	return softs > 0 && softs < opaques, nil
}

// isAmong reports whether all pixels around one are see-through, too.
func (s *softly) isAmong(x, y int) bool {
	for v := max(y-1, 0); v <= min(y+1, s.h-1); v++ {
		for _, c := range s.pix[v*s.w+max(x-1, 0) : v*s.w+min(x+2, s.w)] {
			if !c.isPartly() {
				return false
			}
		}
	}
	return true
}

// spread returns what hangs together with a marked pixel without a step, and takes the marks away.
func (s *softly) spread(inner []bool, first int32) []int32 {
	all := []int32{first}
	inner[first] = false
	name := int32(len(s.kinds))
	for n := 0; n < len(all); n++ {
		i := all[n]
		s.of[i] = name
		s.each(i, 1, func(j int32) {
			if inner[j] && apart(s.pix[i], s.pix[j]) <= mostStep {
				inner[j] = false
				all = append(all, j)
			}
		})
	}
	return all
}

// kindOf says what some pixels are that hang together.
func (s *softly) kindOf(all []int32) uint8 {
	least, most := uint8(255), uint8(0)
	var outside []uint8
	beside, own := 0, 0
	for _, i := range all {
		c := s.pix[i]
		least, most = min(least, c[3]), max(most, c[3])
		ends, full := false, c.full()
		s.each(i, besideSoft, func(j int32) {
			switch d := s.pix[j]; {
			case d[3] <= clearBelow:
				ends = true
			case d[3] >= opaque:
				if beside++; distance2(d, full) <= ownColour {
					own++
				}
			}
		})
		if ends {
			outside = append(outside, c[3])
		}
	}
	if len(all) < leastSoft || most-least < leastFade || len(outside) == 0 {
		return hard
	}
	slices.Sort(outside)
	switch {
	case outside[len(outside)*9/10] > mostOutside:
		return hard
	case beside > 0 && 2*own >= beside:
		return fading
	}
	return cast
}

// full is a colour as it is where all of it is there.
func (c rgba) full() rgba {
	a := max(int(c[3]), 1)
	for k := range 3 {
		c[k] = uint8(min(255, (int(c[k])*255+a/2)/a))
	}
	c[3] = 255
	return c
}

// without returns what a see-through pixel is without what is soft.
func (s *softly) without(i int32) rgba {
	c := s.pix[i]
	soft, far2 := s.nearest(i, func(j int32) bool { return s.of[j] > 0 })
	if soft < 0 {
		return c
	}
	switch s.kinds[s.of[soft]] {
	case fading:
		return c.full().part(s.sharp(i))
	case cast:
		if far2 == 0 {
			return rgba{}
		}
		solid, _ := s.nearest(i, func(j int32) bool { return s.pix[j][3] >= opaque })
		if solid < 0 {
			return rgba{}
		}
		share, _ := blend(c, s.pix[soft], s.pix[solid], 0)
		return s.pix[solid].part(share)
	}
	return c
}

// nearest returns the nearest pixel that is something and not too far from one, and the square of how far that is; -1 where none is.
func (s *softly) nearest(i int32, is func(j int32) bool) (at int32, far2 int) {
	x, y := int(i)%s.w, int(i)/s.w
	at = -1
	best := math.MaxInt
	s.each(i, besideSoft, func(j int32) {
		u, v := int(j)%s.w-x, int(j)/s.w-y
		if d := u*u + v*v; d < best && is(j) {
			best, at = d, j
		}
	})
	return at, best
}

// sharp is how much of a pixel lies within where something that fades out is half there: by how far that is, which the
// steepness here tells.
func (s *softly) sharp(i int32) float64 {
	x, y := int(i)%s.w, int(i)/s.w
	at := func(u, v int) float64 {
		return float64(s.pix[min(max(v, 0), s.h-1)*s.w+min(max(u, 0), s.w-1)][3]) / 255
	}
	dx := (at(x+1, y-1) + 2*at(x+1, y) + at(x+1, y+1) - at(x-1, y-1) - 2*at(x-1, y) - at(x-1, y+1)) / 8
	dy := (at(x-1, y+1) + 2*at(x, y+1) + at(x+1, y+1) - at(x-1, y-1) - 2*at(x, y-1) - at(x+1, y-1)) / 8
	steep := math.Max(math.Hypot(dx, dy), 1e-3)
	return math.Max(0, math.Min(1, 0.5+(at(x, y)-0.5)/steep))
}
