package svgimport

import (
	"math"
	"slices"
	"strings"

	"abut/geometry"
	"abut/internal/job"
)

// shapeClip is a clip-path that names a basic shape instead of an element (CSS
// Shapes 1, 3; CSS Masking 1, 3.5): circle(), ellipse(), inset(), polygon(),
// path(), or a box alone. nil, with a warning, for any other.
func (im *importer) shapeClip(n *node, st *style, in scope) *job.Clip {
	call, boxName := splitShape(st.own.clipShape)
	in.style = st
	var box geometry.Rect
	switch boxName {
	case "fill-box", "content-box", "padding-box":
		box = im.userBounds(n, in)
	case "view-box":
		box = geometry.RectXYWH(0, 0, in.view.w, in.view.h)
	default: // border-box, which is that of the stroke
		box = im.strokeBounds(n, in)
	}
	if box.Empty() {
		return nil // nothing there to clip
	}
	b := basicShape{box: box, view: viewport{box.Width(), box.Height()}, font: st.fontSize}
	path, ok := b.read(call)
	if path = path.Transform(in.ctm); !ok || !within(path, maxCoordinate) {
		im.warn(WarnClipShape, n, "rule", shorten(st.own.clipShape))
		return nil
	}
	key := clipKey{n: n, ctm: in.ctm, shape: st.own.clipShape}
	if c := im.clips[key]; c != nil {
		return c
	}
	c := &job.Clip{Shapes: []job.Shape{{Path: im.trimmed(path), Rule: b.rule, Element: n.describe(), Line: n.line}}}
	im.remember(key, c)
	return c
}

// splitShape divides a basic shape from the name of the box that it refers to,
// which may stand before or after.
func splitShape(v string) (call, box string) {
	open, closed := strings.IndexByte(v, '('), strings.LastIndexByte(v, ')')
	if open < 0 || closed < open {
		return "", strings.ToLower(strings.TrimSpace(v))
	}
	head := strings.Fields(v[:open])
	if len(head) == 0 {
		return v, ""
	}
	box = strings.Join(head[:len(head)-1], " ") + strings.TrimSpace(v[closed+1:])
	return head[len(head)-1] + v[open:closed+1], strings.ToLower(box)
}

// basicShape reads a shape's outline, in user space.
type basicShape struct {
	box  geometry.Rect
	view viewport // the box's size, to which percentages refer
	font float64
	rule geometry.FillRule
}

func (b *basicShape) read(call string) (geometry.Path, bool) {
	if call == "" {
		return b.box.Path(), true
	}
	open := strings.IndexByte(call, '(')
	args := strings.TrimSpace(call[open+1 : len(call)-1])
	switch strings.ToLower(call[:open]) {
	case "circle":
		return b.ellipse(args, 1)
	case "ellipse":
		return b.ellipse(args, 2)
	case "inset":
		return b.inset(args)
	case "polygon":
		return b.polygon(b.takeRule(args))
	case "path":
		d, ok := quotedPath("path(" + b.takeRule(args) + ")")
		if !ok {
			return nil, false
		}
		p, err := parsePath(d, nil)
		return p.Transform(geometry.Translate(b.box.Min.X, b.box.Min.Y)), err == nil
	}
	return nil, false
}

// takeRule takes "nonzero," or "evenodd," off the front.
func (b *basicShape) takeRule(args string) string {
	if rule, rest, ok := strings.Cut(args, ","); ok {
		switch strings.ToLower(strings.TrimSpace(rule)) {
		case "evenodd":
			b.rule = geometry.EvenOdd
			return strings.TrimSpace(rest)
		case "nonzero":
			return strings.TrimSpace(rest)
		}
	}
	return args
}

// ellipse reads no radius or count of them, then perhaps "at" and a position.
func (b *basicShape) ellipse(args string, count int) (geometry.Path, bool) {
	words := strings.Fields(strings.ToLower(args))
	centre := b.box.Min.Add(geometry.Pt(b.view.w/2, b.view.h/2))
	if at := slices.Index(words, "at"); at >= 0 {
		var ok bool
		if centre, ok = position(words[at+1:], b.box, b.font); !ok {
			return nil, false
		}
		words = words[:at]
	}
	if len(words) == 0 {
		words = []string{"closest-side", "closest-side"}[:count]
	}
	if len(words) != count {
		return nil, false
	}
	// How far the sides are.
	left, right := math.Abs(centre.X-b.box.Min.X), math.Abs(b.box.Max.X-centre.X)
	top, bottom := math.Abs(centre.Y-b.box.Min.Y), math.Abs(b.box.Max.Y-centre.Y)
	near, far := [2]float64{min(left, right), min(top, bottom)}, [2]float64{max(left, right), max(top, bottom)}
	along := [2]axis{alongX, alongY}
	if count == 1 {
		near[0], far[0] = min(near[0], near[1]), max(far[0], far[1])
		along[0] = diagonal
	}
	var r [2]float64
	for i, w := range words {
		switch w {
		case "closest-side":
			r[i] = near[i]
		case "farthest-side":
			r[i] = far[i]
		default:
			l, ok := parseLength(w)
			if !ok || l.v < 0 {
				return nil, false
			}
			r[i] = l.user(b.view, along[i], b.font)
		}
	}
	if count == 1 {
		r[1] = r[0]
	}
	if r[0] == 0 || r[1] == 0 {
		return nil, true // covers nothing
	}
	return geometry.Path{geometry.Ellipse(centre, r[0], r[1])}, true
}

