package trace

import (
	"bufio"
	"io"
	"strconv"

	"abut/geometry"
	"abut/internal/job"
)

// WriteSVG writes the drawing alone: a path for each layer, in pixels. Neighbours
// are written with the same numbers, to a thousandth of a pixel.
func (r *Result) WriteSVG(w io.Writer) error {
	b := bufio.NewWriter(w)
	num := func(before string, v float64) {
		b.WriteString(before)
		b.WriteString(strconv.FormatFloat(v, 'f', -1, 64))
	}
	to := func(command string, points ...geometry.Point) {
		b.WriteString(command)
		for i, p := range points {
			if i > 0 {
				b.WriteByte(' ')
			}
			num("", rounded(p.X))
			num(" ", rounded(p.Y))
		}
	}
	num(`<svg xmlns="http://www.w3.org/2000/svg" width="`, r.Canvas.Width())
	num(`" height="`, r.Canvas.Height())
	num(`" viewBox="0 0 `, r.Canvas.Width())
	num(" ", r.Canvas.Height())
	// Programs smooth one shape after the other, and what is beneath shines through
	// where two meet: crisp edges show none of that.
	b.WriteString("\" shape-rendering=\"crispEdges\">\n")
	for _, l := range r.Layers {
		b.WriteString(`<path fill="` + l.Colour.String() + `" d="`)
		for _, s := range job.Shapes(l.Content) {
			for _, c := range s.Path {
				to("M", c.Start)
				for _, s := range c.Segments {
					if s.Cubic {
						to("C", s.C1, s.C2, s.End)
					} else {
						to("L", s.End)
					}
				}
				b.WriteString("Z")
			}
		}
		b.WriteString("\"/>\n")
	}
	b.WriteString("</svg>\n")
	return b.Flush()
}

// rounded is a number to three decimals, never -0.
func rounded(v float64) float64 {
	if v < 0 {
		return -rounded(-v)
	}
	return float64(int64(v*1000+0.5)) / 1000
}
