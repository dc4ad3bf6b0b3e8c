package theme

import (
	"image/color"
	"math"
)

// Palette is the colours of the chrome. The art's own colours are never taken
// from it, and red is not in it: that is kept for what stacks.
type Palette struct {
	// Ground lies behind everything, Surface behind what is read or typed,
	// Board around the blank.
	Ground, Surface, Board color.NRGBA
	Text, Quiet            color.NRGBA
	// Accent fills the one action that comes next and marks focus and
	// selection; OnAccent is text on it.
	Accent, OnAccent color.NRGBA
	// Ready and Care are the verdict's colours.
	Ready, Care color.NRGBA
	// Line separates; Edge bounds what can be typed into or caught.
	Line, Edge color.NRGBA
	// Dialog is a dialog's surface, DialogEdge the line around it, Scrim what dims
	// everything behind.
	Dialog, DialogEdge, Scrim color.NRGBA
}

func hex(v uint32) color.NRGBA {
	return color.NRGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

// Light and Dark are the two palettes.
var (
	Light = Palette{
		Ground: hex(0xFAF8F4), Surface: hex(0xFFFFFF), Board: hex(0xE4E1DA),
		Text: hex(0x1F2A30), Quiet: hex(0x4A5860),
		Accent: hex(0x6A3A7C), OnAccent: hex(0xFFFFFF),
		Ready: hex(0x1E6B34), Care: hex(0x7A4E00),
		Line: hex(0xDDD9D0), Edge: hex(0x858E92),
		Dialog: hex(0xFFFFFF), DialogEdge: hex(0xDDD9D0), Scrim: color.NRGBA{A: 0x40},
	}
	Dark = Palette{
		Ground: hex(0x161C1F), Surface: hex(0x1F272B), Board: hex(0x2A3338),
		Text: hex(0xE9EEF0), Quiet: hex(0xA8B4BA),
		Accent: hex(0xCDA7E0), OnAccent: hex(0x1A1020),
		Ready: hex(0x7FD08F), Care: hex(0xF0B84A),
		Line: hex(0x333D42), Edge: hex(0x7C888E),
		// Lighter than the panels, over a scrim of a half: else it sinks into them.
		Dialog: hex(0x2A3338), DialogEdge: hex(0x4A565C), Scrim: color.NRGBA{A: 0x80},
	}
)

// Marks on the board have fixed colours, since the blank keeps its own colour
// in both themes; each is drawn as a light line with a dark one beside it.
var (
	MarkLight = hex(0xFFFFFF)
	MarkDark  = hex(0x4B2259)
)

// Mix returns a at share t and b at 1 − t.
func Mix(a, b color.NRGBA, t float64) color.NRGBA {
	m := func(x, y uint8) uint8 { return uint8(math.Round(t*float64(x) + (1-t)*float64(y))) }
	return color.NRGBA{m(a.R, b.R), m(a.G, b.G), m(a.B, b.B), m(a.A, b.A)}
}

// Faded returns c with its opacity set to a.
func Faded(c color.NRGBA, a uint8) color.NRGBA { c.A = a; return c }

// Contrast returns the ratio of the lighter colour's relative luminance to the
// darker one's, 1 to 21, by the formula of WCAG 2.2 ('contrast ratio').
func Contrast(a, b color.NRGBA) float64 {
	x, y := luminance(a)+0.05, luminance(b)+0.05
	return max(x, y) / min(x, y)
}

func luminance(c color.NRGBA) float64 {
	lin := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}
