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
	cushion
	tote
	plate // a coaster, a tile: seen from above
)

// kind tells what the blank is: by its product, else by its shape and material, of which cloth
// is a shirt, and what is more than twice as wide as high goes round a mug.
func (a *art) kind() thing {
	switch b := a.shape; {
	case b == nil:
		return mug
	case b.Product == job.Cushion:
		return cushion
	case b.Product == job.Tote:
		return tote
	case b.Product == job.Shirt, b.Material != job.Coated:
		return shirt
	case b.AroundMM > 0, b.WidthMM > 1.8*b.HeightMM:
		return mug
	}
	return plate
}

// pocketMM is how wide a blank on a shirt is at most that is its pocket.
const pocketMM = 130

// lies returns how the picture lies on what is drawn of a kind, as large and at the place
// that it has on its blank; without one it is shown as large as there is room.
func (a *art) lies(kind thing) geometry.Affine {
	if a.shape == nil {
		return Fitted(a.extent, mugRoom.Grow(-30))
	}
	b := a.shape.Bounds()
	switch kind {
	case mug:
		return a.wrapped()
	case shirt:
		if a.shape.WidthMM <= pocketMM {
			return Fitted(b, pocketRoom)
		}
		return Fitted(b, shirtRoom)
	case tote:
		return Fitted(b, toteRoom)
	}
	return Fitted(b, flatRoom)
}

// wrapped is lies for a mug, which is turned so that one sees the picture's middle.
func (a *art) wrapped() geometry.Affine {
	b := a.shape
	around := b.AroundMM
	if around <= 0 {
		around = 1.2 * b.WidthMM // the handle takes the rest
	}
	k := min(2*math.Pi*mugRadius/around, mugRoom.Height()/b.HeightMM)
	at := geometry.Pt(a.extent.Centre().X, b.At.Y)
	return geometry.Translate(0, mugRoom.Centre().Y).Mul(geometry.Scale(k, k)).Mul(geometry.Translate(-at.X, -at.Y))
}

// body is what is drawn of a kind that is no mug.
func (a *art) body(kind thing) *Shape {
	switch kind {
	case shirt:
		return shirtBody
	case tote:
		return toteBody
	case cushion:
		return pillow(a.lies(kind).MapRect(a.shape.Bounds()))
	}
	o := a.shape.Outline(0).Transform(a.lies(kind))
	if a.shape.Round {
		return whole(o)
	}
	return box(o.Bounds(), 12)
}

// pillow is a filled cover: its corners stand out, since its sides are drawn in.
func pillow(r geometry.Rect) *Shape {
	in := 0.06 * min(r.Width(), r.Height())
	w, h := r.Width(), r.Height()
	a, b := r.Min, r.Max
	return whole(geometry.Path{{Start: a, Closed: true, Segments: []geometry.Segment{
		geometry.CubicTo(geometry.Pt(a.X+0.3*w, a.Y+in), geometry.Pt(b.X-0.3*w, a.Y+in), geometry.Pt(b.X, a.Y)),
		geometry.CubicTo(geometry.Pt(b.X-in, a.Y+0.3*h), geometry.Pt(b.X-in, b.Y-0.3*h), b),
		geometry.CubicTo(geometry.Pt(b.X-0.3*w, b.Y-in), geometry.Pt(a.X+0.3*w, b.Y-in), geometry.Pt(a.X, b.Y)),
		geometry.CubicTo(geometry.Pt(a.X+in, b.Y-0.3*h), geometry.Pt(a.X+in, a.Y+0.3*h), a),
	}}})
}

// mugRadius is that of a mug as it is drawn.
const mugRadius = 130

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
	toteBody    = polygon(-118, -70, 118, -70, 128, 188, -128, 188)
	toteHandles = whole(geometry.Path{handle(66, 124), handle(-52, 106)})
	shirtBody   = polygon(-70, -170, -40, -152, 0, -146, 40, -152, 70, -170, 190, -110, 160, -30, 118, -52, 118, 180, -118, 180, -118, -52, -160, -30, -190, -110)
)

// Where the blank lies on what is drawn of it.
var (
	mugRoom    = geometry.RectXYWH(-118, -130, 236, 262)
	shirtRoom  = geometry.RectXYWH(-96, -104, 192, 240)
	pocketRoom = geometry.RectXYWH(22, -86, 66, 66) // where its wearer has it on the left
	toteRoom   = geometry.RectXYWH(-100, -50, 200, 220)
	flatRoom   = geometry.RectXYWH(-170, -170, 340, 340)
)

// handle is one edge of a bag's handle: it goes so far to either side, and so high; the inner
// edge goes the other way round, from the right.
func handle(wide, high float64) geometry.Contour {
	const sewn = -60
	return geometry.Contour{Start: geometry.Pt(-wide, sewn), Closed: true, Segments: []geometry.Segment{
		geometry.CubicTo(geometry.Pt(-wide, sewn-high), geometry.Pt(wide, sewn-high), geometry.Pt(wide, sewn)),
		geometry.LineTo(geometry.Pt(-wide, sewn)),
	}}
}

// onMug bends a picture round the mug: r is what goes round it as far as one sees. What would be behind is left at the edge.
func onMug(p geometry.Path, at geometry.Affine) geometry.Path {
	const radius, sink = float64(mugRadius), 26.0
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
