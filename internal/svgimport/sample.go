package svgimport

import (
	"math"
	"sort"

	"abut/geometry"
)

// averages of paint servers are taken over sampleLines lines across the
// painted area and as many points along each. The mean of a gradient over a
// shape is then right to a level or two in 255, which is finer than any sheet.
const sampleLines = 48

// samples returns points spread evenly over what the path covers, in path
// units, each standing for about the same area; none when it covers nothing.
func samples(p geometry.Path, rule geometry.FillRule) []geometry.Point {
	b := p.Bounds()
	if b.Empty() || !(b.Height() > 0) || !(b.Width() > 0) {
		return nil
	}
	flat := p.Flatten(max(b.Width(), b.Height()) / 500)
	var out []geometry.Point
	step := b.Width() / sampleLines
	for i := 0; i < sampleLines; i++ {
		y := b.Min.Y + b.Height()*(float64(i)+0.5)/sampleLines
		hits := scanLine(flat, y)
		w := 0
		for k, h := range hits {
			if k > 0 && rule.Encloses(w) {
				from, length := hits[k-1].x, h.x-hits[k-1].x
				n := int(length/step + 0.5)
				if n == 0 && length > 0 && step > 0 {
					n = 1
				}
				for j := 0; j < n; j++ {
					out = append(out, geometry.Pt(from+length*(float64(j)+0.5)/float64(n), y))
				}
			}
			w += h.dir
		}
	}
	return out
}

type scanHit struct {
	x   float64
	dir int
}

// scanLine returns where the horizontal line at y meets a flattened path, left
// to right.
func scanLine(flat geometry.Path, y float64) []scanHit {
	var out []scanHit
	edge := func(a, b geometry.Point) {
		if (a.Y <= y) == (b.Y <= y) {
			return
		}
		h := scanHit{a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), 1}
		if a.Y > b.Y {
			h.dir = -1
		}
		out = append(out, h)
	}
	for _, c := range flat {
		from := c.Start
		for _, s := range c.Segments {
			edge(from, s.End)
			from = s.End
		}
		edge(from, c.Start)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].x < out[j].x })
	return out
}

// mean adds up colours weighted by their opacity.
type mean struct {
	sum      rgba
	n        float64
	min, max rgba
}

func (m *mean) add(c rgba) {
	if m.n == 0 {
		m.min, m.max = c, c
	}
	m.min = rgba{min(m.min.r, c.r), min(m.min.g, c.g), min(m.min.b, c.b), min(m.min.a, c.a)}
	m.max = rgba{max(m.max.r, c.r), max(m.max.g, c.g), max(m.max.b, c.b), max(m.max.a, c.a)}
	m.sum.r += c.a * c.r
	m.sum.g += c.a * c.g
	m.sum.b += c.a * c.b
	m.sum.a += c.a
	m.n++
}

// colour is the mean; its opacity is the mean opacity, rounded so that equal
// shapes get equal ones.
func (m *mean) colour() rgba {
	if m.sum.a == 0 {
		return rgba{}
	}
	return rgba{m.sum.r / m.sum.a, m.sum.g / m.sum.a, m.sum.b / m.sum.a, math.Round(m.sum.a/m.n*1e4) / 1e4}
}

// even reports whether all colours were the same to within what an eye or 8
// bits could tell.
func (m *mean) even() bool {
	const tiny = 1.5 / 255
	return m.max.r-m.min.r < tiny && m.max.g-m.min.g < tiny && m.max.b-m.min.b < tiny && m.max.a-m.min.a < tiny
}
