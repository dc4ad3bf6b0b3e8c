package packing

import (
	"math"
	"slices"

	"abut/geometry"
)

// span is a stretch across the sheet, in steps.
type span struct{ lo, hi int32 }

// profile is a shape with one of its turns: the stretches that it reaches over in
// each slab, from its lowest corner. Those of a slab are apart and ascending.
type profile struct {
	slabs [][]span
	// tall is the tallest span of each slab.
	tall []int32
	// low is its lowest corner in its turned coordinates.
	lowX, lowY    int32
	width, height int32
}

// corner is a vertex in steps.
type corner struct{ x, y int32 }

// turned returns a path of straight lines, turned, on the grid.
func turned(path geometry.Path, turn float64) [][]corner {
	m := geometry.Rotate(turn)
	var out [][]corner
	for _, c := range path {
		ring := make([]corner, 0, len(c.Segments)+1)
		for a := range c.Sides() {
			p := m.Apply(a)
			ring = append(ring, corner{steps(p.X), steps(p.Y)})
		}
		out = append(out, ring)
	}
	return out
}

// newProfile cuts outlines, even-odd, into slabs of this width.
//
// What lies within a slab is seen from its side as all that its border reaches
// over in it, and what is inside on one line through it: from any other place
// within, one comes straight to the border or to that line. The line is half a step
// within the slab, where no vertex is.
func newProfile(rings [][]corner, slab int32) *profile {
	lo, hi := boundsOf(rings)
	return profileFrom(rings, slab, lo, hi)
}

// boundsOf returns the lowest and the highest corner, the latter lower where there is
// none.
func boundsOf(rings [][]corner) (lo, hi corner) {
	lo, hi = corner{math.MaxInt32, math.MaxInt32}, corner{math.MinInt32, math.MinInt32}
	for _, ring := range rings {
		for _, c := range ring {
			lo.x, lo.y, hi.x, hi.y = min(lo.x, c.x), min(lo.y, c.y), max(hi.x, c.x), max(hi.y, c.y)
		}
	}
	return lo, hi
}

// profileFrom is newProfile with a lowest corner that may lie lower than all of them.
func profileFrom(rings [][]corner, slab int32, lo, hi corner) *profile {
	p := &profile{}
	if lo.x >= hi.x {
		return p
	}
	p.lowX, p.lowY, p.width, p.height = lo.x, lo.y, hi.x-lo.x, hi.y-lo.y
	n := int((p.width + slab - 1) / slab)
	p.slabs = make([][]span, n)
	lines := make([][]float64, n) // where the border crosses the slab's line
	for _, ring := range rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if a.x > b.x {
				a, b = b, a
			}
			ax, ay, bx, by := a.x-lo.x, a.y-lo.y, b.x-lo.x, b.y-lo.y
			if ax == bx {
				if k := ax / slab; ax%slab != 0 { // what is on a slab's edge is in none
					p.slabs[k] = append(p.slabs[k], span{min(ay, by), max(ay, by)})
				}
				continue
			}
			at := func(x float64) float64 {
				return float64(ay) + (x-float64(ax))*float64(by-ay)/float64(bx-ax)
			}
			for k := ax / slab; k*slab < bx; k++ {
				// Ends are as they are, not worked out.
				y0, y1 := float64(ay), float64(by)
				if k*slab > ax {
					y0 = at(float64(k * slab))
				}
				if (k+1)*slab < bx {
					y1 = at(float64((k + 1) * slab))
				}
				p.slabs[k] = append(p.slabs[k], span{floor(min(y0, y1)), ceil(max(y0, y1))})
				if x := float64(k*slab) + 0.5; float64(ax) < x && x < float64(bx) {
					lines[k] = append(lines[k], at(x))
				}
			}
		}
	}
	for k, ys := range lines {
		slices.Sort(ys)
		for i := 0; i+1 < len(ys); i += 2 {
			p.slabs[k] = append(p.slabs[k], span{floor(ys[i]), ceil(ys[i+1])})
		}
		p.slabs[k] = joined(p.slabs[k])
		tall := int32(0)
		for _, s := range p.slabs[k] {
			tall = max(tall, s.hi-s.lo)
		}
		p.tall = append(p.tall, tall)
	}
	return p
}

// around is how far a profile reaches over the bounds of what it is a profile of, on
// the side where that is least.
func (p *profile) around(b geometry.Rect) int32 {
	if len(p.slabs) == 0 {
		return math.MaxInt32 // it reaches over nothing
	}
	return max(0, min(down(b.Min.X)-p.lowX, down(b.Min.Y)-p.lowY, p.lowX+p.width-up(b.Max.X), p.lowY+p.height-up(b.Max.Y)))
}

// floor and ceil forgive what floats are off by, far less than a step: else what
// lies on the grid would come out a step too large.
func floor(v float64) int32 { return int32(math.Floor(v + 1e-6)) }
func ceil(v float64) int32  { return int32(math.Ceil(v - 1e-6)) }

