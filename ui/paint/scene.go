package paint

import (
	"encoding/binary"
	"image"
	"iter"
	"math"

	"abut/internal/colour"
	"abut/internal/job"
)

// Layer is one layer of a scene: what is needed to paint and count it.
type Layer struct {
	ID     job.LayerID
	Mask   *Mask
	Colour colour.RGB
	Alpha  float64
	// Group is the opacity group, 0 for none: at any place only the topmost of
	// its layers is painted and counted.
	Group job.GroupID
	// Separation tells sheets apart: layers with equal numbers never stack.
	// 0 counts as nothing (bare, drawn).
	Separation uint16
	// Mixes: the layer is translucent, so what it is cut from depends on what it
	// covers, pixel by pixel; Separation does not count then.
	Mixes bool
	// Bare: the layer has no dye. It is painted white, and what the blank's
	// colour does to white is left to whoever paints the blank.
	Bare bool
	// Drawn lines are no ground to mix over.
	Drawn bool
	// Knocks stops the count: what lies beneath is cut out.
	Knocks bool
	// Pressed is the colour of the sheet that it is cut from, with Separation.
	Pressed colour.RGB
	// Shift moves the layer by whole pixels while it is dragged.
	Shift image.Point
}

// Box returns where the layer is, shift included.
func (l *Layer) Box() image.Rectangle { return l.Mask.Box.Add(l.Shift) }

// at returns the coverage at a world pixel, shift included.
func (l *Layer) at(p image.Point) uint8 { return l.Mask.At(p.Sub(l.Shift)) }

// row is Mask.row with the shift applied.
func (l *Layer) row(y, x0, x1 int) ([]uint8, int) {
	y -= l.Shift.Y
	if y < l.Mask.Box.Min.Y || y >= l.Mask.Box.Max.Y {
		return nil, 0
	}
	pix, lo := l.Mask.row(y, x0-l.Shift.X, x1-l.Shift.X)
	return pix, lo + l.Shift.X
}

// Scene is what the board shows of a job: layers bottom first over paper.
type Scene struct {
	Layers []Layer
	// Blank is the colour at the bottom of every mix.
	Blank colour.RGB
	// Pressed paints each layer as its sheet is pressed, not as it was drawn. What
	// is translucent is mixed as drawn either way.
	Pressed bool
	// material tells what a mixed colour is cut from. It remembers colours, so
	// it belongs to whoever counts.
	material func(colour.RGB) material
}

// Compose paints the layers over what dst shows, bottom first. dst.Rect says
// which world pixels it holds.
func (s *Scene) Compose(dst *image.RGBA) {
	for i := range s.Layers {
		l := &s.Layers[i]
		if l.Alpha <= 0 {
			continue
		}
		a, c := uint32(min(l.Alpha, 1)*255+0.5), s.Look(l)
		for at, pix := range s.shown(i, dst.Rect) {
			o := dst.PixOffset(at.X, at.Y)
			blend(dst.Pix[o:o+4*len(pix)], pix, c, a)
		}
	}
}

// shown goes through the rows of layer i in a rectangle, less what layers of its opacity
// group hide of them: where each begins, and its coverage, which is only lent.
func (s *Scene) shown(i int, r image.Rectangle) iter.Seq2[image.Point, []uint8] {
	return func(yield func(image.Point, []uint8) bool) {
		l := &s.Layers[i]
		box := l.Box().Intersect(r)
		if box.Empty() {
			return
		}
		above := s.groupAbove(i)
		var scratch []uint8
		for y := box.Min.Y; y < box.Max.Y; y++ {
			pix, x := l.row(y, box.Min.X, box.Max.X)
			if pix == nil {
				continue
			}
			if above != nil {
				scratch = append(scratch[:0], pix...)
				hideBeneath(scratch, x, y, above)
				pix = scratch
			}
			if !yield(image.Pt(x, y), pix) {
				return
			}
		}
	}
}

// Look is the colour that a layer is painted in.
func (s *Scene) Look(l *Layer) colour.RGB {
	switch {
	case l.Bare:
		return colour.White
	case s.Pressed && l.Separation != 0:
		return l.Pressed
	}
	return l.Colour
}

