package job

import (
	"fmt"
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// Colour is an opaque sRGB colour of 8 bits a channel.
type Colour struct{ R, G, B uint8 }

// White is the colour of an undecorated light blank.
var White = Colour{255, 255, 255}

// String returns the colour as #rrggbb.
func (c Colour) String() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// ParseColour reads #rgb or #rrggbb, in either case; the # may be missing.
func ParseColour(s string) (Colour, error) {
	h := s
	if len(h) > 0 && h[0] == '#' {
		h = h[1:]
	}
	if len(h) == 3 {
		h = string([]byte{h[0], h[0], h[1], h[1], h[2], h[2]})
	}
	var v uint32
	if len(h) != 6 {
		return Colour{}, fmt.Errorf("colour %q is not #rrggbb", s)
	}
	for _, r := range []byte(h) {
		d, ok := hexDigit(r)
		if !ok {
			return Colour{}, fmt.Errorf("colour %q is not #rrggbb", s)
		}
		v = v<<4 | uint32(d)
	}
	return Colour{uint8(v >> 16), uint8(v >> 8), uint8(v)}, nil
}

func hexDigit(b byte) (byte, bool) {
	switch {
	case b >= '0' && b <= '9':
		return b - '0', true
	case b >= 'a' && b <= 'f':
		return b - 'a' + 10, true
	case b >= 'A' && b <= 'F':
		return b - 'A' + 10, true
	}
	return 0, false
}

// Over returns c at opacity alpha composited over under, mixed in sRGB as SVG
// and CSS prescribe by default, rounded to 8 bits.
func (c Colour) Over(under Colour, alpha float64) Colour {
	mix := func(a, b uint8) uint8 {
		return uint8(math.Round(alpha*float64(a) + (1-alpha)*float64(b)))
	}
	return Colour{mix(c.R, under.R), mix(c.G, under.G), mix(c.B, under.B)}
}

// DeltaE returns the CIEDE2000 colour difference (Sharma, Wu, Dalal 2005) on
// the usual scale, where 1 is about a just noticeable difference.
func (c Colour) DeltaE(d Colour) float64 {
	a := colorful.Color{R: float64(c.R) / 255, G: float64(c.G) / 255, B: float64(c.B) / 255}
	b := colorful.Color{R: float64(d.R) / 255, G: float64(d.G) / 255, B: float64(d.B) / 255}
	return a.DistanceCIEDE2000(b) * 100
}
