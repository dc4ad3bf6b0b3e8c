package svgimport

import (
	"math"
	"strings"

	"abut/internal/colour"
)

// notation is how a function writes a colour of its space: what 100 % of each
// coordinate is, and what a bare number counts.
type notation struct {
	space   colour.Space
	full    [3]float64
	unit    [3]float64
	clamped [3]bool // to [0, full]
	// positive is the coordinate that is not below zero, -1 for none.
	positive int
}

// notations are the functions that are named after their spaces (CSS Color 4, 7 to
// 9). A hue, of which there are no shares, has none of them.
var notations = map[string]notation{
	"hsl":   {colour.HSL, [3]float64{0, 1, 1}, [3]float64{1, 0.01, 0.01}, [3]bool{false, true, true}, -1},
	"hwb":   {colour.HWB, [3]float64{0, 1, 1}, [3]float64{1, 0.01, 0.01}, [3]bool{false, true, true}, -1},
	"lab":   {colour.CIELab, [3]float64{100, 125, 125}, [3]float64{1, 1, 1}, [3]bool{true, false, false}, -1},
	"lch":   {colour.CIELCh, [3]float64{100, 150, 0}, [3]float64{1, 1, 1}, [3]bool{true, false, false}, 1},
	"oklab": {colour.Oklab, [3]float64{1, 0.4, 0.4}, [3]float64{1, 1, 1}, [3]bool{true, false, false}, -1},
	"oklch": {colour.Oklch, [3]float64{1, 0.4, 0}, [3]float64{1, 1, 1}, [3]bool{true, false, false}, 1},
}

// maxMixed bounds the mixtures within a mixture.
const maxMixed = 32

// colourFunction reads a function that makes a colour.
func colourFunction(s string, current rgba) (colour.Coordinates, bool) {
	name, args, ok := strings.Cut(strings.Join(strings.Fields(s), " "), "(")
	if !ok || !strings.HasSuffix(args, ")") || strings.Count(args, "color-mix(") > maxMixed {
		return colour.Coordinates{}, false
	}
	args = args[:len(args)-1]
	switch name {
	case "rgb", "rgba":
		return rgbFunction(args)
	case "hsla":
		name = "hsl"
	case "color":
		return colorFunction(args)
	case "color-mix":
		return mixFunction(args, current)
	case "light-dark": // CSS Color 5, 13: sheets are looked at by day, as all rules for a dark screen do not count
		if parts := splitArgs(args); len(parts) == 2 {
			return anyColour(parts[0], current)
		}
		return colour.Coordinates{}, false
	}
	return spaceFunction(name, args)
}

// anyColour reads a colour within a function.
func anyColour(s string, current rgba) (colour.Coordinates, bool) {
	if s = strings.TrimSpace(s); s == "currentcolor" {
		return current.coordinates(), true
	}
	return readColour(s, current)
}

// spaceFunction reads the arguments of a function that is named after its space.
func spaceFunction(name, args string) (colour.Coordinates, bool) {
	how, known := notations[name]
	// Only the oldest has a notation with commas.
	if !known || name != "hsl" && strings.Contains(args, ",") {
		return colour.Coordinates{}, false
	}
	list, alpha, ok := colourArgs(args)
	if !ok {
		return colour.Coordinates{}, false
	}
	out := colour.Coordinates{Space: how.space, Alpha: alpha}
	for i, a := range list {
		if out.V[i], ok = how.coordinate(i, a); !ok {
			return colour.Coordinates{}, false
		}
	}
	return out, true
}

// coordinate is what an argument says of a coordinate.
func (how notation) coordinate(i int, a colourArg) (float64, bool) {
	switch {
	case how.full[i] == 0:
		return a.degrees()
	case a.unit == "%":
		a.v *= how.full[i] / 100
	case a.unit == "":
		a.v *= how.unit[i]
	default:
		return 0, false
	}
	if how.clamped[i] && !math.IsNaN(a.v) {
		a.v = min(max(a.v, 0), how.full[i])
	}
	if i == how.positive && a.v < 0 {
		a.v = 0
	}
	return a.v, true
}

// rgbFunction reads the arguments of rgb().
func rgbFunction(args string) (colour.Coordinates, bool) {
	list, alpha, ok := colourArgs(args)
	if !ok || strings.Contains(args, ",") && (list[0].unit != list[1].unit || list[1].unit != list[2].unit) {
		return colour.Coordinates{}, false // CSS Color 4, 5.1: with commas all are numbers or all are shares
	}
	out := colour.Coordinates{Alpha: alpha}
	for i, a := range list {
		if out.V[i], ok = a.share(255); !ok {
			return colour.Coordinates{}, false
		}
		if out.V[i] /= 255; !math.IsNaN(out.V[i]) {
			out.V[i] = clamp01(out.V[i])
		}
	}
	return out, true
}

// colorFunction reads the arguments of color(), which name the space (CSS Color 4, 10).
func colorFunction(args string) (colour.Coordinates, bool) {
	name, rest, _ := strings.Cut(strings.TrimSpace(args), " ")
	space, known := colour.SpaceNamed(name)
	if _, own := notations[name]; !known || own || strings.Contains(args, ",") {
		return colour.Coordinates{}, false
	}
	list, alpha, ok := colourArgs(rest)
	if !ok {
		return colour.Coordinates{}, false
	}
	out := colour.Coordinates{Space: space, Alpha: alpha}
	for i, a := range list {
		if out.V[i], ok = a.share(1); !ok {
			return colour.Coordinates{}, false
		}
	}
	return out, true
}

