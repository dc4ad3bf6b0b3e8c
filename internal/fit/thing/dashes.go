package thing

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
)

const (
	// dashTimes is how long a dash is at least, in its width, ends and all, and longTimes how many
	// times as long as the shortest one of its rhythm one is that was plainly longer.
	dashTimes = 2
	longTimes = 2
	// plainlyLonger is how many times as long one is that was.
	plainlyLonger = 1.5
	// gapTimes is how wide the gaps between dashes are at least, in their width, ends
	// and all: a little more than can be cut.
	gapTimes = 1.05
	// dotTimes is how many times as long as broad dots are at most: those stay dots.
	dotTimes = 1.3
	// pointMM is how long the line of a dot is at least, which has a direction.
	pointMM = 1e-6
	// longerBy is by how much dashes become longer at a time, and mostLonger how often,
	// until none is a speck, however it lies.
	longerBy   = 1.1
	mostLonger = 8
)

// dashes are those of one shape.
type dashes struct {
	nib
	things []*Thing
	// width is how broad they become, and least how large each is at least in its larger direction.
	width, least float64
	// aside is how far they move, to the left on screen of the way that their lines go.
	aside float64
}

// drawn returns the dashes drawn with another width, as few and as long as that needs, in runs that
// reach as far as they did and have the same rhythm, and how many there are. Errors as planar.Build.
func (d *dashes) drawn(ctx context.Context) (_ geometry.Path, n int, _ error) {
	var out geometry.Path
	for _, l := range linesOf(d.things) {
		bands := d.along(&l)
		n += len(bands)
		out = append(out, slices.Concat(bands...)...)
	}
	out, err := union(ctx, out)
	return out, n, err
}

// along returns the dashes of a line, to be filled nonzero: none is a speck, and none too near to the
// next one in a bend, if there is room for it.
func (d *dashes) along(l *dashedLine) (out []geometry.Path) {
	width, length := d.width, math.Max(dashTimes*d.width, d.least)
	was := l.rhythm()
	if d.aside != 0 {
		l.move(d.aside)
	}
	r := d.stronger(was, width, length)
	if r.dots {
		width = length
		r = d.stronger(was, width, length)
	}
	for range mostLonger {
		out = out[:0]
		speck := false
		for _, x := range r.on(l) {
			b := band(l.part(x[0], x[1]), width/2, d.caps)
			size := b.Bounds()
			speck = speck || size.Longer() < d.least
			out = append(out, b)
		}
		lack := d.width - leastGap(out, l.closed)
		if (!speck || r.dots) && lack <= 0 {
			break
		}
		if speck && !r.dots {
			r.longer(longerBy)
		}
		if lack > 0 {
			r.apart(lack)
		}
	}
	return out
}

// leastGap returns the least distance between dashes that follow each other.
func leastGap(dashes []geometry.Path, closed bool) float64 {
	gap := math.Inf(1)
	for i := range dashes {
		if i > 0 {
			gap = closer(dashes[i], dashes[i-1], gap)
		} else if n := len(dashes); closed && n > 1 {
			gap = closer(dashes[0], dashes[n-1], gap)
		}
	}
	return gap
}

// stronger returns a rhythm whose dashes are so broad and at least so long, ends and all.
func (d *dashes) stronger(was rhythm, width, length float64) stretch {
	reach, drawn := 0.0, 0.0
	if d.caps != buttCap {
		reach, drawn = width, d.nib.width // of both ends together, beyond the line's own
	}
	shortest := slices.Min(was.dashes) + drawn
	dots := slices.Max(was.dashes)+drawn <= dotTimes*d.nib.width
	least := make([]float64, len(was.dashes))
	for i, x := range was.dashes {
		visible := length
		if x+drawn > plainlyLonger*shortest {
			visible *= longTimes
		}
		least[i] = math.Max(pointMM, visible-reach)
	}
	r := stretch{rhythm: was.atLeast(least, gapTimes*width+reach), dots: dots}
	r.corner = r.dashes[0] / 2
	if !dots {
		r.corner = math.Max(r.corner, math.Min(r.dashes[0], (length+width-reach)/2))
	}
	return r
}

