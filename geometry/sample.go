package geometry

import (
	"sort"
)

// Samples returns points spread evenly over what the path covers under rule, on
// the given number of horizontal lines over its bounds and about as many along
// each, every one standing for about the same area; none when it covers
// nothing. Curves are taken to 1/500 of the larger side. Every line looks at all
// chords.
func (p Path) Samples(rule FillRule, lines int) []Point {
	b := p.Bounds()
	if b.Empty() || !(b.Height() > 0) || !(b.Width() > 0) {
		return nil
	}
	flat := p.Flatten(b.Longer() / 500)
	var out []Point
	step := b.Width() / float64(lines)
	for i := 0; i < lines; i++ {
		y := b.Min.Y + b.Height()*(float64(i)+0.5)/float64(lines)
		hits := flat.ScanLine(y)
		w := 0
		for k, h := range hits {
			if k > 0 && rule.Encloses(w) {
				from, length := hits[k-1].X, h.X-hits[k-1].X
				n := int(length/step + 0.5)
				if n == 0 && length > 0 && step > 0 {
					n = 1
				}
				for j := 0; j < n; j++ {
					out = append(out, Pt(from+length*(float64(j)+0.5)/float64(n), y))
				}
			}
			w += h.Winding
		}
	}
	return out
}

// Hit is where a line meets an outline; Winding is what is added to the winding
// number there, 1 or −1.
type Hit struct {
	X       float64
	Winding int
}

// ScanLine returns where the horizontal line at y meets a path of straight
// segments, left to right. Contours count as closed.
func (p Path) ScanLine(y float64) []Hit {
	var out []Hit
	for _, c := range p {
		for a, b := range c.Sides() {
			if (a.Y <= y) == (b.Y <= y) {
				continue
			}
			h := Hit{a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), 1}
			if a.Y > b.Y {
				h.Winding = -1
			}
			out = append(out, h)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].X < out[j].X })
	return out
}
