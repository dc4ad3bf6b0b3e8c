package geometry

import "math"

// Point is a place, or a displacement, in the plane.
type Point struct{ X, Y float64 }

// Pt is short for Point{x, y}.
func Pt(x, y float64) Point { return Point{x, y} }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by k.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Dot returns the scalar product p · q.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z component of p × q: positive when q lies clockwise of p
// on screen (y down).
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Len returns the distance from the origin; it does not overflow early.
func (p Point) Len() float64 { return math.Hypot(p.X, p.Y) }

// Lerp returns the point at fraction t of the way from p to q.
func (p Point) Lerp(q Point, t float64) Point {
	return Point{p.X + (q.X-p.X)*t, p.Y + (q.Y-p.Y)*t}
}

// Finite reports whether both coordinates are ordinary numbers.
func (p Point) Finite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// Rect is an axis-parallel rectangle. It is empty when Max lies left of or
// above Min, and when a coordinate is no number. A rectangle of no width or
// height (a point, a straight line's bounds) is not empty.
type Rect struct{ Min, Max Point }

// EmptyRect returns the rectangle that holds nothing: what Include starts from.
func EmptyRect() Rect {
	inf := math.Inf(1)
	return Rect{Point{inf, inf}, Point{-inf, -inf}}
}

// RectXYWH returns the rectangle with corner (x, y), width w and height h.
func RectXYWH(x, y, w, h float64) Rect { return Rect{Point{x, y}, Point{x + w, y + h}} }

// Empty reports whether r holds no point.
func (r Rect) Empty() bool { return !(r.Min.X <= r.Max.X && r.Min.Y <= r.Max.Y) }

// Width returns the extent in x, 0 when empty.
func (r Rect) Width() float64 { return max(0, r.Max.X-r.Min.X) }

// Height returns the extent in y, 0 when empty.
func (r Rect) Height() float64 { return max(0, r.Max.Y-r.Min.Y) }

// Longer returns the width or the height, whichever is larger.
func (r Rect) Longer() float64 { return max(r.Width(), r.Height()) }

// Shorter returns the width or the height, whichever is smaller.
func (r Rect) Shorter() float64 { return min(r.Width(), r.Height()) }

// Area returns the width times the height, 0 when empty.
func (r Rect) Area() float64 { return r.Width() * r.Height() }

// Centre returns the middle of r, which must not be empty.
func (r Rect) Centre() Point { return r.Min.Lerp(r.Max, 0.5) }

// Include returns r grown to hold p. An empty r must be EmptyRect.
func (r Rect) Include(p Point) Rect {
	return Rect{
		Point{min(r.Min.X, p.X), min(r.Min.Y, p.Y)},
		Point{max(r.Max.X, p.X), max(r.Max.Y, p.Y)},
	}
}

// Union returns the smallest rectangle that holds r and s; an empty one does not
// count.
func (r Rect) Union(s Rect) Rect {
	if s.Empty() {
		return r
	}
	if r.Empty() {
		return s
	}
	return r.Include(s.Min).Include(s.Max)
}

// Intersect returns what r and s share; it may be empty.
func (r Rect) Intersect(s Rect) Rect {
	return Rect{
		Point{max(r.Min.X, s.Min.X), max(r.Min.Y, s.Min.Y)},
		Point{min(r.Max.X, s.Max.X), min(r.Max.Y, s.Max.Y)},
	}
}

// Grow returns r with every side moved outward by d (inward when negative).
// An empty rectangle stays empty.
func (r Rect) Grow(d float64) Rect {
	if r.Empty() {
		return r
	}
	return Rect{Point{r.Min.X - d, r.Min.Y - d}, Point{r.Max.X + d, r.Max.Y + d}}
}

// Contains reports whether p lies in r, sides included.
func (r Rect) Contains(p Point) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

// Encloses reports whether all of s lies in r; an empty s always does.
func (r Rect) Encloses(s Rect) bool {
	return s.Empty() || r.Contains(s.Min) && r.Contains(s.Max)
}
