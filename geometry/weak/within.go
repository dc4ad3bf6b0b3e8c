package weak

import (
	"cmp"
	"slices"
	"sort"

	"abut/geometry"
)

// within returns the medial discs with their centres inside the outline of a thin
// part, of which free are the stretches of the shape's own outline. They touch it
// along these or close by, which spares looking through all others.
func (s *shape) within(outline geometry.Path, bounds geometry.Rect, free [][]geometry.Point, l *lengths) []disc {
	var out []disc
	inside := geometry.NewEnclosure(outline)
	for _, r := range s.touching(free, l) {
		for i := r.lo; i < r.hi; i++ {
			if c := s.discs[i].c; bounds.Contains(c) && inside.Holds(c) {
				out = append(out, s.discs[i])
			}
		}
	}
	return out
}

// span is some discs of a shape, lo to hi−1.
type span struct{ lo, hi int }

// touching returns the discs that touch the outline along the given stretches of
// it, or within a width of these along the outline; in order.
func (s *shape) touching(free [][]geometry.Point, l *lengths) []span {
	w := s.way()
	var out []span
	for _, way := range free {
		for i := 1; i < len(way); i++ {
			a, b := way[i-1], way[i]
			// The middle lies on a side, but for rounding; the ends may be those of
			// many.
			side, at, ok := s.grid.nearest(a.Lerp(b, 0.5), l.sample, -1)
			if !ok {
				return []span{{0, len(s.discs)}}
			}
			x := w.start[side] + at.Sub(s.grid.sides[side].a).Len()
			reach := b.Sub(a).Len()/2 + l.width
			c := w.contour[side]
			lo, hi := x-reach, x+reach
			out = append(out, s.spans(c, lo, hi)...)
			if first, end := w.ends[c], w.ends[c+1]; lo < first {
				out = append(out, s.spans(c, lo+end-first, end)...)
			} else if hi > end {
				out = append(out, s.spans(c, first, hi-end+first)...)
			}
		}
	}
	slices.SortFunc(out, func(a, b span) int { return cmp.Compare(a.lo, b.lo) })
	all := out[:0]
	for _, r := range out {
		if n := len(all); n > 0 && r.lo <= all[n-1].hi {
			all[n-1].hi = max(all[n-1].hi, r.hi)
		} else {
			all = append(all, r)
		}
	}
	return all
}

// way measures along a shape's outline, contour after contour.
type way struct {
	start   []float64 // of each side
	contour []int32   // of each side
	ends    []float64 // where each contour begins; and where the last one ends
}

// way returns it, made the first time.
func (s *shape) way() *way {
	if s.measured != nil {
		return s.measured
	}
	w := &way{}
	at, first := 0.0, 0
	for i := range s.grid.sides {
		if i == first {
			w.ends = append(w.ends, at)
		}
		w.start = append(w.start, at)
		w.contour = append(w.contour, int32(len(w.ends)-1))
		at += s.grid.sides[i].length()
		if int(s.grid.sides[i].next) == first {
			first = i + 1
		}
	}
	w.ends = append(w.ends, at)
	s.measured = w
	return w
}

// spans returns the discs that touch contour c between two places along the
// outline: one span or none.
func (s *shape) spans(c int32, lo, hi float64) []span {
	w := s.measured
	lo, hi = max(lo, w.ends[c]), min(hi, w.ends[c+1])
	place := func(d *disc) float64 {
		wall := &s.grid.sides[d.s]
		return w.start[d.s] + wall.nearest(d.c).Sub(wall.a).Len()
	}
	from := sort.Search(len(s.discs), func(i int) bool { return place(&s.discs[i]) >= lo })
	to := sort.Search(len(s.discs), func(i int) bool { return place(&s.discs[i]) > hi })
	if from < to {
		return []span{{from, to}}
	}
	return nil
}