// TintAt paints a colour through a mask that belongs to layer i, hidden by what
// lies above that layer and moved along with it.
func (s *Scene) TintAt(dst *image.RGBA, i int, m *Mask, c colour.RGB, a uint8) {
	l := Layer{Mask: m, Shift: s.Layers[i].Shift}
	box := l.Box().Intersect(dst.Rect)
	var above []*Layer
	for j := i + 1; j < len(s.Layers); j++ {
		if u := &s.Layers[j]; u.Box().Overlaps(box) {
			above = append(above, u)
		}
	}
	var row []uint8
	for y := box.Min.Y; y < box.Max.Y; y++ {
		pix, x := l.row(y, box.Min.X, box.Max.X)
		if pix == nil {
			continue
		}
		row = append(row[:0], pix...)
		hideBeneath(row, x, y, above)
		o := dst.PixOffset(x, y)
		blend(dst.Pix[o:o+4*len(row)], row, c, uint32(a))
	}
}

// groupAbove returns the layers over layer i in its opacity group, when that
// makes a difference.
func (s *Scene) groupAbove(i int) []*Layer {
	l := &s.Layers[i]
	if l.Group == 0 {
		return nil
	}
	var above []*Layer
	for j := i + 1; j < len(s.Layers); j++ {
		if u := &s.Layers[j]; u.Group == l.Group && u.Box().Overlaps(l.Box()) {
			above = append(above, u)
		}
	}
	return above
}

// hideBeneath takes the coverage of the layers above out of a row of pixels
// that starts at world pixel (x, y).
func hideBeneath(row []uint8, x, y int, above []*Layer) {
	for _, u := range above {
		pix, ux := u.row(y, x, x+len(row))
		for i, v := range pix {
			if d := &row[ux-x+i]; v != 0 && *d != 0 {
				*d = uint8(uint32(*d) * (255 - uint32(v)) / 255)
			}
		}
	}
}

// blend paints the colour through the coverage at opacity a (0…255) onto
// opaque pixels.
func blend(dst []uint8, cover []uint8, c colour.RGB, a uint32) {
	full := uint32(c.R) | uint32(c.G)<<8 | uint32(c.B)<<16 | 0xff000000
	for i := 0; i < len(cover); i++ {
		// Most of a mask is empty or full for many pixels on end.
		if i+8 <= len(cover) {
			switch eight := binary.LittleEndian.Uint64(cover[i:]); {
			case eight == 0:
				i += 7
				continue
			case eight == math.MaxUint64 && a == 255:
				p := dst[4*i : 4*i+32 : 4*i+32]
				two := uint64(full)<<32 | uint64(full)
				binary.LittleEndian.PutUint64(p, two)
				binary.LittleEndian.PutUint64(p[8:], two)
				binary.LittleEndian.PutUint64(p[16:], two)
				binary.LittleEndian.PutUint64(p[24:], two)
				i += 7
				continue
			}
		}
		m := cover[i]
		if m == 0 {
			continue
		}
		p := dst[4*i : 4*i+4 : 4*i+4]
		k := uint32(m)
		if a != 255 {
			k = (k*a + 127) / 255
		}
		if k == 255 {
			binary.LittleEndian.PutUint32(p, full)
			continue
		}
		n := 255 - k
		p[0] = uint8((uint32(p[0])*n + uint32(c.R)*k + 127) / 255)
		p[1] = uint8((uint32(p[1])*n + uint32(c.G)*k + 127) / 255)
		p[2] = uint8((uint32(p[2])*n + uint32(c.B)*k + 127) / 255)
		p[3] = 255
	}
}

// hitPx is how far from a layer, in pixels, a click still catches it, so that
// thin lines can be picked.
const hitPx = 3

// Hits returns the layers at the world pixel, topmost first: those that cover
// it, then those within HitPx.
func (s *Scene) Hits(p image.Point) []job.LayerID {
	var sure, near []job.LayerID
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		switch {
		case l.at(p) >= 128:
			sure = append(sure, l.ID)
		case l.near(p):
			near = append(near, l.ID)
		}
	}
	return append(sure, near...)
}

func (l *Layer) near(p image.Point) bool {
	r := image.Rect(p.X-hitPx, p.Y-hitPx, p.X+hitPx+1, p.Y+hitPx+1)
	if !r.Overlaps(l.Box()) {
		return false
	}
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if l.at(image.Pt(x, y)) >= 64 {
				return true
			}
		}
	}
	return false
}
