package svgimport

import (
	"math"
	"strings"

	"abut/geometry"
)

// parseViewBox reads a viewBox; false when there is none that works.
func parseViewBox(n *node) (geometry.Rect, bool) {
	v, ok := n.attr("viewBox")
	if !ok {
		return geometry.Rect{}, false
	}
	f, ok := numberList(v)
	if !ok || len(f) != 4 || !(f[2] > 0 && f[3] > 0) {
		return geometry.Rect{}, false
	}
	r := geometry.RectXYWH(f[0], f[1], f[2], f[3])
	return r, r.Min.Finite() && r.Max.Finite()
}

// aspect is a preserveAspectRatio: how a viewBox lies in its viewport.
type aspect struct {
	none, slice bool
	ax, ay      float64 // 0, ½, 1 for Min, Mid, Max
}

func parseAspect(v string) aspect {
	a := aspect{ax: 0.5, ay: 0.5}
	f := strings.Fields(v)
	if len(f) > 0 && f[0] == "defer" {
		f = f[1:]
	}
	if len(f) == 0 {
		return a
	}
	if f[0] == "none" {
		a.none = true
		return a
	}
	share := map[string]float64{"Min": 0, "Mid": 0.5, "Max": 1}
	if len(f[0]) == 8 && f[0][0] == 'x' && f[0][4] == 'Y' {
		x, okx := share[f[0][1:4]]
		y, oky := share[f[0][5:]]
		if okx && oky {
			a.ax, a.ay = x, y
		}
	}
	a.slice = len(f) > 1 && f[1] == "slice"
	return a
}

// fit returns the map from the viewBox to a viewport of size w × h at the
// origin (SVG 2, 8.2).
func (a aspect) fit(box geometry.Rect, w, h float64) geometry.Affine {
	sx, sy := w/box.Width(), h/box.Height()
	if !a.none {
		s := math.Min(sx, sy)
		if a.slice {
			s = math.Max(sx, sy)
		}
		sx, sy = s, s
	}
	return geometry.Affine{
		A: sx, D: sy,
		E: -box.Min.X*sx + (w-box.Width()*sx)*a.ax,
		F: -box.Min.Y*sy + (h-box.Height()*sy)*a.ay,
	}
}

// page is what the root element says about size and units.
type page struct {
	// canvas is the visible part in root user units; empty when the file says
	// nothing about its size.
	canvas geometry.Rect
	// root maps the file's own root units to ours: the identity, unless the
	// file squeezes its viewBox (preserveAspectRatio="none").
	root geometry.Affine
	// fit maps the file's root units to pixels of its viewport, px in size.
	fit  geometry.Affine
	px   viewport
	mm   geometry.Point
	view viewport
}

// extent is a width or height of the root.
type extent struct {
	px float64
	// given: it is there and usable. inked: it is also a length that paper has.
	given, inked bool
}

func (st *style) extent(root *node, name string, ax axis) extent {
	l, ok := st.size(root, name)
	px := l.user(viewport{}, ax, st.fontSize)
	ok = ok && l.unit != unitPercent && px > 0 && !math.IsInf(px, 0)
	return extent{px, ok, ok && l.unit == unitAbsolute}
}

// readPage reads width, height and viewBox of the root.
func readPage(root *node, st *style) page {
	w, h := st.extent(root, "width", alongX), st.extent(root, "height", alongY)
	box, hasBox := parseViewBox(root)
	if !hasBox {
		return pageOfSize(w, h)
	}
	p := page{
		root: geometry.Identity(), canvas: box, view: viewport{box.Width(), box.Height()},
		fit: geometry.Translate(-box.Min.X, -box.Min.Y), px: viewport{box.Width(), box.Height()},
	}
	switch {
	case w.given && h.given:
	case w.given:
		h.px = w.px * box.Height() / box.Width()
	case h.given:
		w.px = h.px * box.Width() / box.Height()
	default:
		return p
	}
	a := parseAspect(root.get("preserveAspectRatio"))
	p.fit, p.px = a.fit(box, w.px, h.px), viewport{w.px, h.px}
	if math.Abs(w.px/h.px-box.Width()/box.Height()) > 1e-6*w.px/h.px {
		if a.none {
			// Squeeze the file's units so that ours are square.
			p.root = geometry.Scale(1, p.fit.D/p.fit.A)
			p.canvas = p.root.MapRect(box)
		} else {
			inv, _ := p.fit.Invert()
			p.canvas = inv.MapRect(geometry.RectXYWH(0, 0, w.px, h.px))
		}
	}
	if (w.inked || !w.given) && (h.inked || !h.given) {
		p.mm = mmOf(w, h)
	}
	return p
}

// pageOfSize is the page of a file that has no viewBox.
func pageOfSize(w, h extent) page {
	p := page{root: geometry.Identity(), fit: geometry.Identity(), canvas: geometry.EmptyRect()}
	if w.given && h.given {
		p.canvas = geometry.RectXYWH(0, 0, w.px, h.px)
		p.view = viewport{w.px, h.px}
		p.px = p.view
		if w.inked && h.inked {
			p.mm = mmOf(w, h)
		}
	}
	return p
}

func mmOf(w, h extent) geometry.Point {
	const mmPerPx = 25.4 / pxPerIn
	return geometry.Pt(w.px*mmPerPx, h.px*mmPerPx)
}
