package show

import (
	"math"

	"abut/geometry"
	"abut/internal/job"
)

// box is a rectangle with rounded corners.
func box(r geometry.Rect, round float64) *Shape {
	p, err := job.NewPrimitive(job.Primitive{Form: job.Rectangle, Width: r.Width(), Height: r.Height(), Radius: round})
	if err != nil || round <= 0 {
		return whole(r.Path())
	}
	c := r.Centre()
	return whole(p.Outline().Transform(geometry.Translate(c.X, c.Y)))
}

// ring is a circle.
func ring(at geometry.Point, r float64) *Shape {
	return whole(geometry.Path{geometry.Ellipse(at, r, r)})
}

// polygon goes through points given as x, y pairs.
func polygon(xy ...float64) *Shape {
	var points []geometry.Point
	for i := 0; i+1 < len(xy); i += 2 {
		points = append(points, geometry.Pt(xy[i], xy[i+1]))
	}
	return whole(geometry.Path{geometry.Polygon(points...)})
}

// thing is what is decorated, as drawn here.
type thing uint8

const (
	mug thing = iota
	shirt
	plate // a coaster, a tile: seen from above
)

// kind tells what the blank is by its shape and material: cloth is a shirt, what is
// more than twice as wide as high goes round a mug.
func (a *art) kind() thing {
	switch b := a.shape; {
	case b == nil:
		return mug
	case b.Material != job.Coated:
		return shirt
	case b.WidthMM > 1.8*b.HeightMM:
		return mug
	}
	return plate
}

// The blanks are drawn in a box 400 wide and high about the origin.
var (
	mugBody = whole(geometry.Path{{Start: geometry.Pt(-130, -150), Closed: true, Segments: []geometry.Segment{
		geometry.CubicTo(geometry.Pt(-100, -128), geometry.Pt(100, -128), geometry.Pt(130, -150)),
		geometry.LineTo(geometry.Pt(130, 140)),
		geometry.CubicTo(geometry.Pt(110, 176), geometry.Pt(-110, 176), geometry.Pt(-130, 140)),
		geometry.LineTo(geometry.Pt(-130, -150)),
	}}})
	mugMouth  = whole(geometry.Path{geometry.Ellipse(geometry.Pt(0, -150), 130, 20)})
	mugHandle = whole(geometry.Path{
		{Start: geometry.Pt(120, -90), Closed: true, Segments: []geometry.Segment{
			geometry.CubicTo(geometry.Pt(225, -105), geometry.Pt(225, 95), geometry.Pt(120, 90)),
			geometry.LineTo(geometry.Pt(120, -90)),
		}},
		{Start: geometry.Pt(120, -58), Closed: true, Segments: []geometry.Segment{
			geometry.LineTo(geometry.Pt(120, 58)),
			geometry.CubicTo(geometry.Pt(180, 62), geometry.Pt(180, -70), geometry.Pt(120, -58)),
		}},
	})
	shirtBody = polygon(-70, -170, -40, -152, 0, -146, 40, -152, 70, -170, 190, -110, 160, -30, 118, -52, 118, 180, -118, 180, -118, -52, -160, -30, -190, -110)
)

// onMug bends a picture round the mug: r is what goes round it as far as one sees,
// 240 wide as drawn. What would be behind is left at the edge.
func onMug(p geometry.Path, at geometry.Affine) geometry.Path {
	const radius, sink = 130.0, 26.0
	bend := func(q geometry.Point) geometry.Point {
		q = at.Apply(q)
		angle := math.Min(math.Max(q.X/radius, -math.Pi/2), math.Pi/2)
		return geometry.Pt(radius*math.Sin(angle), q.Y+sink*(math.Cos(angle)-1)+sink/2)
	}
	flat := p.Flatten(0.05)
	out := make(geometry.Path, 0, len(flat))
	for _, c := range flat {
		b := geometry.Contour{Start: bend(c.Start), Closed: true}
		for from, to := range c.Sides() {
			// Long straight sides bend, too.
			for n, k := 1+int(at.ApplyVector(to.Sub(from)).Len()/12), 1; k <= n; k++ {
				b.Segments = append(b.Segments, geometry.LineTo(bend(from.Lerp(to, float64(k)/float64(n)))))
			}
		}
		out = append(out, b)
	}
	return out
}
