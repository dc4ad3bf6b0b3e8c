package svgimport

import "math"

// averages of paint servers are taken over sampleLines lines across the
// painted area and as many points along each. The mean of a gradient over a
// shape is then right to a level or two in 255, which is finer than any sheet.
const sampleLines = 48

// From the finelySampled-th area on, coarseLines do: of a picture with
// thousands of gradients nobody sees such levels, but would wait for them.
const (
	finelySampled = 2000
	coarseLines   = 10
)

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
