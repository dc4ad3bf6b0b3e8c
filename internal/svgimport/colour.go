package svgimport

import (
	"math"
	"strings"

	"abut/internal/colour"
)

// rgba is a colour with its opacity, channels in [0, 1].
type rgba struct{ r, g, b, a float64 }

var black = rgba{0, 0, 0, 1}

// colour returns the colour in 8 bits a channel, without its opacity.
func (c rgba) colour() colour.RGB {
	q := func(v float64) uint8 { return uint8(math.Round(255 * clamp01(v))) }
	return colour.RGB{R: q(c.r), G: q(c.g), B: q(c.b)}
}

func clamp01(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return math.Min(v, 1)
}

func fromColour(c colour.RGB) rgba {
	return rgba{float64(c.R) / 255, float64(c.G) / 255, float64(c.B) / 255, 1}
}

// parseColour reads a CSS colour: a name, #rgb, #rgba, #rrggbb, #rrggbbaa, or a
// function (CSS Color 4 and, for color-mix(), 5). What is beyond sRGB becomes what
// is nearest in each channel. currentColor alone is the caller's business; within
// a function it is current.
func parseColour(s string, current rgba) (rgba, bool) {
	c, ok := readColour(s, current)
	if !ok {
		return rgba{}, false
	}
	v, alpha := c.SRGB()
	return rgba{clamp01(v[0]), clamp01(v[1]), clamp01(v[2]), clamp01(alpha)}, true
}

// coordinates is the colour as one that is mixed with others.
func (c rgba) coordinates() colour.Coordinates {
	return colour.Coordinates{V: [3]float64{c.r, c.g, c.b}, Alpha: c.a}
}

// readColour is parseColour that keeps the colour as it was written.
func readColour(s string, current rgba) (colour.Coordinates, bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	// Old files add an icc-color() after the colour.
	if i := strings.Index(s, "icc-color("); i > 0 {
		s = strings.TrimSpace(s[:i])
	}
	if strings.HasPrefix(s, "#") {
		c, ok := hexColour(s[1:])
		return c.coordinates(), ok
	}
	if v, ok := namedColours[s]; ok {
		return rgba{float64(v>>16) / 255, float64(v>>8&0xff) / 255, float64(v&0xff) / 255, 1}.coordinates(), true
	}
	if s == "transparent" {
		return rgba{}.coordinates(), true
	}
	return colourFunction(s, current)
}

func hexColour(h string) (rgba, bool) {
	var d [8]float64
	if n := len(h); n != 3 && n != 4 && n != 6 && n != 8 {
		return rgba{}, false
	}
	for i := 0; i < len(h); i++ {
		switch c := h[i]; {
		case isDigit(c):
			d[i] = float64(c - '0')
		case c >= 'a' && c <= 'f':
			d[i] = float64(c-'a') + 10
		default:
			return rgba{}, false
		}
	}
	switch len(h) {
	case 3:
		return rgba{d[0] / 15, d[1] / 15, d[2] / 15, 1}, true
	case 4:
		return rgba{d[0] / 15, d[1] / 15, d[2] / 15, d[3] / 15}, true
	}
	two := func(i int) float64 { return (d[i]*16 + d[i+1]) / 255 }
	if len(h) == 6 {
		return rgba{two(0), two(2), two(4), 1}, true
	}
	return rgba{two(0), two(2), two(4), two(6)}, true
}
