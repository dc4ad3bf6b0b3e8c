package svgimport

import "math"

// server returns the flat colour that a paint server comes to, with a warning
// where that is a simplification. False for an element that is no paint
// server.
func (im *importer) server(s *node, st *style, n *node, sc *scope) (flat, bool) {
	switch s.name {
	case "linearGradient", "radialGradient":
		stops := im.stops(s)
		if len(stops) == 0 {
			return flat{none: true}, true
		}
		c, same := averageStops(stops)
		if !same {
			im.warn(WarnGradient, n, "colour", c.colour().String())
		}
		return flat{colour: c}, true
	case "pattern":
		c := rgba{0.5, 0.5, 0.5, 1}
		im.warn(WarnPattern, n, "colour", c.colour().String())
		return flat{colour: c}, true
	}
	return flat{}, false
}

// stop is one colour of a gradient.
type stop struct {
	at     float64
	colour rgba
}

// stops reads a gradient's stops, its own or those of the gradients that its
// href names in turn.
func (im *importer) stops(g *node) []stop {
	for hops := 0; g != nil && hops < 32; hops++ {
		var out []stop
		last := 0.0
		for _, c := range g.children {
			if c.name != "stop" {
				continue
			}
			st := im.styleOf(c)
			col := st.own.stopColor.colour
			if st.own.stopColor.kind == paintCurrent {
				col = st.color
			}
			col.a *= st.own.stopOpacity
			at := 0.0
			if l, ok := c.length("offset"); ok {
				at = l.v
				if l.unit == unitPercent {
					at /= 100
				}
			}
			last = math.Max(last, clamp01(at))
			out = append(out, stop{last, col})
		}
		if len(out) > 0 {
			return out
		}
		id, inside := g.href()
		if !inside || id == "" {
			return nil
		}
		g = im.doc.byID[id]
	}
	return nil
}

// averageStops is the mean colour along the gradient from 0 to 1, weighted by
// opacity; same says that there is only one colour, so that nothing is lost.
func averageStops(stops []stop) (mean rgba, same bool) {
	same = true
	for _, s := range stops[1:] {
		same = same && s.colour == stops[0].colour
	}
	if same {
		return stops[0].colour, true
	}
	var sum rgba
	add := func(c rgba, w float64) {
		sum.r += w * c.a * c.r
		sum.g += w * c.a * c.g
		sum.b += w * c.a * c.b
		sum.a += w * c.a
	}
	add(stops[0].colour, stops[0].at)
	for i := 1; i < len(stops); i++ {
		w := stops[i].at - stops[i-1].at
		add(stops[i-1].colour, w/2)
		add(stops[i].colour, w/2)
	}
	add(stops[len(stops)-1].colour, 1-stops[len(stops)-1].at)
	if sum.a == 0 {
		return rgba{}, false
	}
	return rgba{sum.r / sum.a, sum.g / sum.a, sum.b / sum.a, sum.a}, false
}