// mixFunction reads the arguments of color-mix() with two colours (CSS Color 5, 3).
func mixFunction(args string, current rgba) (colour.Coordinates, bool) {
	parts := splitArgs(args)
	space, way := colour.Oklab, colour.Shorter
	if len(parts) == 3 {
		var ok bool
		if space, way, ok = mixedIn(strings.Fields(parts[0])); !ok {
			return colour.Coordinates{}, false
		}
		parts = parts[1:]
	}
	if len(parts) != 2 {
		return colour.Coordinates{}, false
	}
	a, p, okA := mixed(parts[0], current)
	b, q, okB := mixed(parts[1], current)
	if !okA || !okB {
		return colour.Coordinates{}, false
	}
	switch { // CSS Color 5, 3.2: what is not said is the rest
	case p < 0 && q < 0:
		p, q = 50, 50
	case p < 0:
		p = 100 - q
	case q < 0:
		q = 100 - p
	}
	sum := p + q
	if sum == 0 {
		return colour.Coordinates{}, true // nothing of either
	}
	out := space.Mix(way, a, b, q/sum)
	out.Alpha *= min(1, sum/100)
	return out, true
}

// mixedIn reads 'in' a space and, where that has hues, which way around.
func mixedIn(words []string) (space colour.Space, way colour.Way, ok bool) {
	if len(words) != 2 && len(words) != 4 || words[0] != "in" {
		return 0, 0, false
	}
	space, ok = colour.SpaceNamed(words[1])
	if len(words) == 2 {
		return space, colour.Shorter, ok
	}
	way, known := map[string]colour.Way{
		"shorter": colour.Shorter, "longer": colour.Longer, "increasing": colour.Increasing, "decreasing": colour.Decreasing,
	}[words[2]]
	return space, way, ok && known && words[3] == "hue"
}

// mixed reads a colour with its percentage before or behind it, -1 where it has none.
func mixed(s string, current rgba) (c colour.Coordinates, percent float64, ok bool) {
	s, percent = strings.TrimSpace(s), -1
	word := func(w string) bool {
		v, found := strings.CutSuffix(w, "%")
		f, good := numberList(v)
		if !found || !good || len(f) != 1 || !(f[0] >= 0 && f[0] <= 100) {
			return false
		}
		percent = f[0]
		return true
	}
	if i := strings.LastIndexAny(s, " )"); i > 0 && word(strings.TrimSpace(s[i+1:])) {
		s = strings.TrimSpace(s[:i+1])
	} else if i := strings.IndexByte(s, ' '); i > 0 && word(s[:i]) {
		s = strings.TrimSpace(s[i:])
	}
	c, ok = anyColour(s, current)
	return c, percent, ok
}

// splitArgs splits at the commas that are in no brackets.
func splitArgs(s string) []string {
	var out []string
	depth, from := 0, 0
	for i := range len(s) {
		switch s[i] {
		case '(':
			depth++
		case ')':
			depth--
		case ',':
			if depth == 0 {
				out = append(out, s[from:i])
				from = i + 1
			}
		}
	}
	return append(out, s[from:])
}

// colourArg is one argument of a colour function, NaN for 'none'.
type colourArg struct {
	v    float64
	unit string
}

// share is the argument as a number on a scale of which a percentage is a
// part; false for one with a unit.
func (a colourArg) share(full float64) (float64, bool) {
	if a.unit == "%" {
		return a.v / 100 * full, true
	}
	return a.v, a.unit == ""
}

// degrees is the argument as an angle; false for what is none.
func (a colourArg) degrees() (float64, bool) {
	perUnit, ok := map[string]float64{"": 1, "deg": 1, "rad": 180 / math.Pi, "grad": 0.9, "turn": 360}[a.unit]
	return a.v * perUnit, ok
}

// colourArgs reads three arguments in the comma or in the space syntax, and the
// opacity, which comes after a comma or a slash; 1 where there is none.
func colourArgs(s string) (list [3]colourArg, alpha float64, ok bool) {
	sc := scanner{s: s}
	sc.spaces()
	alpha = 1
	n := 0
	for ; !sc.done(); n++ {
		a, ok := sc.colourArg()
		switch {
		case !ok || n > 3:
			return list, 0, false
		case n < 3:
			list[n] = a
		default:
			if alpha, ok = a.share(1); !ok {
				return list, 0, false
			}
			if !math.IsNaN(alpha) {
				alpha = clamp01(alpha)
			}
		}
		sc.separator()
		if sc.take('/') {
			if n != 2 {
				return list, 0, false
			}
			sc.spaces()
		}
	}
	return list, alpha, n >= 3
}

func (s *scanner) colourArg() (a colourArg, ok bool) {
	if a.v, ok = s.number(); !ok {
		a.v = math.NaN()
		return a, s.word() == "none"
	}
	if s.take('%') {
		a.unit = "%"
	} else {
		a.unit = s.word()
	}
	return a, true
}
