package svgimport

import (
	"math"
	"strings"
)

// pxPerIn is CSS' fixed ratio (CSS Values 4, 6.2; SVG 2 Units).
const pxPerIn = 96.0

// unit is a length's unit.
type unit uint8

const (
	unitPx unit = iota // px or no unit at all: user units
	unitPercent
	unitEm
	unitEx
	unitAbsolute // mm, cm, in, pt, pc, Q; already converted to px
)

// length is a number with its unit.
type length struct {
	v    float64
	unit unit
}

func px(v float64) length { return length{v: v} }

// parseLength reads one length, false when s is anything else.
func parseLength(s string) (length, bool) {
	sc := scanner{s: s}
	sc.spaces()
	l, ok := sc.length()
	sc.spaces()
	return l, ok && sc.done()
}

func (s *scanner) length() (length, bool) {
	v, ok := s.number()
	if !ok {
		return length{}, false
	}
	if s.take('%') {
		return length{v, unitPercent}, true
	}
	switch strings.ToLower(s.word()) {
	case "", "px":
		return length{v, unitPx}, true
	case "em":
		return length{v, unitEm}, true
	case "ex", "ch":
		return length{v, unitEx}, true
	case "mm":
		return length{v * pxPerIn / 25.4, unitAbsolute}, true
	case "cm":
		return length{v * pxPerIn / 2.54, unitAbsolute}, true
	case "q":
		return length{v * pxPerIn / 101.6, unitAbsolute}, true
	case "in":
		return length{v * pxPerIn, unitAbsolute}, true
	case "pt":
		return length{v * pxPerIn / 72, unitAbsolute}, true
	case "pc":
		return length{v * pxPerIn / 6, unitAbsolute}, true
	}
	return length{}, false
}

// viewport is what percentages refer to.
type viewport struct{ w, h float64 }

// axis says which side of the viewport a percentage refers to.
type axis uint8

const (
	alongX axis = iota
	alongY
	diagonal
)

// user returns the length in user units.
func (l length) user(v viewport, a axis, fontSize float64) float64 {
	switch l.unit {
	case unitPercent:
		switch a {
		case alongX:
			return l.v / 100 * v.w
		case alongY:
			return l.v / 100 * v.h
		}
		// SVG 2, 8.9: the diagonal over √2.
		return l.v / 100 * math.Hypot(v.w, v.h) / math.Sqrt2
	case unitEm:
		return l.v * fontSize
	case unitEx:
		return l.v * fontSize / 2
	}
	return l.v
}
