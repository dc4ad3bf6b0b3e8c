package mend

import (
	"math"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/job"
)

const (
	// taperedTimes is how long, in the length of a point that is thin and a width, its sides are at most that are drawn anew: the longer
	// they are the less they turn where they begin to, and the more of the picture changes, of which this is all that a mend may.
	taperedTimes = 1.9
	// leastTapered is how long they must be at least: of shorter ones a bar would be left.
	leastTapered = 1.4
	// sideStraysMM is how far a corner may lie from a side for that to be straight.
	sideStraysMM = seenMM / 4
)

// staysPointed reports whether a mend makes a point broad as tapered does: it moves more of the picture's edge than a stick would, and
// looks more like what was drawn.
func staysPointed(m job.Mend) bool { return m.Spot == job.Tip && m.Do == job.Widen && m.Smooth }

// tapered returns what makes a point with two straight sides, such as a needle or the ray of a star, as broad as a width at its
// tip: its sides run to the corners there in straight lines, and it stays a point that ends where it did, where discs along its
// middle would make a stick of its end. False where the sides are too short for that, or bent.
func (s *Spot) tapered(width float64) (geometry.Path, bool) {
	if s.Kind != weak.Point || s.Whole || s.whole == nil {
		return nil, false
	}
	tip := s.tip()
	before, after, ok := sidesAt(s.whole, tip, taperedTimes*(s.LengthMM+width))
	if !ok || math.Min(before.Sub(tip).Len(), after.Sub(tip).Len()) < leastTapered*s.LengthMM {
		return nil, false
	}
	// The same length of both, so that what is added to them is, too.
	length := math.Min(before.Sub(tip).Len(), after.Sub(tip).Len())
	a, b := before.Sub(tip).Mul(1/before.Sub(tip).Len()), after.Sub(tip).Mul(1/after.Sub(tip).Len())
	way := a.Add(b)
	across := geometry.Pt(-way.Y, way.X).Mul(width / 2 / way.Len())
	if across.Dot(a) < across.Dot(b) {
		across = across.Mul(-1)
	}
	return geometry.Path{clockwise(tip.Add(across), tip.Add(a.Mul(length)), tip.Add(b.Mul(length)), tip.Sub(across))}, true
}

// sidesAt returns where the two straight sides end that meet in the corner of an outline next to a place, or where they are as
// long as most; false where the outline has none there.
func sidesAt(outline geometry.Path, at geometry.Point, most float64) (before, after geometry.Point, ok bool) {
	contour, corner, near := -1, -1, sideStraysMM
	for i, c := range outline {
		k := 0
		for p := range c.Sides() {
			if far := p.Sub(at).Len(); far <= near {
				contour, corner, near = i, k, far
			}
			k++
		}
	}
	if contour < 0 {
		return before, after, false
	}
	var points []geometry.Point
	for p := range outline[contour].Sides() {
		points = append(points, p)
	}
	return straightFrom(points, corner, -1, most), straightFrom(points, corner, 1, most), len(points) > 2
}

// straightFrom returns how far an outline goes on straight from a corner, in steps of one corner, at most.
func straightFrom(points []geometry.Point, corner, step int, most float64) geometry.Point {
	n := len(points)
	from := points[corner]
	last := (corner + step + n) % n
	for k := 2; k < n && points[last].Sub(from).Len() < most; k++ {
		next := (corner + k*step + k*n) % n
		strays := false
		for i := 1; i < k && !strays; i++ {
			strays = !geometry.Near(from, points[next], points[(corner+i*step+k*n)%n], sideStraysMM)
		}
		if strays || points[next].Sub(from).Len() <= points[last].Sub(from).Len() {
			break
		}
		last = next
	}
	way := points[last].Sub(from)
	return from.Add(way.Mul(math.Min(1, most/way.Len())))
}
