package planar

import (
	"cmp"
	"math"
	"math/bits"

	"abut/geometry"
)

// maxSteps bounds every coordinate: 2²⁹ steps, 53.7 m either way. With it the
// difference of two coordinates fits 30 bits, a product of two differences 60
// and the cross product 61, so orientation is exact in an int64; a hot-pixel
// test doubles that to 62 bits. One bit more would overflow the pixel test.
const maxSteps = 1 << 29

// cross returns (b−a) × (c−a): positive when c lies to the right of the way
// from a to b on screen (y down), zero when the three are in line. Exact.
func cross(a, b, c Point) int64 {
	return (int64(b.X)-int64(a.X))*(int64(c.Y)-int64(a.Y)) - (int64(b.Y)-int64(a.Y))*(int64(c.X)-int64(a.X))
}

// less orders points by x, then y: the order in which the sweep meets them.
func (p Point) less(q Point) bool { return p.X < q.X || p.X == q.X && p.Y < q.Y }

// inHotPixel reports whether the segment from a to b passes through the unit
// square [x−½, x+½) × [y−½, y+½) around c. The square holds its left and top
// sides only, so that every point of the plane belongs to exactly one. a, b and
// c must be distinct, c within the bounding box of a and b. Exact.
//
// In doubled coordinates the line's side function takes 2·cross(a,b,c) at the
// centre and that ± dx ± dy at the corners: the line meets the open square iff
// |2·cross| < |dx| + |dy|. Equality touches a single corner, which counts only
// if it is the one that the square holds. (Sides are at half steps, so a line
// along a side has no grid point on it.) A monotone segment whose box holds the
// centre meets the square iff its line does.
func inHotPixel(a, b, c Point) bool {
	dx, dy := int64(b.X)-int64(a.X), int64(b.Y)-int64(a.Y)
	k := 2 * (dx*(int64(c.Y)-int64(a.Y)) - dy*(int64(c.X)-int64(a.X)))
	reach := abs64(dx) + abs64(dy)
	switch {
	case k < reach && -k < reach:
		return true
	case k > reach || -k > reach:
		return false
	}
	return k-dx+dy == 0 // through the corner at (−½, −½)
}

func abs64(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}

func sign(v int64) int { return cmp.Compare(v, 0) }

// crossing returns the grid point nearest to where the segments a–b and c–d
// cross, and whether they cross properly: each one's ends strictly on either
// side of the other. Rounding is to the half-open pixel that holds the exact
// crossing.
func crossing(a, b, c, d Point) (Point, bool) {
	o1, o2 := cross(a, b, c), cross(a, b, d)
	if o1 >= 0 && o2 >= 0 || o1 <= 0 && o2 <= 0 {
		return Point{}, false
	}
	o3, o4 := cross(c, d, a), cross(c, d, b)
	if o3 >= 0 && o4 >= 0 || o3 <= 0 && o4 <= 0 {
		return Point{}, false
	}
	// The crossing divides a–b in the ratio o3 : −o4.
	num, den := o3, o3-o4
	if den < 0 {
		num, den = -num, -den
	}
	t := float64(num) / float64(den)
	return Point{
		a.X + int32(nearestShare(int64(b.X)-int64(a.X), num, den, t)),
		a.Y + int32(nearestShare(int64(b.Y)-int64(a.Y), num, den, t)),
	}, true
}

// nearestShare is roundedShare where t is num/den in floats. That and the product with d are off by less
// than 2⁻⁵¹ of it each, all in all by less than 2⁻²⁰: only what comes so near to a half is told
// by whole numbers.
func nearestShare(d, num, den int64, t float64) int64 {
	v := float64(d)*t + 0.5
	q := math.Floor(v)
	if r := v - q; r < 1.0/(1<<20) || r > 1-1.0/(1<<20) {
		return roundedShare(d, num, den)
	}
	return int64(q)
}

// roundedShare returns floor(d·num/den + ½) exactly, for 0 < num < den < 2⁶²
// and |d| ≤ 2³⁰. The product needs up to 92 bits.
func roundedShare(d, num, den int64) int64 {
	neg := d < 0
	if neg {
		d = -d
	}
	hi, lo := bits.Mul64(uint64(d), uint64(num))
	var q, r uint64
	if hi == 0 {
		q, r = lo/uint64(den), lo%uint64(den)
	} else {
		q, r = bits.Div64(hi, lo, uint64(den))
	}
	// Half goes up, which for a negative value is toward zero.
	if twice := 2 * r; twice > uint64(den) || twice == uint64(den) && !neg {
		q++
	}
	if neg {
		return -int64(q)
	}
	return int64(q)
}

// distance returns how far apart two vertices are, in steps.
func distance(a, b Point) float64 {
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	return math.Sqrt(dx*dx + dy*dy)
}

// steps returns a vertex in float steps.
func steps(p Point) geometry.Point { return geometry.Pt(float64(p.X), float64(p.Y)) }

// offLine returns the distance of p from the straight way from a to b.
func offLine(a, b, p geometry.Point) float64 { return geometry.Nearest(a, b, p).Sub(p).Len() }
