package trace

import (
	"math"
	"slices"

	"abut/geometry"
)

// Sheet is the sheet of paper that a scan or a photograph shows on something else.
type Sheet struct {
	// Corners are its own, in pixels, clockwise on screen from the upper left.
	Corners [4]geometry.Point
	// TurnDeg is how far it lies turned, clockwise on screen, from -45 to 45.
	TurnDeg float64
}

const (
	// sheetRim is how far within its edge the sheet is cut off, as a share of its
	// longer side: a shadow and the bend of the paper lie there.
	sheetRim = 0.01
	// sheetFills is how much of a rectangle a sheet fills at least: less is not one, or
	// was seen so much from the side that it is no rectangle.
	sheetFills = 0.94
	// sheetLeast and sheetMost are how much of the picture it may be.
	sheetLeast, sheetMost = 0.2, 0.985
)

// findSheet returns the sheet: what is left when all that hangs together with the
// border of the picture and is not paper goes, if that is a rectangle.
func (t *tracer) findSheet() *Sheet {
	paper := t.paper()
	if paper < 0 {
		return nil
	}
	ends, area := t.ends(t.beyond(paper))
	share := float64(area) / float64(len(t.labels))
	if share < sheetLeast || share > sheetMost {
		return nil
	}
	s, size := leastRectangle(hull(ends))
	if float64(area) < sheetFills*size {
		return nil
	}
	return s
}

// paper is the brightest ink that there is much of, -1 where there is none.
func (t *tracer) paper() int {
	count := make([]int, len(t.inks))
	for _, k := range t.labels {
		count[k]++
	}
	paper := -1
	for k := range t.inks {
		if k != bare && count[k]*10 > len(t.labels) && (paper < 0 || t.inks[k].lab.L > t.inks[paper].lab.L) {
			paper = k
		}
	}
	return paper
}

// beyond marks what is not paper and hangs together with the border of the picture.
func (t *tracer) beyond(paper int) []bool {
	w, h := t.pic.w, t.pic.h
	beyond := make([]bool, len(t.labels))
	var stack []int
	push := func(i int) {
		if !beyond[i] && int(t.labels[i]) != paper {
			beyond[i] = true
			stack = append(stack, i)
		}
	}
	for x := range w {
		push(x)
		push((h-1)*w + x)
	}
	for y := range h {
		push(y * w)
		push(y*w + w - 1)
	}
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		x, y := i%w, i/w
		if x > 0 {
			push(i - 1)
		}
		if x+1 < w {
			push(i + 1)
		}
		if y > 0 {
			push(i - w)
		}
		if y+1 < h {
			push(i + w)
		}
	}
	return beyond
}

// ends returns the corners of the first and the last pixel of each row that is not beyond
// the sheet, which are all that a hull needs, and how many pixels there are.
func (t *tracer) ends(beyond []bool) (ends []geometry.Point, area int) {
	w := t.pic.w
	for y := range t.pic.h {
		first, last := -1, -1
		for x := range w {
			if !beyond[y*w+x] {
				area++
				if last = x; first < 0 {
					first = x
				}
			}
		}
		if first >= 0 {
			for _, v := range [2]int{y, y + 1} {
				ends = append(ends, geometry.Pt(float64(first), float64(v)), geometry.Pt(float64(last+1), float64(v)))
			}
		}
	}
	return ends, area
}

// mapped returns the sheet elsewhere, nil where there is none.
func (s *Sheet) mapped(m geometry.Affine) *Sheet {
	if s == nil {
		return nil
	}
	out := *s
	for i, p := range s.Corners {
		out.Corners[i] = m.Apply(p)
	}
	return &out
}

// hull returns the convex hull, clockwise on screen: A. M. Andrew, 1979.
func hull(points []geometry.Point) []geometry.Point {
	slices.SortFunc(points, func(a, b geometry.Point) int {
		if a.X != b.X && a.X < b.X || a.X == b.X && a.Y < b.Y {
			return -1
		}
		return 1
	})
	half := func(out []geometry.Point, p geometry.Point, least int) []geometry.Point {
		for len(out) > least && out[len(out)-1].Sub(out[len(out)-2]).Cross(p.Sub(out[len(out)-1])) <= 0 {
			out = out[:len(out)-1]
		}
		return append(out, p)
	}
	var out []geometry.Point
	for _, p := range points {
		out = half(out, p, 1)
	}
	under := len(out)
	for i := len(points) - 2; i >= 0; i-- {
		out = half(out, points[i], under)
	}
	return out[:len(out)-1]
}

// leastRectangle returns the rectangle of least area around a convex polygon, which
// has a side along one of the polygon's, and its area.
func leastRectangle(p []geometry.Point) (*Sheet, float64) {
	best, least := &Sheet{}, math.Inf(1)
	for i := range p {
		d := p[(i+1)%len(p)].Sub(p[i])
		if d.Len() < 1e-9 {
			continue
		}
		d = unit(d)
		// The quarter turn by which the side lies nearest to a row of pixels.
		for math.Abs(d.X) < math.Abs(d.Y) || d.X < 0 {
			d = geometry.Pt(-d.Y, d.X)
		}
		e := geometry.Pt(-d.Y, d.X)
		u0, u1, v0, v1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, q := range p {
			u, v := q.Dot(d), q.Dot(e)
			u0, u1, v0, v1 = math.Min(u0, u), math.Max(u1, u), math.Min(v0, v), math.Max(v1, v)
		}
		if area := (u1 - u0) * (v1 - v0); area < least {
			at := func(u, v float64) geometry.Point { return d.Mul(u).Add(e.Mul(v)) }
			least = area
			best = &Sheet{
				Corners: [4]geometry.Point{at(u0, v0), at(u1, v0), at(u1, v1), at(u0, v1)},
				TurnDeg: math.Atan2(d.Y, d.X) * 180 / math.Pi,
			}
		}
	}
	return best, least
}

// upright is the map from the picture to the sheet as it lies straight, its rim cut
// off, and its size.
func (s *Sheet) upright() (m geometry.Affine, size geometry.Point) {
	d := unit(s.Corners[1].Sub(s.Corners[0]))
	w, h := s.Corners[1].Sub(s.Corners[0]).Len(), s.Corners[3].Sub(s.Corners[0]).Len()
	rim := sheetRim * math.Max(w, h)
	in := s.Corners[0].Add(d.Mul(rim)).Add(geometry.Pt(-d.Y, d.X).Mul(rim))
	size = geometry.Pt(w-2*rim, h-2*rim)
	return geometry.Rotate(-s.TurnDeg * math.Pi / 180).Mul(geometry.Translate(-in.X, -in.Y)), size
}

// cutOff makes all bare that lies beyond the sheet.
func (t *tracer) cutOff(s *Sheet) {
	m, size := s.upright()
	pic := newPicture(t.pic.w, t.pic.h)
	copy(pic.pix, t.pic.pix)
	for i, c := range pic.pix {
		p := m.Apply(geometry.Pt(float64(i%pic.w)+0.5, float64(i/pic.w)+0.5))
		// How much of the pixel is within, nearly.
		in := math.Max(0, math.Min(1, 0.5+math.Min(math.Min(p.X, size.X-p.X), math.Min(p.Y, size.Y-p.Y))))
		if in == 1 {
			continue
		}
		for k := range c {
			c[k] = uint8(math.Round(float64(c[k]) * in))
		}
		pic.pix[i] = c
	}
	t.pic = pic
}
