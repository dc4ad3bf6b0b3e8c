package paint

import (
	"image"

	"abut/internal/colour"
)

// StackedColour is kept for stacking and used for nothing else.
var StackedColour = colour.RGB{R: 0xD5, G: 0x18, B: 0x2B}

// coverAt is the coverage from which a layer counts at a pixel: more than half,
// so that two layers that abut and share the pixel of their edge don't count
// as stacked there.
const coverAt = 148

// Counter counts colours pixel by pixel. It keeps its buffer between calls.
type Counter struct {
	state []uint16
	rect  image.Rectangle
}

// Claims in a pixel's state: 0 none yet, otherwise the number of the one
// separation seen, or one of these two.
const (
	stateStacked = 0xffff
	stateDone    = 0xfffe
	// maxSeparation is the largest separation number that a scene may use.
	maxSeparation = 0xfffd
)

// Count finds out, for each world pixel of r, whether two or more separations
// claim it: layers are visited from the top down to the first that knocks out.
// It reports whether any pixel stacks.
func (c *Counter) Count(s *Scene, r image.Rectangle) bool {
	c.rect = r
	n := r.Dx() * r.Dy()
	if cap(c.state) < n {
		c.state = make([]uint16, n)
	} else {
		c.state = c.state[:n]
		clear(c.state)
	}
	any := false
	var mixes []colour.RGB
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		if l.Separation == 0 && !l.Knocks && !l.Mixes {
			continue
		}
		for at, pix := range s.shown(i, r) {
			o := (at.Y-r.Min.Y)*r.Dx() + at.X - r.Min.X
			if l.Mixes && s.material != nil {
				mixes = s.mix(mixes, i, at.X, at.Y, len(pix))
				if claimMixed(c.state[o:o+len(pix)], pix, mixes, l.Knocks, s.material) {
					any = true
				}
				continue
			}
			if claim(c.state[o:o+len(pix)], pix, l.Separation, l.Knocks) {
				any = true
			}
		}
	}
	return any
}

// CountMask takes a mask for what stacks, in place of a count: for places that
// are known exactly.
func (c *Counter) CountMask(m *Mask, r image.Rectangle) bool {
	l := Layer{Mask: m, Separation: 1, Alpha: 1}
	under := Layer{Mask: m, Separation: 2, Alpha: 1}
	return c.Count(&Scene{Layers: []Layer{under, l}}, r)
}

// claim lets one layer claim a row of pixels and reports whether any became
// stacked.
func claim(state []uint16, cover []uint8, sep uint16, knocks bool) bool {
	any := false
	for i, m := range cover {
		if m < coverAt {
			continue
		}
		st := &state[i]
		switch {
		case *st >= stateDone:
		case *st == 0:
			if knocks {
				*st = stateDone
			} else {
				*st = sep
			}
		case sep != 0 && *st != sep:
			*st = stateStacked
			any = true
		case knocks:
			*st = stateDone
		}
	}
	return any
}

// mix returns the colours that layer i has over n pixels from (x, y) on: its own
// over the layers beneath it, those of its own opacity group left out.
func (s *Scene) mix(out []colour.RGB, i, x, y, n int) []colour.RGB {
	out = out[:0]
	for range n {
		out = append(out, s.Blank)
	}
	top := &s.Layers[i]
	for k := range i + 1 {
		l := &s.Layers[k]
		if l.Drawn || k < i && l.Group != 0 && l.Group == top.Group {
			continue
		}
		pix, lx := l.row(y, x, x+n)
		for p, v := range pix {
			if v >= coverAt {
				c := &out[lx-x+p]
				*c = l.Colour.Over(*c, l.Alpha)
			}
		}
	}
	return out
}

// claimMixed is claim for a translucent layer, whose colour changes from pixel
// to pixel.
func claimMixed(state []uint16, cover []uint8, mixes []colour.RGB, knocks bool, of func(colour.RGB) material) bool {
	any := false
	for i, m := range cover {
		if m < coverAt || state[i] >= stateDone {
			continue
		}
		what := of(mixes[i])
		if claim(state[i:i+1], cover[i:i+1], what.separation, knocks || what.bare) {
			any = true
		}
	}
	return any
}

// AreaPx returns how many pixels stack, by the last count.
func (c *Counter) AreaPx() int {
	n := 0
	for _, s := range c.state {
		if s == stateStacked {
			n++
		}
	}
	return n
}

// hatch is one period of the pattern along a diagonal at density 1: how much
// red lies over the art, then how much white over that, of 255. A broad band is
// pure red; the white one between lets a breath of the art's colour through, so
// that one still sees which shapes they are.
var hatch = [12]struct{ red, white uint8 }{
	{255, 0}, {255, 0}, {255, 0}, {255, 0}, {255, 0}, {255, 0}, {255, 0},
	{255, 170}, {0, 214}, {0, 214}, {0, 214}, {255, 170},
}