// part returns what of the line lies between two distances from its start; a closed one goes on from
// its start again.
func (l *dashedLine) part(from, to float64) []geometry.Point {
	if !l.closed {
		return part(l.points, math.Max(0, from), math.Min(to, l.length))
	}
	if from < 0 {
		from, to = from+l.length, to+l.length
	}
	return part(append(slices.Clone(l.points), l.points[1:]...), from, to)
}

// part returns what of a line lies between two distances from its start.
func part(line []geometry.Point, from, to float64) []geometry.Point {
	var out []geometry.Point
	at := 0.0
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		l := b.Sub(a).Len()
		if l == 0 {
			continue
		}
		if lo, hi := math.Max(from, at), math.Min(to, at+l); hi-lo > nothingMM {
			if out == nil {
				out = append(out, a.Lerp(b, (lo-at)/l))
			}
			out = append(out, a.Lerp(b, (hi-at)/l))
		}
		at += l
	}
	return out
}

// sharpCos is the cosine of the turn from which on a line is drawn as two with a join between.
const sharpCos = 0.87

// band returns what a pen of radius r covers along a line, to be filled nonzero: its corners mitred,
// or round where its ends are.
func band(line []geometry.Point, r float64, caps lineCap) geometry.Path {
	var out geometry.Path
	add := func(c geometry.Contour) {
		if p := (geometry.Path{c}); p.SignedArea() < 0 {
			c = p.Reverse()[0]
		}
		out = append(out, c)
	}
	last := len(line) - 1
	if last < 1 {
		return nil
	}
	if caps == squareCap {
		line = slices.Clone(line)
		line[0] = line[0].Sub(unit(line[1].Sub(line[0])).Mul(r))
		line[last] = line[last].Add(unit(line[last].Sub(line[last-1])).Mul(r))
	}
	across := func(i int) geometry.Point { // left of the side before point i, on screen
		way := line[i].Sub(line[i-1])
		return geometry.Pt(way.Y, -way.X).Mul(r / way.Len())
	}
	left, right := []geometry.Point{line[0].Add(across(1))}, []geometry.Point{line[0].Sub(across(1))}
	finish := func(i int) {
		n := across(i)
		left, right = append(left, line[i].Add(n)), append(right, line[i].Sub(n))
		slices.Reverse(right)
		add(geometry.Polygon(append(left, right...)...))
	}
	for i := 1; i < last; i++ {
		a, was, n := line[i], across(i), across(i+1)
		side := was.Add(n)
		tip := side.Mul(2 * r * r / side.Dot(side)) // where both sides meet
		if was.Dot(n) > sharpCos*r*r {
			left, right = append(left, a.Add(tip)), append(right, a.Sub(tip))
			continue
		}
		finish(i)
		left, right = []geometry.Point{a.Add(n)}, []geometry.Point{a.Sub(n)}
		switch {
		case caps == roundCap:
			add(geometry.Ellipse(a, r, r))
		case tip.Len() < sharpCorners*r:
			add(geometry.Polygon(a, a.Add(was), a.Add(tip), a.Add(n)))
			add(geometry.Polygon(a, a.Sub(was), a.Sub(tip), a.Sub(n)))
		default:
			add(geometry.Polygon(a, a.Add(was), a.Add(n)))
			add(geometry.Polygon(a, a.Sub(was), a.Sub(n)))
		}
	}
	finish(last)
	if caps == roundCap {
		add(halfDisc(line[0], across(1).Mul(-1)))
		add(halfDisc(line[last], across(last)))
	}
	return out
}

// halfDisc returns the half of a disc about a point that a radius sweeps over when it turns clockwise on
// screen: with corners where it begins and ends, so that it goes on from straight sides there.
func halfDisc(at, radius geometry.Point) geometry.Contour {
	n := math.Ceil(math.Pi / (2 * math.Acos(1-math.Min(1, sagittaMM/(2*radius.Len())))))
	var points []geometry.Point
	for k := 0.0; k <= n; k++ {
		sin, cos := math.Sincos(math.Pi * k / n)
		points = append(points, at.Add(geometry.Pt(cos*radius.X-sin*radius.Y, sin*radius.X+cos*radius.Y)))
	}
	return geometry.Polygon(points...)
}
