package paint

import (
	"image"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/job"
)

// Mask is coverage in a box of world pixels: one byte a pixel, rows tight.
// Masks are never changed once made.
type Mask struct {
	Box image.Rectangle
	Pix []uint8
	// rows holds for each row the part that is not empty, relative to
	// Box.Min.X: composing skips the rest.
	rows []span
}

type span struct{ lo, hi int32 }

// NewMask wraps pixels and notes which part of each row is covered.
func newMask(img *image.Alpha) *Mask {
	m := &Mask{Box: img.Rect, Pix: img.Pix, rows: make([]span, img.Rect.Dy())}
	w := img.Rect.Dx()
	for y := range m.rows {
		row := m.Pix[y*w : (y+1)*w]
		lo, hi := 0, w
		for lo < hi && row[lo] == 0 {
			lo++
		}
		for hi > lo && row[hi-1] == 0 {
			hi--
		}
		m.rows[y] = span{int32(lo), int32(hi)}
	}
	return m
}

// At returns the coverage of the world pixel, 0 outside the box.
func (m *Mask) At(p image.Point) uint8 {
	if m == nil || !p.In(m.Box) {
		return 0
	}
	return m.Pix[(p.Y-m.Box.Min.Y)*m.Box.Dx()+p.X-m.Box.Min.X]
}

// row returns the covered part of row y within [x0, x1) as pixels and the
// world x of the first; nil when there is none. y must lie in the box.
func (m *Mask) row(y, x0, x1 int) ([]uint8, int) {
	r := m.rows[y-m.Box.Min.Y]
	lo, hi := max(m.Box.Min.X+int(r.lo), x0), min(m.Box.Min.X+int(r.hi), x1)
	if lo >= hi {
		return nil, 0
	}
	base := (y-m.Box.Min.Y)*m.Box.Dx() - m.Box.Min.X
	return m.Pix[base+lo : base+hi], lo
}

// Without returns what a mask covers and another one, which lies within it, does not.
func (m *Mask) Without(inner *Mask) *Mask {
	out := &image.Alpha{Pix: slices.Clone(m.Pix), Stride: m.Box.Dx(), Rect: m.Box}
	box := m.Box.Intersect(inner.Box)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		if less, x := inner.row(y, box.Min.X, box.Max.X); less != nil {
			pix := out.Pix[out.PixOffset(x, y):]
			for i, v := range less {
				pix[i] -= min(v, pix[i])
			}
		}
	}
	return newMask(out)
}

// BoxPx returns the world pixels that r touches at the scale.
func BoxPx(r geometry.Rect, scale float64) image.Rectangle {
	if r.Empty() {
		return image.Rectangle{}
	}
	// Beyond ± 2^30 pixels nothing can be shown; the bound keeps ints safe.
	lim := func(v float64) int { return int(math.Min(math.Max(v, -1<<30), 1<<30)) }
	return image.Rect(lim(math.Floor(r.Min.X*scale)), lim(math.Floor(r.Min.Y*scale)),
		lim(math.Ceil(r.Max.X*scale)), lim(math.Ceil(r.Max.Y*scale)))
}

// Masker makes masks. It keeps buffers; use one per goroutine.
type Masker struct{ r rasteriser }

// Layer returns the coverage of a layer's content within the window (world
// pixels), with clips multiplied in, and whether the mask holds all of the
// layer. place maps the content's units to board millimetres. An empty layer,
// or one outside the window, has an empty mask.
func (k *Masker) Layer(c job.Content, place geometry.Affine, scale float64, window image.Rectangle) (*Mask, bool) {
	shapes := job.Shapes(c)
	m := geometry.Scale(scale, scale).Mul(place)
	boxes := make([]image.Rectangle, len(shapes))
	var all image.Rectangle
	for i := range shapes {
		boxes[i] = shapeBox(&shapes[i], m)
		all = all.Union(boxes[i])
	}
	box := all.Intersect(window)
	out := image.NewAlpha(box)
	k.shapes(out, shapes, boxes, m, map[*job.Clip]*image.Alpha{})
	return newMask(out), box == all
}

// Path returns the coverage of a path in board millimetres.
func (k *Masker) Path(p geometry.Path, rule geometry.FillRule, scale float64, window image.Rectangle) *Mask {
	out := image.NewAlpha(BoxPx(p.Bounds(), scale).Intersect(window))
	k.r.fill(out, p, geometry.Scale(scale, scale), rule)
	return newMask(out)
}

