package trace

import (
	"context"
	"math"
	"slices"
)

// Lines of two pixels, as those of small letters, have hardly a pixel in a lossy file that is
// all their own, and colour is kept for four at a time: so each pixel may be taken for a blend
// with another ink. What hangs together of such on one ground is looked at as a whole.

const (
	// broadDepth is how far from its edges a pixel of what is no stroke is, somewhere: five
	// pixels wide.
	broadDepth = 2
	// onGround is how much of a stroke's outline borders on its ground.
	onGround = 0.9
	// bleeds is how far around a stroke its colour is spread: ITU-T T.871 keeps it for two by
	// two pixels.
	bleeds = 2
)

// stroke is what hangs together of regions that are nowhere broad, on one ground.
type stroke struct {
	pixels      []int32
	ground, ink uint8
}

// strokes makes each stroke that one ink explains as well as a picture is kept of that ink, and
// sets inks that have only strokes to what these leave in all around them.
func (t *tracer) strokes(ctx context.Context) error {
	if err := t.regions(ctx); err != nil {
		return err
	}
	depth := t.depths()
	broad := make([]bool, len(t.list))
	deep := make([]int, len(t.inks))
	for i, id := range t.of {
		broad[id] = broad[id] || depth[i] >= broadDepth
		if depth[i] > 0 {
			deep[t.labels[i]]++
		}
	}
	var list []stroke
	seen := make([]bool, len(t.labels))
	for i, id := range t.of {
		if i&0xffff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if broad[id] || seen[i] || t.labels[i] == bare {
			continue
		}
		if s := (stroke{pixels: t.strokeAt(int32(i), broad, seen)}); t.onOneGround(&s, seen) && t.ofOneInk(&s) {
			list = append(list, s)
		}
	}
	for _, s := range list {
		t.redraw(s)
	}
	t.recolour(list, deep)
	return nil
}

// strokeAt returns the pixels that hang together with one in regions that are not broad.
func (t *tracer) strokeAt(first int32, broad, seen []bool) (pixels []int32) {
	seen[first] = true
	pixels = append(pixels, first)
	for k := 0; k < len(pixels); k++ {
		t.each(pixels[k], 1, func(j int32) {
			if !seen[j] && !broad[t.of[j]] && t.labels[j] != bare {
				seen[j] = true
				pixels = append(pixels, j)
			}
		})
	}
	return pixels
}

// each calls f with the pixels that are no further from one, and itself.
func (t *tracer) each(i int32, far int, f func(j int32)) { t.pic.each(i, far, f) }

// onOneGround finds the ground of a stroke; false where it has more than one. seen are the pixels of strokes so far, of which
// none touch those of another.
func (t *tracer) onOneGround(s *stroke, seen []bool) bool {
	border, all := make([]int, len(t.inks)), 0
	for _, i := range s.pixels {
		t.each(i, 1, func(j int32) {
			if !seen[j] {
				border[t.labels[j]]++
				all++
			}
		})
	}
	for k, n := range border {
		if n > border[s.ground] {
			s.ground = uint8(k)
		}
	}
	return all > 0 && float64(border[s.ground]) >= onGround*float64(all)
}

// ofOneInk finds the ink that explains a stroke best, with its ground; false where each
// explains it worse than a blend may be.
func (t *tracer) ofOneInk(s *stroke) bool {
	best := t.off2 * float64(len(s.pixels))
	found := false
	for k := range t.inks {
		if k == bare || k == int(s.ground) {
			continue
		}
		sum := 0.0
		for _, j := range s.pixels {
			_, off2 := t.blend(t.pic.pix[j], t.inks[s.ground].c, t.inks[k].c)
			sum += off2
		}
		if sum < best {
			best, s.ink, found = sum, uint8(k), true
		}
	}
	return found
}

// redraw labels a stroke, and what touches it on its ground, by how much there is of its ink.
func (t *tracer) redraw(s stroke) {
	for _, i := range s.pixels {
		t.labels[i] = s.ground
	}
	for _, i := range s.pixels {
		t.each(i, 1, func(j int32) {
			if t.labels[j] != s.ground {
				return
			}
			if share, _ := t.blend(t.pic.pix[j], t.inks[s.ground].c, t.inks[s.ink].c); share > 0.5 {
				t.labels[j] = s.ink
			}
		})
	}
}

// recolour sets the inks that have only strokes, by those on the ground that most of theirs are on. Over a stroke and what is
// around it the sums of brightness and of both its colours are kept: their ratio says which colour it is, the brightness of the
// ink as it was found how much of it.
func (t *tracer) recolour(list []stroke, deep []int) {
	type left struct{ y, cb, cr float64 }
	of := make([]left, len(t.inks))
	counted := make([]bool, len(t.labels))
	on := groundsOf(list, len(t.inks))
	for _, s := range list {
		if on[s.ink] != int(s.ground) {
			continue
		}
		g := t.inks[s.ground].c
		for _, i := range s.pixels {
			t.each(i, bleeds, func(j int32) {
				if k := t.labels[j]; counted[j] || k != s.ground && k != s.ink || t.pic.pix[j][3] != g[3] {
					return
				}
				counted[j] = true
				y, cb, cr := difference(t.pic.pix[j], g)
				of[s.ink].y, of[s.ink].cb, of[s.ink].cr = of[s.ink].y+y, of[s.ink].cb+cb, of[s.ink].cr+cr
			})
		}
	}
	for k, sum := range of {
		if deep[k] >= enough || on[k] < 0 {
			continue
		}
		y := t.contrast(k, on[k])
		if math.Abs(y) < plainContrast || sum.y*y <= 0 {
			continue
		}
		t.inks[k] = newInk(coloured(t.inks[on[k]].c, y, sum.cb/sum.y*y, sum.cr/sum.y*y), t.inks[k].count)
	}
}

// groundsOf returns the ground that the most pixels of strokes of each of some inks are on, −1 for none.
func groundsOf(list []stroke, inks int) []int {
	pixels := make([][]int, inks) // of an ink, on each ground
	for _, s := range list {
		if pixels[s.ink] == nil {
			pixels[s.ink] = make([]int, inks)
		}
		pixels[s.ink][s.ground] += len(s.pixels)
	}
	out := make([]int, inks)
	for k, on := range pixels {
		if out[k] = -1; on != nil {
			out[k] = slices.Index(on, slices.Max(on))
		}
	}
	return out
}

// coloured returns the colour that differs from another in brightness and the two differences
// of colour by so much, or the nearest that there is: ITU-T T.871, 7.
func coloured(c rgba, y, cb, cr float64) rgba {
	r, b := y+cr/0.713, y+cb/0.564
	g := (y - 0.299*r - 0.114*b) / 0.587
	for i, d := range [3]float64{r, g, b} {
		c[i] = uint8(math.Round(math.Max(0, math.Min(float64(c[3]), float64(c[i])+d))))
	}
	return c
}
