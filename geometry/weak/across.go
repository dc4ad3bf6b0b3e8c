package weak

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
)

// across tells which shape lies on the other side of a side. Shapes that meet mostly
// have the same corners there: such sides are found by their ends.
type across struct {
	table []int32 // 1 + index of ids, by hash
	ids   []sideID
}

// sideID is a side of a shape.
type sideID struct{ shape, side int32 }

// newAcross makes room for so many sides.
func newAcross(sides int) *across {
	return &across{table: make([]int32, 2*sides+1), ids: make([]sideID, 0, sides)}
}

// slot returns where the side from a to b is, or where it would be.
func (x *across) slot(shapes []shape, a, b geometry.Point) *int32 {
	h := uint64(14695981039346656037)
	for _, v := range [4]float64{a.X, a.Y, b.X, b.Y} {
		h = (h ^ math.Float64bits(v+0)) * 0x9E3779B97F4A7C15 // −0 is 0
		h ^= h >> 29
	}
	for i := h % uint64(len(x.table)); ; i = (i + 1) % uint64(len(x.table)) {
		if x.table[i] == 0 {
			return &x.table[i]
		}
		id := x.ids[x.table[i]-1]
		if s := &shapes[id.shape].sides[id.side]; s.a == a && s.b == b {
			return &x.table[i]
		}
	}
}

// meet files the sides of a shape, and finds those that it shares with one before.
func (x *across) meet(shapes []shape, k int32) {
	s := &shapes[k]
	if need := 2 * (len(x.ids) + len(s.sides)); need > len(x.table) {
		x.table = make([]int32, 2*need)
		for i, id := range x.ids {
			*x.slot(shapes, shapes[id.shape].sides[id.side].a, shapes[id.shape].sides[id.side].b) = int32(i + 1)
		}
	}
	s.across = make([]int32, len(s.sides))
	for i := range s.sides {
		s.across[i] = -1
		a, b := s.sides[i].a, s.sides[i].b
		if at := *x.slot(shapes, b, a); at > 0 {
			other := x.ids[at-1]
			s.across[i], shapes[other.shape].across[other.side] = other.shape, k
		}
		x.ids = append(x.ids, sideID{k, int32(i)})
		*x.slot(shapes, a, b) = int32(len(x.ids))
	}
}

// unshared returns the sides that nothing was found across of, as closed ways: each
// contour leaves a corner as often as it comes to it, and so does what is left when
// sides are taken away in pairs, there and back.
func unshared(shapes []shape) geometry.Path {
	var runs [][]geometry.Point // of sides that follow each other
	for i := range shapes {
		sides, across := shapes[i].sides, shapes[i].across
		for k := 0; k < len(sides); k++ {
			if across[k] >= 0 {
				continue
			}
			run := []geometry.Point{sides[k].a, sides[k].b}
			for ; int(sides[k].next) == k+1 && across[k+1] < 0; k++ {
				run = append(run, sides[k+1].b)
			}
			runs = append(runs, run)
		}
	}
	from := map[geometry.Point][]int{} // runs that begin there
	var out geometry.Path
	for i, run := range runs {
		if run[0] == run[len(run)-1] {
			out = append(out, geometry.Polygon(run[:len(run)-1]...))
			continue
		}
		from[run[0]] = append(from[run[0]], i)
	}
	for _, run := range runs {
		var pts []geometry.Point
		for at := run[0]; len(from[at]) > 0; at = pts[len(pts)-1] {
			rest := from[at]
			from[at] = rest[:len(rest)-1]
			pts = append(pts, runs[rest[len(rest)-1]][1:]...)
		}
		if len(pts) > 2 {
			out = append(out, geometry.Polygon(pts...))
		}
	}
	return out
}

// unowned returns the outlines of the places that no shape has, the one around
// everything included.
func unowned(ctx context.Context, shapes []shape, width float64) ([]geometry.Path, error) {
	b := geometry.EmptyRect()
	for i := range shapes {
		b = b.Union(shapes[i].bounds)
	}
	if b.Empty() {
		return nil, nil
	}
	m, err := planar.Build(ctx, []planar.Layer{
		{Figures: []planar.Figure{{Path: b.Grow(4 * width).Path()}}},
		{Figures: []planar.Figure{{Path: unshared(shapes), Rule: geometry.EvenOdd}}},
	}, planar.Options{})
	if err != nil {
		return nil, err
	}
	d, err := m.Divide(ctx, m.Label(func(cover []int32) int32 {
		if len(cover) == 1 && cover[0] == 0 {
			return 0
		}
		return planar.None
	}))
	if err != nil {
		return nil, err
	}
	out := make([]geometry.Path, len(d.Pieces))
	for i := range d.Pieces {
		out[i] = d.Outline(i)
	}
	return out, nil
}

// beside adds to all the lengths of what lies across of a side between two of its
// places, by piece.
func (f *finder) beside(k, side int32, a, b geometry.Point, all map[int32]float64) {
	length := b.Sub(a).Len()
	if other := f.shapes[k].across[side]; other >= 0 {
		all[f.shapes[other].piece] += length
		return
	}
	left := length
	u := b.Sub(a).Mul(1 / length)
	for _, id := range f.loosely(k, side) {
		s := &f.shapes[id.shape].sides[id.side]
		// What runs back along it. Where sides have other corners rounding moves
		// them a step or two apart.
		from, to := max(0, s.b.Sub(a).Dot(u)), min(length, s.a.Sub(a).Dot(u))
		if from >= to {
			continue
		}
		p, q := a.Add(u.Mul(from)), a.Add(u.Mul(to))
		if s.distance(p) > roundingMM || s.distance(q) > roundingMM {
			continue
		}
		all[f.shapes[id.shape].piece] += to - from
		left -= to - from
	}
	if left > roundingMM {
		all[NoPiece] += left
	}
}

// loosely returns the sides of other shapes, among those that no other side shares
// both ends with, that lie near to one.
func (f *finder) loosely(k, side int32) []sideID {
	if f.loose == nil {
		f.loose = &grid{}
		for i := range f.shapes {
			s := &f.shapes[i]
			for j := range s.sides {
				if s.across[j] < 0 {
					f.loose.sides = append(f.loose.sides, s.sides[j])
					f.looseIDs = append(f.looseIDs, sideID{int32(i), int32(j)})
				}
			}
		}
		if g, err := newGrid(&pace{ctx: context.Background()}, f.loose.sides, f.lengths.width); err == nil {
			f.loose = g
		}
	}
	var out []sideID
	f.loose.now++
	f.loose.cells.visit(&f.shapes[k].sides[side], func(c int) {
		for _, i := range f.loose.cells.list[f.loose.cells.start[c]:f.loose.cells.start[c+1]] {
			if id := f.looseIDs[i]; f.loose.stamp[i] != f.loose.now && id.shape != k {
				f.loose.stamp[i] = f.loose.now
				out = append(out, id)
			}
		}
	})
	return out
}