func shapeBox(s *job.Shape, m geometry.Affine) image.Rectangle {
	return BoxPx(hull(s.Path, m), 1)
}

// hull returns the bounds of the mapped path's points and controls: a little
// more than its tight bounds, and cheaper.
func hull(p geometry.Path, m geometry.Affine) geometry.Rect {
	r := geometry.EmptyRect()
	for _, c := range p {
		r = r.Include(m.Apply(c.Start))
		for _, s := range c.Segments {
			r = r.Include(m.Apply(s.End))
			if s.Cubic {
				r = r.Include(m.Apply(s.C1)).Include(m.Apply(s.C2))
			}
		}
	}
	if !r.Min.Finite() || !r.Max.Finite() {
		return geometry.EmptyRect()
	}
	return r
}

// shapes paints the union of the shapes into dst, which starts out empty.
func (k *Masker) shapes(dst *image.Alpha, shapes []job.Shape, boxes []image.Rectangle, m geometry.Affine, clips map[*job.Clip]*image.Alpha) {
	first := true
	var tmp image.Alpha
	for i := range shapes {
		s := &shapes[i]
		box := boxes[i].Intersect(dst.Rect)
		if box.Empty() {
			continue
		}
		if first && box == dst.Rect && len(shapes) == 1 {
			k.r.fill(dst, s.Path, m, s.Rule)
			k.clip(dst, s.Clips, dst.Rect, m, clips)
			return
		}
		first = false
		n := box.Dx() * box.Dy()
		if cap(tmp.Pix) < n {
			tmp.Pix = make([]uint8, n)
		}
		tmp.Pix, tmp.Stride, tmp.Rect = tmp.Pix[:n], box.Dx(), box
		k.r.fill(&tmp, s.Path, m, s.Rule)
		k.clip(&tmp, s.Clips, dst.Rect, m, clips)
		unite(dst, &tmp)
	}
}

// clip multiplies the clips' coverage into img. Clips are rasterised once for
// the whole window of the layer and remembered in the map.
func (k *Masker) clip(img *image.Alpha, list []*job.Clip, window image.Rectangle, m geometry.Affine, clips map[*job.Clip]*image.Alpha) {
	for _, c := range list {
		cm, ok := clips[c]
		if !ok {
			// A clip that holds itself would never end; while it is being made
			// it covers everything.
			clips[c] = nil
			boxes := make([]image.Rectangle, len(c.Shapes))
			var all image.Rectangle
			for i := range c.Shapes {
				boxes[i] = shapeBox(&c.Shapes[i], m)
				all = all.Union(boxes[i])
			}
			cm = image.NewAlpha(all.Intersect(window))
			k.shapes(cm, c.Shapes, boxes, m, clips)
			clips[c] = cm
		}
		if cm != nil {
			multiply(img, cm)
		}
	}
}

// unite adds src's coverage to dst. The sum is exact for shapes that keep apart
// or share an edge, so that no seam shows between them; where two edges cross
// within a pixel it covers a little too much.
func unite(dst, src *image.Alpha) {
	for y := src.Rect.Min.Y; y < src.Rect.Max.Y; y++ {
		s := src.Pix[src.PixOffset(src.Rect.Min.X, y):][:src.Rect.Dx()]
		d := dst.Pix[dst.PixOffset(src.Rect.Min.X, y):][:src.Rect.Dx()]
		for x, v := range s {
			if v != 0 {
				d[x] = uint8(min(uint32(v)+uint32(d[x]), 255))
			}
		}
	}
}

// multiply scales img by the coverage of by, which is 0 outside its box.
func multiply(img, by *image.Alpha) {
	w := img.Rect.Dx()
	for y := img.Rect.Min.Y; y < img.Rect.Max.Y; y++ {
		row := img.Pix[img.PixOffset(img.Rect.Min.X, y):][:w]
		if y < by.Rect.Min.Y || y >= by.Rect.Max.Y {
			clear(row)
			continue
		}
		lo := min(max(by.Rect.Min.X-img.Rect.Min.X, 0), w)
		hi := max(min(by.Rect.Max.X-img.Rect.Min.X, w), lo)
		clear(row[:lo])
		clear(row[hi:])
		if lo == hi {
			continue
		}
		c := by.Pix[by.PixOffset(img.Rect.Min.X+lo, y):][:hi-lo]
		for x, v := range c {
			if v != 255 && row[lo+x] != 0 {
				row[lo+x] = uint8((uint32(row[lo+x])*uint32(v) + 127) / 255)
			}
		}
	}
}
