package svgimport

import (
	"errors"
	"math"

	"abut/geometry"
)

// shapePath returns the outline of a basic shape or path element in its own
// user space; nil when it has none (SVG 2, chapters 9 and 10).
func (im *importer) shapePath(n *node, st *style, view viewport) (geometry.Path, error) {
	num := func(name string, a axis) float64 {
		if l, ok := st.size(n, name); ok {
			return l.user(view, a, st.fontSize)
		}
		return 0
	}
	switch n.name {
	case "path":
		return im.pathElement(n, st)
	case "rect":
		return rectPath(n, st, view), nil
	case "circle":
		if r := num("r", diagonal); r > 0 {
			return geometry.Path{geometry.Ellipse(geometry.Pt(num("cx", alongX), num("cy", alongY)), r, r)}, nil
		}
	case "ellipse":
		if rx, ry := radii(n, st, view); rx > 0 && ry > 0 {
			return geometry.Path{geometry.Ellipse(geometry.Pt(num("cx", alongX), num("cy", alongY)), rx, ry)}, nil
		}
	case "line":
		return geometry.Path{{
			Start:    geometry.Pt(num("x1", alongX), num("y1", alongY)),
			Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(num("x2", alongX), num("y2", alongY)))},
		}}, nil
	case "polyline", "polygon":
		return im.polyPath(n)
	}
	return nil, nil
}

func (im *importer) pathElement(n *node, st *style) (geometry.Path, error) {
	d, ok := st.pathData(n)
	if !ok {
		return nil, nil
	}
	p, err := im.parse(d)
	if errors.Is(err, errPathData) {
		im.warn(WarnPathData, n)
		return p, nil
	}
	return p, err
}

// parse is parsePath within what is left of the limits.
func (im *importer) parse(d string) (geometry.Path, error) {
	p, n, err := countPath(d, im.checkParsed)
	im.parsed += n
	return p, err
}

// radii returns rx and ry, each taking over the other's value when it is
// missing, auto or negative; 0 when neither says anything.
func radii(n *node, st *style, view viewport) (rx, ry float64) {
	lx, okx := st.size(n, "rx")
	ly, oky := st.size(n, "ry")
	rx, ry = lx.user(view, alongX, st.fontSize), ly.user(view, alongY, st.fontSize)
	okx, oky = okx && rx >= 0, oky && ry >= 0
	switch {
	case !okx && !oky:
		return 0, 0
	case !okx:
		rx = ry
	case !oky:
		ry = rx
	}
	return rx, ry
}

// rectPath is a rectangle, its corners rounded by elliptical arcs (SVG 2,
// 10.2): from the end of the upper left corner, clockwise.
func rectPath(n *node, st *style, view viewport) geometry.Path {
	num := func(name string, a axis) float64 {
		if l, ok := st.size(n, name); ok {
			return l.user(view, a, st.fontSize)
		}
		return 0
	}
	x, y, w, h := num("x", alongX), num("y", alongY), num("width", alongX), num("height", alongY)
	if !(w > 0 && h > 0) {
		return nil
	}
	rx, ry := radii(n, st, view)
	if rx == 0 || ry == 0 {
		return geometry.RectXYWH(x, y, w, h).Path()
	}
	rx, ry = math.Min(rx, w/2), math.Min(ry, h/2)
	c := geometry.Contour{Start: geometry.Pt(x+rx, y), Closed: true}
	at := c.Start
	line := func(x, y float64) {
		if p := geometry.Pt(x, y); p != at {
			c.Segments = append(c.Segments, geometry.LineTo(p))
			at = p
		}
	}
	arc := func(x, y float64) {
		p := geometry.Pt(x, y)
		c.Segments = append(c.Segments, arcTo(at, rx, ry, 0, false, true, p)...)
		at = p
	}
	line(x+w-rx, y)
	arc(x+w, y+ry)
	line(x+w, y+h-ry)
	arc(x+w-rx, y+h)
	line(x+rx, y+h)
	arc(x, y+h-ry)
	line(x, y+ry)
	arc(x+rx, y)
	return geometry.Path{c}
}

// polyPath reads points; an odd number of coordinates, or text among them,
// ends the list there.
func (im *importer) polyPath(n *node) (geometry.Path, error) {
	v, ok, err := polledList(n.get("points"), func(numbers int) error { return im.checkParsed(numbers / 2) })
	if err != nil {
		return nil, err
	}
	if !ok || len(v)%2 != 0 {
		im.warn(WarnPathData, n)
	}
	if len(v) < 4 {
		return nil, nil
	}
	if err := im.checkParsed(len(v) / 2); err != nil {
		return nil, err
	}
	im.parsed += len(v) / 2
	c := geometry.Contour{Start: geometry.Pt(v[0], v[1]), Closed: n.name == "polygon"}
	for i := 2; i+1 < len(v); i += 2 {
		c.Segments = append(c.Segments, geometry.LineTo(geometry.Pt(v[i], v[i+1])))
	}
	return geometry.Path{c}, nil
}