// joined sorts spans, joins those that meet, and drops those of no length.
func joined(spans []span) []span {
	slices.SortFunc(spans, func(a, b span) int { return int(a.lo) - int(b.lo) })
	out := spans[:0]
	for _, s := range spans {
		if n := len(out); n > 0 && s.lo <= out[n-1].hi {
			out[n-1].hi = max(out[n-1].hi, s.hi)
		} else if s.lo < s.hi {
			out = append(out, s)
		}
	}
	return out
}

// table is a sheet with shapes on it: what is taken of each slab, ascending.
type table struct {
	slab          int32
	width, height int32
	taken         [][]span
	// widest is the widest gap of each slab, where that is kept: most places between
	// many shapes are known to be too narrow by it.
	widest    []int32
	keepsGaps bool
	// base is what is taken of each slab before anything is put.
	base [][]span
}

// taken returns what outlines take of each slab of a sheet, slabs from its lowest corner
// on. They may lie over each other, and reach over the sheet's edge.
func taken(outlines [][][]corner, slab int32) (out [][]span) {
	for _, rings := range outlines {
		lo, hi := boundsOf(rings)
		if lo.x >= hi.x {
			continue
		}
		first := int32(math.Floor(float64(lo.x) / float64(slab)))
		p := profileFrom(rings, slab, corner{first * slab, lo.y}, hi)
		for k, spans := range p.slabs {
			c := int(first) + k
			if c < 0 {
				continue
			}
			for len(out) <= c {
				out = append(out, nil)
			}
			for _, s := range spans {
				out[c] = append(out[c], span{s.lo + lo.y, s.hi + lo.y})
			}
		}
	}
	for c := range out {
		out[c] = joined(out[c])
	}
	return out
}

// lowest returns the lowest height, from y on, at which a shape is clear with its
// first slab on slab x.
func (t *table) lowest(p *profile, x, y int32) (int32, bool) {
	most := t.height - p.height
	n := len(p.slabs)
	have := int32(len(t.taken))
	if t.keepsGaps {
		for k, tall := range p.tall {
			if c := x + int32(k); c < have && t.widest[c] < tall {
				return 0, false
			}
		}
	}
	// Around and around, until all slabs are clear at one height.
	for k, clear := 0, 0; clear < n; clear++ {
		if c := x + int32(k); c < have {
			if up := raise(t.taken[c], p.slabs[k], y); up > y {
				if up > most {
					return 0, false
				}
				y, clear = up, 0
			}
		}
		if k++; k == n {
			k = 0
		}
	}
	return y, y <= most
}

// raise returns the lowest height from y on at which spans are clear of what is
// taken.
func raise(taken, spans []span, y int32) int32 {
	for k := 0; k < len(spans); k++ {
		s := spans[k]
		// The first that ends above where the span begins.
		lo, hi := 0, len(taken)
		for lo < hi {
			if m := int(uint(lo+hi) >> 1); taken[m].hi <= s.lo+y {
				lo = m + 1
			} else {
				hi = m
			}
		}
		was := y
		for ; lo < len(taken) && taken[lo].lo < s.hi+y; lo++ {
			y = taken[lo].hi - s.lo
		}
		if y > was && k > 0 {
			k = -1 // those before have moved with it
		}
	}
	return y
}

// put takes the place of a shape.
func (t *table) put(p *profile, x, y int32) {
	t.reach(int(x) + len(p.slabs))
	for k, spans := range p.slabs {
		at := &t.taken[int(x)+k]
		for _, s := range spans {
			s.lo += y
			s.hi += y
			i := len(*at)
			for i > 0 && (*at)[i-1].lo > s.lo {
				i--
			}
			*at = slices.Insert(*at, i, s)
		}
		if t.keepsGaps {
			t.measure(int(x) + k)
		}
	}
}

// reach makes so many slabs.
func (t *table) reach(slabs int) {
	for slabs > len(t.taken) {
		if n := len(t.taken); n < cap(t.taken) { // with the memory of the last layout
			t.taken = t.taken[:n+1]
			t.taken[n] = t.taken[n][:0]
		} else {
			t.taken = append(t.taken, nil)
		}
		if t.keepsGaps {
			t.widest = append(t.widest[:len(t.taken)-1], t.height)
		}
	}
}

// measure finds the widest gap of a slab.
func (t *table) measure(c int) {
	widest, from := int32(0), int32(0)
	for _, s := range t.taken[c] {
		widest, from = max(widest, s.lo-from), max(from, s.hi)
	}
	t.widest[c] = max(widest, t.height-from)
}

// take takes a shape off again.
func (t *table) take(p *profile, x, y int32) {
	for k, spans := range p.slabs {
		at := &t.taken[int(x)+k]
		for _, s := range spans {
			i, _ := slices.BinarySearchFunc(*at, s.lo+y, func(a span, lo int32) int { return int(a.lo) - int(lo) })
			*at = slices.Delete(*at, i, i+1)
		}
	}
}

// clear takes off all that was put.
func (t *table) clear() {
	t.taken = t.taken[:0]
	t.reach(len(t.base))
	for c, spans := range t.base {
		t.taken[c] = append(t.taken[c], spans...)
		if t.keepsGaps {
			t.measure(c)
		}
	}
}
