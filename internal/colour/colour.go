package colour

import (
	"fmt"
	"math"
)

// RGB is an opaque sRGB colour of 8 bits a channel.
type RGB struct{ R, G, B uint8 }

// White is the colour of an undecorated light blank.
var White = RGB{255, 255, 255}

// String returns the colour as #rrggbb.
func (c RGB) String() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// MarshalText returns the colour as #rrggbb.
func (c RGB) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (c *RGB) UnmarshalText(b []byte) (err error) {
	*c, err = Parse(string(b))
	return err
}

// Parse reads #rgb or #rrggbb, in either case; the # may be missing.
func Parse(s string) (RGB, error) {
	h := s
	if len(h) > 0 && h[0] == '#' {
		h = h[1:]
	}
	if len(h) == 3 {
		h = string([]byte{h[0], h[0], h[1], h[1], h[2], h[2]})
	}
	var v uint32
	if len(h) != 6 {
		return RGB{}, fmt.Errorf("colour %q is not #rrggbb", s)
	}
	for _, r := range []byte(h) {
		d, ok := hexDigit(r)
		if !ok {
			return RGB{}, fmt.Errorf("colour %q is not #rrggbb", s)
		}
		v = v<<4 | uint32(d)
	}
	return RGB{uint8(v >> 16), uint8(v >> 8), uint8(v)}, nil
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
func (c RGB) Over(under RGB, alpha float64) RGB {
	mix := func(a, b uint8) uint8 {
		return uint8(math.Round(alpha*float64(a) + (1-alpha)*float64(b)))
	}
	return RGB{mix(c.R, under.R), mix(c.G, under.G), mix(c.B, under.B)}
}

// DeltaE returns the CIEDE2000 colour difference (Sharma, Wu, Dalal 2005) on
// the usual scale, where 1 is about a just noticeable difference.
func (c RGB) DeltaE(d RGB) float64 { return c.Lab().DeltaE(d.Lab()) }

// Linear returns the light that a channel of sRGB stands for, both in [0, 1]; CSS
// Color 4, section 18, as is Encoded.
func Linear(x float64) float64 {
	if x <= 0.04045 {
		return x / 12.92
	}
	return math.Pow((x+0.055)/1.055, 2.4)
}

// Encoded is the inverse of Linear.
func Encoded(light float64) float64 {
	if light <= 0.0031308 {
		return 12.92 * light
	}
	return 1.055*math.Pow(light, 1/2.4) - 0.055
}

// Through returns what shows where one transparent dye lies on another: of each channel's
// light what both let through. It is an estimate: real dyes overlap in what they absorb.
func (c RGB) Through(d RGB) RGB {
	both := func(a, b uint8) uint8 {
		return uint8(math.Round(255 * Encoded(Linear(float64(a)/255)*Linear(float64(b)/255))))
	}
	return RGB{both(c.R, d.R), both(c.G, d.G), both(c.B, d.B)}
}

// Lab is a colour in CIE L*a*b* under D65: L in [0, 100], a and b some ±128.
type Lab struct{ L, A, B float64 }

// Lab returns c in CIE L*a*b*. Comparing one colour with many is cheaper from
// here. The way there is that of CSS Color 4, section 18 (sample code): sRGB to
// linear light, to XYZ, to Lab against the same white.
func (c RGB) Lab() Lab {
	linear := func(v uint8) float64 { return Linear(float64(v) / 255) }
	r, g, b := linear(c.R), linear(c.G), linear(c.B)
	x := 0.41239079926595934*r + 0.357584339383878*g + 0.1804807884018343*b
	y := 0.21263900587151027*r + 0.715168678767756*g + 0.07219231536073371*b
	z := 0.01933081871559182*r + 0.11919477979462598*g + 0.9505321522496607*b
	f := func(t float64) float64 {
		if t > 216.0/24389 { // CIE 15: the cube root's straight beginning
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	// White is the sum of each row above, so that grey is neutral.
	fx, fy, fz := f(x/whiteX), f(y/whiteY), f(z/whiteZ)
	return Lab{116*fy - 16, 500 * (fx - fy), 200 * (fy - fz)}
}

// The D65 white of sRGB in XYZ.
const (
	whiteX = 0.41239079926595934 + 0.357584339383878 + 0.1804807884018343
	whiteY = 0.21263900587151027 + 0.715168678767756 + 0.07219231536073371
	whiteZ = 0.01933081871559182 + 0.11919477979462598 + 0.9505321522496607
)

// DeltaE returns the CIEDE2000 difference of two colours. The steps and names
// are those of G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 Color-Difference
// Formula: Implementation Notes", 2005, section 2, its parametric factors 1. The formula
// jumps where two hues are exactly opposite, so it works on Lab directly: a
// detour through RGB would decide such cases by rounding.
func (p Lab) DeltaE(q Lab) float64 { return p.deltaE(q, 1) }

// atLeast returns what DeltaE is at least, by lightness alone: its other terms together are never
// negative, for the rotation term is below twice the product of those of chroma and hue.
func (p Lab) atLeast(q Lab) float64 {
	return math.Abs(q.L-p.L) / lightnessWeight(p, q) * (1 - 1e-9) // both are rounded
}

// lightnessWeight is S_L of step 3.
func lightnessWeight(p, q Lab) float64 {
	l := (p.L+q.L)/2 - 50
	return 1 + 0.015*(l*l)/math.Sqrt(20+l*l)
}

// squared is the square of a plain distance.
func (p Lab) squared(q Lab) float64 {
	l, a, b := q.L-p.L, q.A-p.A, q.B-p.B
	return l*l + a*a + b*b
}

// deltaE is DeltaE with a parametric factor of lightness (kL), by which
// differences of it are divided.
func (p Lab) deltaE(q Lab, kl float64) float64 {
	const pow25to7 = 25 * 25 * 25 * 25 * 25 * 25 * 25
	// half is a half turn, widened so that hues that are opposite up to the
	// rounding of an arc tangent (some 1e-15) count as exactly opposite, which
	// the formula lumps with the smaller angles.
	const half = math.Pi + 1e-12
	sqr := func(x float64) float64 { return x * x }
	pow7 := func(x float64) float64 { return x * x * x * x * x * x * x }

	// Step 1: C′ and h′.
	g := pow7((math.Hypot(p.A, p.B) + math.Hypot(q.A, q.B)) / 2)
	g = 1 + 0.5*(1-math.Sqrt(g/(g+pow25to7)))
	a1, a2 := g*p.A, g*q.A
	c1, c2 := math.Hypot(a1, p.B), math.Hypot(a2, q.B)
	hue := func(a, b float64) float64 {
		if a == 0 && b == 0 {
			return 0
		}
		h := math.Atan2(b, a)
		if h < 0 {
			h += 2 * math.Pi
		}
		return h
	}
	h1, h2 := hue(a1, p.B), hue(a2, q.B)

	// Step 2: ΔL′, ΔC′, ΔH′.
	dh := 0.0
	if c1*c2 != 0 {
		dh = h2 - h1
		if dh > half {
			dh -= 2 * math.Pi
		} else if dh < -half {
			dh += 2 * math.Pi
		}
	}
	dl, dc := q.L-p.L, c2-c1
	dH := 2 * math.Sqrt(c1*c2) * math.Sin(dh/2)

	// Step 3: the means, the weights and the rotation term.
	c := (c1 + c2) / 2
	h := h1 + h2
	if c1*c2 != 0 {
		switch {
		case math.Abs(h1-h2) <= half:
		case h < 2*math.Pi:
			h += 2 * math.Pi
		default:
			h -= 2 * math.Pi
		}
		h /= 2
	}
	const deg = math.Pi / 180
	t := 1 - 0.17*math.Cos(h-30*deg) + 0.24*math.Cos(2*h) + 0.32*math.Cos(3*h+6*deg) - 0.20*math.Cos(4*h-63*deg)
	turn := 30 * deg * math.Exp(-sqr((h/deg-275)/25))
	rc := 2 * math.Sqrt(pow7(c)/(pow7(c)+pow25to7))
	sl := kl * lightnessWeight(p, q)
	sc := 1 + 0.045*c
	sh := 1 + 0.015*c*t
	rt := -math.Sin(2*turn) * rc
	return math.Sqrt(sqr(dl/sl) + sqr(dc/sc) + sqr(dH/sh) + rt*(dc/sc)*(dH/sh))
}
