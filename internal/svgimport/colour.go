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

// parseColour reads a CSS colour: a name, #rgb, #rgba, #rrggbb, #rrggbbaa,
// rgb() and rgba(), hsl() and hsla(), hwb(), with commas or without (CSS
// Colour 4). currentColor is the caller's business.
func parseColour(s string) (rgba, bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	// Old files add an icc-color() after the colour.
	if i := strings.Index(s, "icc-color("); i > 0 {
		s = strings.TrimSpace(s[:i])
	}
	if s == "" {
		return rgba{}, false
	}
	if s[0] == '#' {
		return hexColour(s[1:])
	}
	if v, ok := namedColours[s]; ok {
		return rgba{float64(v>>16) / 255, float64(v>>8&0xff) / 255, float64(v&0xff) / 255, 1}, true
	}
	if s == "transparent" {
		return rgba{}, true
	}
	return colourFunction(s)
}

// colourFunction reads rgb(), hsl(), hwb() and their forms with an a.
func colourFunction(s string) (rgba, bool) {
	open := strings.IndexByte(s, '(')
	if open < 0 || s[len(s)-1] != ')' {
		return rgba{}, false
	}
	args, ok := colourArgs(s[open+1 : len(s)-1])
	if !ok || len(args) < 3 || len(args) > 4 {
		return rgba{}, false
	}
	alpha := 1.0
	if len(args) == 4 {
		alpha = clamp01(args[3].share(1))
	}
	switch s[:open] {
	case "rgb", "rgba":
		if strings.Contains(s, ",") && (args[0].unit != args[1].unit || args[1].unit != args[2].unit) {
			return rgba{}, false // CSS Color 4, 5.1: with commas all are numbers or all are shares
		}
		return rgba{clamp01(args[0].share(255) / 255), clamp01(args[1].share(255) / 255), clamp01(args[2].share(255) / 255), alpha}, true
	case "hsl", "hsla":
		r, g, b := hsl(args[0].degrees(), clamp01(args[1].v/100), clamp01(args[2].v/100))
		return rgba{r, g, b, alpha}, true
	case "hwb":
		w, k := clamp01(args[1].v/100), clamp01(args[2].v/100)
		if w+k >= 1 {
			return rgba{w / (w + k), w / (w + k), w / (w + k), alpha}, true
		}
		r, g, b := hsl(args[0].degrees(), 1, 0.5)
		mix := func(v float64) float64 { return v*(1-w-k) + w }
		return rgba{mix(r), mix(g), mix(b), alpha}, true
	}
	return rgba{}, false
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

// colourArg is one argument of a colour function.
type colourArg struct {
	v    float64
	unit string
}

// share is the argument as a number on a scale of which a percentage is a
// part.
func (a colourArg) share(full float64) float64 {
	if a.unit == "%" {
		return a.v / 100 * full
	}
	return a.v
}

func (a colourArg) degrees() float64 {
	switch a.unit {
	case "rad":
		return a.v * 180 / math.Pi
	case "grad":
		return a.v * 0.9
	case "turn":
		return a.v * 360
	}
	return a.v
}

// colourArgs reads the arguments in the comma or in the space syntax, the
// opacity after a slash.
func colourArgs(s string) ([]colourArg, bool) {
	sc := scanner{s: s}
	var out []colourArg
	sc.spaces()
	for !sc.done() {
		v, ok := sc.number()
		if !ok {
			if sc.word() != "none" {
				return nil, false
			}
			v = 0
		}
		a := colourArg{v: v}
		if sc.take('%') {
			a.unit = "%"
		} else {
			a.unit = sc.word()
		}
		out = append(out, a)
		if len(out) > 4 {
			return nil, false
		}
		sc.separator()
		if sc.take('/') {
			if len(out) != 3 {
				return nil, false
			}
			sc.spaces()
		}
	}
	return out, true
}

// hsl converts hue in degrees, saturation and lightness in [0, 1] to sRGB (CSS
// Color 4, 7.1).
func hsl(h, s, l float64) (r, g, b float64) {
	if math.IsNaN(h) || math.IsInf(h, 0) {
		h = 0
	}
	h = math.Mod(math.Mod(h, 360)+360, 360)
	f := func(n float64) float64 {
		k := math.Mod(n+h/30, 12)
		return l - s*math.Min(l, 1-l)*math.Max(-1, math.Min(math.Min(k-3, 9-k), 1))
	}
	return f(0), f(8), f(4)
}
