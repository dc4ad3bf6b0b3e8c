package cutfile

import (
	"math"
	"slices"

	"abut/geometry"
)

// A knife that is dragged turns into the direction that it is pulled in within a
// millimetre or so; where a contour begins and ends it should run straight for as
// long, or the ends miss each other. Twice that is as good as any length.
const (
	straightMM = 1
	amplyMM    = 2
)

// smoothCos is the cosine of the turn that a straight run may have at a corner: 5°.
var smoothCos = math.Cos(5 * math.Pi / 180)

// place is where a contour may begin: at the start of a segment or, with an offset,
// at a grid point on a straight one.
type place struct {
	Point
	segment int
	within  bool
}

// maxStarts is how many places of a contour are weighed, spread along it.
const maxStarts = 12

// starts returns where a closed contour may begin, never none: on straight runs. It is
// moved onto no place that is not exactly on it, for neighbours share its lines; where
// the grid has no point on a straight run, the best there are must do.
func starts(c Contour) []place {
	segs := closing(c)
	n := len(segs)
	runs := make([]run, n)
	from := c.Start
	for i, s := range segs {
		runs[i] = runOf(from, s)
		from = s.End
	}
	type rated struct {
		place
		straight float64
	}
	var all []rated
	best := 0.0
	add := func(p place, before, after float64) {
		straight := math.Min(math.Min(before, after), amplyMM)
		all, best = append(all, rated{p, straight}), math.Max(best, straight)
	}
	from = c.Start
	for i, s := range segs {
		before := &runs[(i+n-1)%n]
		if before.out.Dot(runs[i].in) >= smoothCos {
			add(place{Point: from, segment: i}, before.last, runs[i].first)
		} else {
			add(place{Point: from, segment: i}, 0, 0)
		}
		if mid, ok := middle(from, s); ok {
			add(place{mid, i, true}, mid.MM().Sub(from.MM()).Len(), s.End.MM().Sub(mid.MM()).Len())
		}
		from = s.End
	}
	enough := math.Min(best, straightMM)
	all = slices.DeleteFunc(all, func(r rated) bool { return r.straight < enough })
	out := make([]place, 0, maxStarts)
	for k := range min(len(all), maxStarts) {
		out = append(out, all[k*len(all)/min(len(all), maxStarts)].place)
	}
	return out
}

// run is how a segment begins and ends: its directions there, and how long it is
// straight from there, in millimetres.
type run struct {
	in, out     geometry.Point
	first, last float64
}

// bendMM is how far what counts as straight may bend away: less than a knife is broad.
const bendMM = 0.05

func runOf(start Point, s Segment) run {
	from, end := start.MM(), s.End.MM()
	if !s.Cubic {
		d := unit(end.Sub(from))
		length := end.Sub(from).Len()
		return run{d, d, length, length}
	}
	c1, c2 := s.C1.MM(), s.C2.MM()
	in, out := unit(c1.Sub(from)), unit(end.Sub(c2))
	if c1 == from {
		in = unit(c2.Sub(from))
	}
	if c2 == end {
		out = unit(end.Sub(c1))
	}
	// Away from an end in its direction the curve is off by what the other points are,
	// at most, and less in proportion to the square of the way.
	straight := func(o, along geometry.Point, others ...geometry.Point) float64 {
		off, length := 0.0, end.Sub(from).Len()
		for _, p := range others {
			off = math.Max(off, math.Abs(along.Cross(p.Sub(o))))
		}
		return length * math.Min(1, math.Sqrt(bendMM/math.Max(off, bendMM)))
	}
	return run{in, out, straight(from, in, c2, end), straight(end, out, from, c1)}
}

func unit(d geometry.Point) geometry.Point {
	if d.Len() == 0 {
		return d
	}
	return d.Mul(1 / d.Len())
}

// middle returns the grid point on a straight segment that is nearest to its middle.
func middle(from Point, s Segment) (Point, bool) {
	d := Point{s.End.X - from.X, s.End.Y - from.Y}
	g := gcd(abs(d.X), abs(d.Y))
	if s.Cubic || g < 2 {
		return Point{}, false
	}
	return Point{from.X + d.X/g*(g/2), from.Y + d.Y/g*(g/2)}, true
}

func abs(s Steps) Steps { return max(s, -s) }

func gcd(a, b Steps) Steps {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// from returns the contour begun at one of its starts.
func (c Contour) from(p place) Contour {
	segs := closing(c)
	at := segs[p.segment]
	var out []Segment
	if p.within { // its second half first
		out = append(out, at)
		out = append(out, segs[p.segment+1:]...)
		out = append(out, segs[:p.segment]...)
		out = append(out, Segment{End: p.Point})
	} else {
		out = append(out, segs[p.segment:]...)
		out = append(out, segs[:p.segment]...)
	}
	// A straight line back to the start is implied.
	if n := len(out); !out[n-1].Cubic && n > 1 {
		out = out[:n-1]
	}
	return Contour{Start: p.Point, Segments: out}
}