// Paint marks what the last count found: red with white diagonals that run at
// the same size on screen at every zoom, and around it a dark line inside and a
// light line outside. Pixels of dst outside the counted rectangle stay as they
// are; the marks need two pixels of the count around those that dst shows.
// density is the screen's pixels per unit (1 or 2), phase the world pixel at
// the frame's corner, which keeps the hatch still while the art moves.
func (c *Counter) Paint(dst *image.RGBA, density int, phase image.Point) {
	r := dst.Rect.Intersect(c.rect)
	w := c.rect.Dx()
	density = max(density, 1)
	line := density
	spans := c.spans()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		// Only what lies near a stacked pixel can need paint.
		lo, hi := w, 0
		for k := -line; k <= line; k++ {
			if n := y - c.rect.Min.Y + k; n >= 0 && n < len(spans) {
				lo, hi = min(lo, int(spans[n].lo)-line), max(hi, int(spans[n].hi)+line)
			}
		}
		row := c.state[(y-c.rect.Min.Y)*w:][:w]
		o := dst.PixOffset(r.Min.X, y)
		first := dst.PixOffset(dst.Rect.Min.X, y)
		for x := max(r.Min.X, c.rect.Min.X+lo); x < min(r.Max.X, c.rect.Min.X+hi); x++ {
			i := x - c.rect.Min.X
			p := dst.Pix[o+4*(x-r.Min.X):][:4:4]
			if row[i] == stateStacked {
				if c.edge(x, y, line, false) {
					p[0], p[1], p[2], p[3] = 0x2b, 0x06, 0x0a, 255
					continue
				}
				if within(dst, x, y, first) {
					p[0], p[1], p[2], p[3] = 0x2b, 0x06, 0x0a, 255
					continue
				}
				k := (x - phase.X + y - phase.Y) / density % len(hatch)
				h := &hatch[(k+len(hatch))%len(hatch)]
				p[0] = mixed(p[0], StackedColour.R, h.red, h.white)
				p[1] = mixed(p[1], StackedColour.G, h.red, h.white)
				p[2] = mixed(p[2], StackedColour.B, h.red, h.white)
				p[3] = 255
			} else if c.edge(x, y, line, true) {
				p[0], p[1], p[2], p[3] = 255, 255, 255, 255
			}
		}
	}
}

// drawnEdge is how much two neighbouring pixels of the art differ, summed over
// the channels, where one sees an edge.
const drawnEdge = 70

// within reports whether an edge of the art runs between a pixel and the next
// one right or below, which are not painted over yet: a line there keeps the
// shapes to be told apart where they stack.
func within(dst *image.RGBA, x, y, row int) bool {
	i := row + 4*(x-dst.Rect.Min.X)
	p := dst.Pix[i : i+3 : i+3]
	differs := func(k int) bool {
		q := dst.Pix[k : k+3 : k+3]
		sum := 0
		for c := range 3 {
			d := int(p[c]) - int(q[c])
			sum += max(d, -d)
		}
		return sum > drawnEdge
	}
	return x+1 < dst.Rect.Max.X && differs(i+4) || y+1 < dst.Rect.Max.Y && differs(i+dst.Stride)
}

// mixed lays red over a value of the art and white over both.
func mixed(art, red, r, w uint8) uint8 {
	v := (uint32(art)*(255-uint32(r)) + uint32(red)*uint32(r)) / 255
	return uint8((v*(255-uint32(w)) + 255*uint32(w)) / 255)
}

// spans returns for each row of the count where stacked pixels begin and end;
// lo ≥ hi where there are none.
func (c *Counter) spans() []span {
	w := c.rect.Dx()
	out := make([]span, c.rect.Dy())
	for y := range out {
		row := c.state[y*w : (y+1)*w]
		lo, hi := 0, w
		for lo < hi && row[lo] != stateStacked {
			lo++
		}
		for hi > lo && row[hi-1] != stateStacked {
			hi--
		}
		if lo == hi {
			lo, hi = w, 0
		}
		out[y] = span{int32(lo), int32(hi)}
	}
	return out
}

// edge reports whether a pixel within d of (x, y), along a row or column, is
// stacked (want) or not.
func (c *Counter) edge(x, y, d int, want bool) bool {
	w := c.rect.Dx()
	i := (y-c.rect.Min.Y)*w + x - c.rect.Min.X
	for k := 1; k <= d; k++ {
		if x-k >= c.rect.Min.X && (c.state[i-k] == stateStacked) == want ||
			x+k < c.rect.Max.X && (c.state[i+k] == stateStacked) == want ||
			y-k >= c.rect.Min.Y && (c.state[i-k*w] == stateStacked) == want ||
			y+k < c.rect.Max.Y && (c.state[i+k*w] == stateStacked) == want {
			return true
		}
	}
	return false
}
