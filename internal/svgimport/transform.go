package svgimport

import (
	"math"
	"strings"

	"abut/geometry"
)

// parseTransform reads a transform list, as an attribute (SVG 2, 8.5) or a CSS
// property (CSS Transforms 1: lengths in px, angles with units). It returns
// false, and the identity, for a list that has an error anywhere.
func parseTransform(s string) (geometry.Affine, bool) {
	m := geometry.Identity()
	sc := scanner{s: s}
	sc.spaces()
	if strings.TrimSpace(s) == "none" {
		return m, true
	}
	for !sc.done() {
		name := sc.s[sc.i:]
		open := strings.IndexByte(name, '(')
		if open < 0 {
			return geometry.Identity(), false
		}
		name = strings.TrimSpace(name[:open])
		sc.i += open + 1
		args, ok := transformArgs(&sc)
		if !ok {
			return geometry.Identity(), false
		}
		t, ok := transformOf(name, args)
		if !ok {
			return geometry.Identity(), false
		}
		m = m.Mul(t)
		for sc.separator() {
		}
	}
	return m, true
}

// transformArgs reads numbers up to the closing bracket; angles in other
// units become degrees.
func transformArgs(sc *scanner) ([]float64, bool) {
	var args []float64
	sc.spaces()
	for {
		if sc.take(')') {
			return args, true
		}
		v, ok := sc.number()
		if !ok {
			return nil, false
		}
		switch strings.ToLower(sc.word()) {
		case "", "px", "deg":
		case "rad":
			v *= 180 / math.Pi
		case "grad":
			v *= 0.9
		case "turn":
			v *= 360
		case "mm":
			v *= pxPerIn / 25.4
		case "cm":
			v *= pxPerIn / 2.54
		case "in":
			v *= pxPerIn
		case "pt":
			v *= pxPerIn / 72
		default:
			return nil, false
		}
		args = append(args, v)
		sc.separator()
	}
}

// transforms are the functions of a transform, by name and how many numbers they take.
var transforms = map[string]map[int]func(a []float64) geometry.Affine{
	"matrix": {6: func(a []float64) geometry.Affine {
		return geometry.Affine{A: a[0], B: a[1], C: a[2], D: a[3], E: a[4], F: a[5]}
	}},
	"translate": {
		1: func(a []float64) geometry.Affine { return geometry.Translate(a[0], 0) },
		2: func(a []float64) geometry.Affine { return geometry.Translate(a[0], a[1]) },
	},
	"translateX": {1: func(a []float64) geometry.Affine { return geometry.Translate(a[0], 0) }},
	"translateY": {1: func(a []float64) geometry.Affine { return geometry.Translate(0, a[0]) }},
	"scale": {
		1: func(a []float64) geometry.Affine { return geometry.Scale(a[0], a[0]) },
		2: func(a []float64) geometry.Affine { return geometry.Scale(a[0], a[1]) },
	},
	"scaleX": {1: func(a []float64) geometry.Affine { return geometry.Scale(a[0], 1) }},
	"scaleY": {1: func(a []float64) geometry.Affine { return geometry.Scale(1, a[0]) }},
	"rotate": {
		1: func(a []float64) geometry.Affine { return rotateDeg(a[0]) },
		3: func(a []float64) geometry.Affine {
			return geometry.Translate(a[1], a[2]).Mul(rotateDeg(a[0])).Mul(geometry.Translate(-a[1], -a[2]))
		},
	},
	"skewX": {1: func(a []float64) geometry.Affine { return geometry.SkewX(a[0] * math.Pi / 180) }},
	"skewY": {1: func(a []float64) geometry.Affine { return geometry.SkewY(a[0] * math.Pi / 180) }},
}

func transformOf(name string, a []float64) (geometry.Affine, bool) {
	of, ok := transforms[name][len(a)]
	if !ok {
		return geometry.Affine{}, false
	}
	return of(a), true
}

// rotateDeg is exact at quarter turns, where a sine of π would leave 1e-16.
func rotateDeg(deg float64) geometry.Affine {
	switch math.Mod(math.Mod(deg, 360)+360, 360) {
	case 0:
		return geometry.Identity()
	case 90:
		return geometry.Affine{B: 1, C: -1}
	case 180:
		return geometry.Affine{A: -1, D: -1}
	case 270:
		return geometry.Affine{B: -1, C: 1}
	}
	return geometry.Rotate(deg * math.Pi / 180)
}
