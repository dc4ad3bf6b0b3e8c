package weak

import (
	"maps"
	"math"
	"slices"

	"abut/geometry"
)

// beyond returns the discs at which a waist that opens at a wide angle goes on
// to widen: they touch at a blunter angle than a thin place does, and lie less than
// a width from the nearest of the waist's own discs.
func (s *shape) beyond(discs []disc, width float64) []disc {
	if len(s.opening) == 0 {
		return nil
	}
	if s.openings == nil {
		s.openings = newBins(s.opening, width)
	}
	own := newBins(discs, width)
	near := map[int32]bool{}
	for at := range own.in {
		for _, i := range s.openings.around(at) {
			near[i] = true
		}
	}
	var out []disc
	for _, i := range slices.Sorted(maps.Keys(near)) {
		d := &s.opening[i]
		best, nearest := width, int32(-1)
		for _, k := range own.around(own.at(d.c)) {
			if l := discs[k].c.Sub(d.c).Len(); l < best || l == best && k < nearest {
				best, nearest = l, k
			}
		}
		// Towards a plain corner discs become smaller.
		if nearest >= 0 && d.r > discs[nearest].r {
			out = append(out, *d)
		}
	}
	return out
}

// bins are discs by the square, as large as size, that they lie in.
type bins struct {
	size float64
	in   map[[2]int32][]int32
}

func newBins(discs []disc, size float64) *bins {
	b := &bins{size, map[[2]int32][]int32{}}
	for i := range discs {
		at := b.at(discs[i].c)
		b.in[at] = append(b.in[at], int32(i))
	}
	return b
}

func (b *bins) at(p geometry.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p.X / b.size)), int32(math.Floor(p.Y / b.size))}
}

// around lists the discs in a square and in the eight around it: all that are
// nearer than size to any place in it.
func (b *bins) around(at [2]int32) []int32 {
	var out []int32
	for dy := int32(-1); dy <= 1; dy++ {
		for dx := int32(-1); dx <= 1; dx++ {
			out = append(out, b.in[[2]int32{at[0] + dx, at[1] + dy}]...)
		}
	}
	return out
}
