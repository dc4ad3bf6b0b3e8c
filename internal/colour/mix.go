package colour

import "math"

// Coordinates are a colour as it was written: in a space, with its opacity. NaN stands for a coordinate, or an
// opacity, that is missing ('none' in CSS): it is taken from what the colour is mixed with, and 0 by itself.
type Coordinates struct {
	Space Space
	V     [3]float64
	Alpha float64
}

// SRGB returns the colour's channels in sRGB, beyond [0, 1] where it is beyond sRGB, and its opacity.
func (c Coordinates) SRGB() (rgb [3]float64, alpha float64) {
	return c.Space.SRGB(each(c.V, present)), present(c.Alpha)
}

func present(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return v
}

// Way is how hues are mixed: which way around (CSS Color 4, 13.4).
type Way uint8

// The ways around.
const (
	Shorter Way = iota
	Longer
	Increasing
	Decreasing
)

// Mix mixes two colours in a space, share (in [0, 1]) being that of the second; their channels count by their opacity
// (CSS Color 4, 13).
func (s Space) Mix(way Way, a, b Coordinates, share float64) Coordinates {
	a, b = a.in(s), b.in(s)
	fill := func(v, other *float64) {
		if math.IsNaN(*v) {
			*v = *other
		}
	}
	for i := range a.V {
		fill(&a.V[i], &b.V[i])
		fill(&b.V[i], &a.V[i])
	}
	fill(&a.Alpha, &b.Alpha)
	fill(&b.Alpha, &a.Alpha)
	out := Coordinates{Space: s, Alpha: (1-share)*a.Alpha + share*b.Alpha}
	alphaA, alphaB, alpha := a.Alpha, b.Alpha, out.Alpha
	if math.IsNaN(alpha) || alpha == 0 { // nothing shows: only a hue could still count
		alphaA, alphaB, alpha = 1, 1, 1
	}
	for i := range out.V {
		if i == s.hue() {
			out.V[i] = turnedBetween(way, a.V[i], b.V[i], share)
			continue
		}
		out.V[i] = ((1-share)*alphaA*a.V[i] + share*alphaB*b.V[i]) / alpha
	}
	return out
}

// turnedBetween is the hue at a share of the way from one to another.
func turnedBetween(way Way, from, to, share float64) float64 {
	if math.IsNaN(from) || math.IsNaN(to) {
		return math.NaN()
	}
	from, to = turned(from), turned(to)
	switch d := to - from; {
	case way == Shorter && d > 180, way == Longer && d > 0 && d < 180, way == Decreasing && d > 0:
		from += 360
	case way == Shorter && d < -180, way == Longer && d > -180 && d <= 0, way == Increasing && d < 0:
		to += 360
	}
	return turned((1-share)*from + share*to)
}

// in returns the colour in another space. What was missing stays so where that has a coordinate of the same kind, and a
// hue is missing where there is no colour to have one (CSS Color 4, 12.2 and 4.4).
func (c Coordinates) in(s Space) Coordinates {
	if c.Space == s {
		return c
	}
	rgb, _ := c.SRGB()
	out := Coordinates{Space: s, V: s.FromSRGB(rgb), Alpha: c.Alpha}
	if h := s.hue(); h >= 0 && s.grey(out.V) {
		out.V[h] = math.NaN()
	}
	for i, k := range c.Space.kinds() {
		if !math.IsNaN(c.V[i]) || k == other {
			continue
		}
		for j, l := range s.kinds() {
			if k == l {
				out.V[j] = math.NaN()
			}
		}
	}
	return out
}

// grey reports whether a colour has so little colour that its hue is but rounding.
func (s Space) grey(v [3]float64) bool {
	switch s {
	case CIELCh:
		return v[1] <= 0.0015
	case Oklch:
		return v[1] <= 4e-6
	case HSL:
		return v[1] <= 1e-5
	case HWB:
		return v[1]+v[2] >= 1-1e-5
	}
	return false
}

// kind is what a coordinate says, as far as other spaces have one that says it.
type kind uint8

const (
	other kind = iota
	reds
	greens
	blues
	lightness
	colourfulness
	angle
	redGreen
	yellowBlue
)

func (s Space) kinds() [3]kind {
	switch s {
	case CIELab, Oklab:
		return [3]kind{lightness, redGreen, yellowBlue}
	case CIELCh, Oklch:
		return [3]kind{lightness, colourfulness, angle}
	case HSL:
		return [3]kind{angle, colourfulness, lightness}
	case HWB:
		return [3]kind{angle, other, other}
	}
	return [3]kind{reds, greens, blues}
}
