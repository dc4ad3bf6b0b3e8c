package trace

import (
	"math"

	"abut/geometry"
)

// Where an edge crosses a row of pixels is read off their colours: on a straight
// edge that is smoothed by area, the shares of the ink on one side add up to the
// distance of the edge from where the row began. So each crack, looked at across,
// gives a point of the edge, exact but for rounding, as long as the edge runs more
// along the crack than across it.

// reach is how many pixels on each side of a crack an edge is smoothed over.
const reach = 4

// points returns those points of its edge that a chain's cracks tell, in order.
func (n *network) points(c *chain) []geometry.Point {
	corners := make([]corner, 0, len(c.path)+1)
	at := c.start
	for _, d := range c.path {
		corners = append(corners, at)
		at = at.step(d)
	}
	corners = append(corners, at)
	out := make([]geometry.Point, 0, len(c.path))
	cracks, shifts := make([]int, 0, len(c.path)), make([]float64, 0, len(c.path))
	m := len(c.path)
	for k, d := range c.path {
		// The chain's direction here, over some cracks.
		a, b := k-2, k+3
		if c.closed() {
			if m <= 8 {
				a, b = k, k+1
			}
			a, b = (a+m)%m, b%m
		} else {
			a, b = max(a, 0), min(b, m)
		}
		along := corners[b].point().Sub(corners[a].point())
		own := geometry.Pt(float64(steps[d][0]), float64(steps[d][1]))
		if math.Abs(along.Dot(own)) < 0.6*math.Abs(along.Cross(own)) {
			continue
		}
		if p, ok := n.t.edgeAt(c, corners[k], d); ok {
			out, cracks = append(out, p), append(cracks, k)
			shifts = append(shifts, p.Sub(corners[k].point().Lerp(corners[k+1].point(), 0.5)).Len())
		}
	}
	c.sloped(out, cracks, shifts)
	return out
}

// edgeAt returns where the edge crosses the line through the middle of a crack, at
// right angles to it.
func (t *tracer) edgeAt(c *chain, at corner, d direction) (geometry.Point, bool) {
	mid := at.point().Add(geometry.Pt(float64(steps[d][0]), float64(steps[d][1])).Mul(0.5))
	if c.isBorder() {
		return mid, true
	}
	l, r := at.beside(d)
	// across leads from the left to the right.
	across := corner{r.x - l.x, r.y - l.y}
	left, right := t.foundAt(l), t.foundAt(r)
	if distance2(t.inks[left].c, t.inks[right].c) == 0 {
		return mid, true
	}
	shift, ok := t.shift(l, r, across, uint8(left), uint8(right))
	return mid.Add(geometry.Pt(float64(across.x), float64(across.y)).Mul(shift)), ok
}

// strip is a run of pixels away from a crack.
type strip struct {
	pix []rgba
	// beyond is the label of what comes after those of its ink, within reach; none
	// when the run is longer.
	beyond int
}

func (t *tracer) strip(from, across corner, label uint8) (s strip) {
	s.beyond = none
	for range reach {
		k := t.foundAt(from)
		if k != int(label) {
			s.beyond = k
			return s
		}
		s.pix = append(s.pix, t.pic.pix[int(from.y)*t.pic.w+int(from.x)])
		from = corner{from.x + across.x, from.y + across.y}
	}
	return s
}

// shift is how far from the crack the edge lies, towards the right.
func (t *tracer) shift(l, r, across corner, left, right uint8) (float64, bool) {
	back := corner{-across.x, -across.y}
	a, b := t.strip(l, back, left), t.strip(r, across, right)
	onLeft, okLeft := t.share(a, left, right)
	onRight, okRight := t.share(b, right, left)
	// A line so thin that no pixel of it is all its own has two edges in one pixel.
	if !okRight && b.beyond == int(left) {
		return t.thin(l, across, left, right, len(b.pix))
	}
	if !okLeft && a.beyond == int(right) {
		shift, ok := t.thin(r, back, right, left, len(a.pix))
		return -shift, ok
	}
	if !okRight && b.beyond != none && b.beyond != outside {
		onRight, okRight = t.threeWay(b.pix, right, left, uint8(b.beyond))
	}
	if !okLeft && a.beyond != none && a.beyond != outside {
		onLeft, okLeft = t.threeWay(a.pix, left, right, uint8(a.beyond))
	}
	return onRight - onLeft, okLeft && okRight
}

// share adds up how much of the other ink there is in a strip; false when it never
// becomes all one ink.
func (t *tracer) share(s strip, own, other uint8) (sum float64, ok bool) {
	last, first := 1.0, 0.0
	for i, p := range s.pix {
		x, _ := t.blend(p, t.inks[own].c, t.inks[other].c)
		if x < t.clear {
			return sum + x, true
		}
		if x > last+t.clear { // it begins to become the next edge
			return sum, false
		}
		if i == 0 {
			first = x
		}
		sum, last = sum+x, x
	}
	// A blurred edge has faded by here; a row along another edge has not.
	return sum, s.beyond == none && last < 0.15 && last < first/3
}

// thin returns where the first edge of a line lies that is m pixels wide or less:
// half of its width before its middle, both by how much of it there is.
func (t *tracer) thin(l, across corner, around, line uint8, m int) (float64, bool) {
	width, moment := 0.0, 0.0
	add := func(k int) bool { // the pixel k after the crack
		p := corner{l.x + int32(k+1)*across.x, l.y + int32(k+1)*across.y}
		if t.foundAt(p) == outside {
			return false
		}
		x, _ := t.blend(t.pic.pix[int(p.y)*t.pic.w+int(p.x)], t.inks[around].c, t.inks[line].c)
		width += x
		moment += x * (float64(k) + 0.5)
		return x > t.clear
	}
	for k := range m {
		add(k)
	}
	for k := -1; k > -reach && add(k); k-- {
		if t.foundAt(corner{l.x + int32(k)*across.x, l.y + int32(k)*across.y}) != int(around) {
			break
		}
	}
	for k := m; k < m+reach-1 && add(k); k++ {
		if t.foundAt(corner{l.x + int32(k+2)*across.x, l.y + int32(k+2)*across.y}) != int(around) {
			break
		}
	}
	if width < 0.05 {
		return 0, false
	}
	return moment/width - width/2, true
}

// threeWay adds up how much of one neighbour there is in a narrow strip between
// two: each pixel is a blend of three inks, by least squares. False where the three
// lie on one line, so that nobody can tell.
func (t *tracer) threeWay(pix []rgba, own, before, after uint8) (sum float64, ok bool) {
	for _, p := range pix {
		x, _, _, ok := mix(p, t.inks[own].c, t.inks[before].c, t.inks[after].c)
		if !ok {
			return 0, false
		}
		sum += math.Max(0, math.Min(1, x))
	}
	return sum, true
}