// inset reads one to four distances from the sides, then perhaps "round" and
// radii as border-radius has them.
func (b *basicShape) inset(args string) (geometry.Path, bool) {
	sides, round, _ := strings.Cut(strings.ToLower(args), "round")
	d, ok := b.four(sides, [4]axis{alongY, alongX, alongY, alongX})
	if !ok {
		return nil, false
	}
	r := geometry.Rect{
		Min: geometry.Pt(b.box.Min.X+d[3], b.box.Min.Y+d[0]),
		Max: geometry.Pt(b.box.Max.X-d[1], b.box.Max.Y-d[2]),
	}
	if r.Min.X >= r.Max.X || r.Min.Y >= r.Max.Y {
		return nil, true
	}
	if strings.TrimSpace(round) == "" {
		return r.Path(), true
	}
	hor, ver, both := strings.Cut(round, "/")
	if !both {
		ver = hor
	}
	rx, okx := b.four(hor, [4]axis{alongX, alongX, alongX, alongX})
	ry, oky := b.four(ver, [4]axis{alongY, alongY, alongY, alongY})
	return roundedRect(r, rx, ry), okx && oky
}

// four reads one to four lengths as CSS deals them to four sides or corners.
func (b *basicShape) four(s string, along [4]axis) (out [4]float64, ok bool) {
	words := strings.Fields(s)
	if len(words) < 1 || len(words) > 4 {
		return out, false
	}
	from := [4][4]int{{0, 0, 0, 0}, {0, 1, 0, 1}, {0, 1, 2, 1}, {0, 1, 2, 3}}[len(words)-1]
	for i, k := range from {
		l, ok := parseLength(words[k])
		if !ok {
			return out, false
		}
		out[i] = l.user(b.view, along[i], b.font)
	}
	return out, true
}

// roundedRect is a rectangle with elliptical corners, from the upper left one
// clockwise; where they do not fit side by side all shrink alike (CSS
// Backgrounds 3, 4.5).
func roundedRect(r geometry.Rect, rx, ry [4]float64) geometry.Path {
	w, h := r.Width(), r.Height()
	shrink := 1.0
	for _, pair := range [4][2]float64{{w, rx[0] + rx[1]}, {w, rx[2] + rx[3]}, {h, ry[0] + ry[3]}, {h, ry[1] + ry[2]}} {
		if pair[1] > pair[0] {
			shrink = min(shrink, pair[0]/pair[1])
		}
	}
	corner := [4]geometry.Point{r.Min, geometry.Pt(r.Max.X, r.Min.Y), r.Max, geometry.Pt(r.Min.X, r.Max.Y)}
	var c geometry.Contour
	for i, p := range corner {
		x, y := max(rx[i], 0)*shrink, max(ry[i], 0)*shrink
		// From where the side before meets the corner's arc to where it leaves.
		in, out := geometry.Pt(0, y), geometry.Pt(x, 0)
		switch i {
		case 1:
			in, out = geometry.Pt(-x, 0), geometry.Pt(0, y)
		case 2:
			in, out = geometry.Pt(0, -y), geometry.Pt(-x, 0)
		case 3:
			in, out = geometry.Pt(x, 0), geometry.Pt(0, -y)
		}
		from, to := p.Add(in), p.Add(out)
		if i == 0 {
			c.Start = from
		} else {
			c.Segments = append(c.Segments, geometry.LineTo(from))
		}
		if x > 0 && y > 0 {
			c.Segments = append(c.Segments, arcTo(from, x, y, 0, false, true, to)...)
		}
	}
	c.Closed = true
	return geometry.Path{c}
}

// polygon reads pairs of lengths divided by commas.
func (b *basicShape) polygon(args string) (geometry.Path, bool) {
	var points []geometry.Point
	for _, pair := range strings.Split(args, ",") {
		words := strings.Fields(pair)
		if len(words) != 2 {
			return nil, false
		}
		x, okx := parseLength(words[0])
		y, oky := parseLength(words[1])
		if !okx || !oky {
			return nil, false
		}
		points = append(points, b.box.Min.Add(geometry.Pt(x.user(b.view, alongX, b.font), y.user(b.view, alongY, b.font))))
	}
	return geometry.Path{geometry.Polygon(points...)}, true
}
