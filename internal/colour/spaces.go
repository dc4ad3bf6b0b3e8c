package colour

import "math"

// Space is a colour space of CSS Color 4. Its coordinates are numbers as that has them: channels in [0, 1] for
// those of red, green and blue, saturation, whiteness and blackness in [0, 1], lightness in [0, 100] (CIE) or
// [0, 1] (Oklab), hues in degrees. Beyond that they are colours that no screen shows, and are kept.
type Space uint8

// The spaces. XYZ is relative to the white D65.
const (
	SRGB Space = iota
	LinearSRGB
	DisplayP3
	LinearDisplayP3
	A98RGB
	ProPhotoRGB
	Rec2020
	XYZ
	XYZD50
	CIELab
	CIELCh
	Oklab
	Oklch
	HSL
	HWB
)

// spaceNames are what CSS calls them.
var spaceNames = map[string]Space{
	"srgb": SRGB, "srgb-linear": LinearSRGB, "display-p3": DisplayP3, "display-p3-linear": LinearDisplayP3, "a98-rgb": A98RGB,
	"prophoto-rgb": ProPhotoRGB, "rec2020": Rec2020, "xyz": XYZ, "xyz-d65": XYZ, "xyz-d50": XYZD50,
	"lab": CIELab, "lch": CIELCh, "oklab": Oklab, "oklch": Oklch, "hsl": HSL, "hwb": HWB,
}

// SpaceNamed returns the space that CSS calls by a name in small letters.
func SpaceNamed(name string) (Space, bool) {
	s, ok := spaceNames[name]
	return s, ok
}

// hue returns which coordinate is an angle, -1 where none is.
func (s Space) hue() int {
	switch s {
	case CIELCh, Oklch:
		return 2
	case HSL, HWB:
		return 0
	}
	return -1
}

// SRGB returns a colour of the space in sRGB. Channels are beyond [0, 1] where the colour is beyond sRGB.
func (s Space) SRGB(v [3]float64) [3]float64 {
	switch s {
	case SRGB:
		return v
	case HSL:
		return fromHSL(v)
	case HWB:
		return fromHWB(v)
	}
	return each(srgbFromXYZ.times(s.xyz(v)), encode)
}

// FromSRGB is the inverse of SRGB.
func (s Space) FromSRGB(v [3]float64) [3]float64 {
	switch s {
	case SRGB:
		return v
	case HSL:
		return toHSL(v)
	case HWB:
		h := toHSL(v)[0]
		return [3]float64{h, min(v[0], v[1], v[2]), 1 - max(v[0], v[1], v[2])}
	}
	return s.fromXYZ(xyzFromSRGB.times(each(v, decode)))
}

// xyz leads to XYZ from every space but those that are sRGB by other names.
func (s Space) xyz(v [3]float64) [3]float64 {
	switch s {
	case XYZ:
		return v
	case XYZD50:
		return toD65.times(v)
	case CIELab:
		return toD65.times(fromCIELab(v))
	case CIELCh:
		return toD65.times(fromCIELab(fromPolar(v)))
	case Oklab:
		return fromOklab(v)
	case Oklch:
		return fromOklab(fromPolar(v))
	}
	g := gamuts[s]
	return g.toXYZ.times(each(v, g.decode))
}

func (s Space) fromXYZ(v [3]float64) [3]float64 {
	switch s {
	case XYZ:
		return v
	case XYZD50:
		return toD50.times(v)
	case CIELab:
		return toCIELab(toD50.times(v))
	case CIELCh:
		return toPolar(toCIELab(toD50.times(v)))
	case Oklab:
		return toOklab(v)
	case Oklch:
		return toPolar(toOklab(v))
	}
	g := gamuts[s]
	return each(g.fromXYZ.times(v), g.encode)
}

// gamut is a space of red, green and blue by the light of its primaries.
type gamut struct {
	toXYZ, fromXYZ matrix
	decode, encode func(float64) float64
}

var gamuts = map[Space]gamut{
	LinearSRGB:      {xyzFromSRGB, srgbFromXYZ, same, same},
	DisplayP3:       newGamut(p3Primaries, d65, decode, encode),
	LinearDisplayP3: newGamut(p3Primaries, d65, same, same),
	A98RGB:          newGamut([3]chromaticity{{0.64, 0.33}, {0.21, 0.71}, {0.15, 0.06}}, d65, power(563.0/256), power(256.0/563)),
	ProPhotoRGB:     newGamut([3]chromaticity{{0.734699, 0.265301}, {0.159597, 0.840403}, {0.036598, 0.000105}}, d50, decodeProPhoto, encodeProPhoto),
	Rec2020:         newGamut([3]chromaticity{{0.708, 0.292}, {0.17, 0.797}, {0.131, 0.046}}, d65, power(2.4), power(1/2.4)),
}

// chromaticity is where a light lies in the CIE 1931 diagram.
type chromaticity struct{ x, y float64 }

func (c chromaticity) xyz() [3]float64 { return [3]float64{c.x / c.y, 1, (1 - c.x - c.y) / c.y} }

// The whites, and the primaries of IEC 61966-2-1 and of Display P3 (CSS Color 4, 10).
var (
	d65, d50      = chromaticity{0.3127, 0.3290}, chromaticity{0.3457, 0.3585}
	srgbPrimaries = [3]chromaticity{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}}
	p3Primaries   = [3]chromaticity{{0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060}}

	xyzFromSRGB = lights(srgbPrimaries, d65)
	srgbFromXYZ = xyzFromSRGB.inverse()
	toD50       = adapted(d65, d50)
	toD65       = toD50.inverse()
)

func newGamut(primaries [3]chromaticity, white chromaticity, decode, encode func(float64) float64) gamut {
	m := lights(primaries, white)
	if white != d65 {
		m = toD65.after(m)
	}
	return gamut{m, m.inverse(), decode, encode}
}

// lights leads from shares of three lights, which together are the white, to XYZ.
func lights(primaries [3]chromaticity, white chromaticity) matrix {
	var m matrix
	for i, p := range primaries {
		for k, v := range p.xyz() {
			m[k][i] = v
		}
	}
	for i, share := range m.inverse().times(white.xyz()) {
		for k := range m {
			m[k][i] *= share
		}
	}
	return m
}

// bradford leads from XYZ to the eye's cones, by which a colour is adapted to another white (Lam 1985).
var bradford = matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}

// adapted leads from XYZ relative to one white to that relative to another.
func adapted(from, to chromaticity) matrix {
	was, is := bradford.times(from.xyz()), bradford.times(to.xyz())
	scaled := bradford
	for i := range scaled {
		for k := range scaled[i] {
			scaled[i][k] *= is[i] / was[i]
		}
	}
	return bradford.inverse().after(scaled)
}

// matrix is rows of what each coordinate counts.
type matrix [3][3]float64

func (m matrix) times(v [3]float64) (out [3]float64) {
	for i, r := range m {
		out[i] = r[0]*v[0] + r[1]*v[1] + r[2]*v[2]
	}
	return out
}

// after is the matrix that does what another does, and then what m does.
func (m matrix) after(n matrix) (out matrix) {
	for i := range m {
		for k := range m {
			out[i][k] = m[i][0]*n[0][k] + m[i][1]*n[1][k] + m[i][2]*n[2][k]
		}
	}
	return out
}

func (m matrix) inverse() (out matrix) {
	minor := func(i, k int) float64 {
		a, b, c, d := (i+1)%3, (i+2)%3, (k+1)%3, (k+2)%3
		return m[a][c]*m[b][d] - m[a][d]*m[b][c]
	}
	det := m[0][0]*minor(0, 0) + m[0][1]*minor(0, 1) + m[0][2]*minor(0, 2)
	for i := range m {
		for k := range m {
			out[k][i] = minor(i, k) / det
		}
	}
	return out
}

func each(v [3]float64, f func(float64) float64) [3]float64 {
	return [3]float64{f(v[0]), f(v[1]), f(v[2])}
}

func same(v float64) float64 { return v }

// decode and encode go on below zero as they are above.
func decode(v float64) float64 { return math.Copysign(Linear(math.Abs(v)), v) }
func encode(v float64) float64 { return math.Copysign(Encoded(math.Abs(v)), v) }

func power(exponent float64) func(float64) float64 {
	return func(v float64) float64 { return math.Copysign(math.Pow(math.Abs(v), exponent), v) }
}

// decodeProPhoto is the curve of ROMM RGB (ISO 22028-2).
func decodeProPhoto(v float64) float64 {
	if math.Abs(v) < 16.0/512 {
		return v / 16
	}
	return power(1.8)(v)
}

func encodeProPhoto(v float64) float64 {
	if math.Abs(v) < 1.0/512 {
		return 16 * v
	}
	return power(1 / 1.8)(v)
}

// The numbers of CIE L*a*b* (CIE 15:2004).
const (
	cieKappa   = 24389.0 / 27
	cieEpsilon = 216.0 / 24389
)

func toCIELab(xyz [3]float64) [3]float64 {
	white := d50.xyz()
	var f [3]float64
	for i := range f {
		t := xyz[i] / white[i]
		if f[i] = math.Cbrt(t); !(t > cieEpsilon) {
			f[i] = (cieKappa*t + 16) / 116
		}
	}
	return [3]float64{116*f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])}
}

func fromCIELab(v [3]float64) [3]float64 {
	y := (v[0] + 16) / 116
	f := [3]float64{y + v[1]/500, y, y - v[2]/200}
	white := d50.xyz()
	for i := range f {
		if t := f[i] * f[i] * f[i]; t > cieEpsilon {
			f[i] = t * white[i]
		} else {
			f[i] = (116*f[i] - 16) / cieKappa * white[i]
		}
	}
	return f
}

// The matrices of Oklab (B. Ottosson, 2020), that from XYZ as CSS Color 4, 18 has it: for its D65.
var (
	conesFromXYZ   = matrix{{0.8190224379967030, 0.3619062600528904, -0.1288737815209879}, {0.0329836539323885, 0.9292868615863434, 0.0361446663506424}, {0.0481771893596242, 0.2642395317527308, 0.6335478284694309}}
	oklabFromCones = matrix{{0.2104542683093140, 0.7936177747023054, -0.0040720430116193}, {1.9779985324311684, -2.4285922420485799, 0.4505937096174110}, {0.0259040424655478, 0.7827717124575296, -0.8086757549230774}}
	xyzFromCones   = conesFromXYZ.inverse()
	conesFromOklab = oklabFromCones.inverse()
	cube           = func(v float64) float64 { return v * v * v }
)

func toOklab(xyz [3]float64) [3]float64 {
	return oklabFromCones.times(each(conesFromXYZ.times(xyz), math.Cbrt))
}

func fromOklab(v [3]float64) [3]float64 {
	return xyzFromCones.times(each(conesFromOklab.times(v), cube))
}

// toPolar turns lightness and two axes into lightness, chroma and hue.
func toPolar(v [3]float64) [3]float64 {
	return [3]float64{v[0], math.Hypot(v[1], v[2]), turned(math.Atan2(v[2], v[1]) * 180 / math.Pi)}
}

func fromPolar(v [3]float64) [3]float64 {
	sin, cos := math.Sincos(v[2] * math.Pi / 180)
	return [3]float64{v[0], v[1] * cos, v[1] * sin}
}

// turned is a hue in [0, 360); 0 for what is no angle.
func turned(h float64) float64 {
	if math.IsNaN(h) || math.IsInf(h, 0) {
		return 0
	}
	if h = math.Mod(h, 360); h < 0 {
		h += 360
	}
	return h
}

// fromHSL is CSS Color 4, 7.1.
func fromHSL(v [3]float64) [3]float64 {
	h, s, l := turned(v[0]), v[1], v[2]
	f := func(n float64) float64 {
		k := math.Mod(n+h/30, 12)
		return l - s*min(l, 1-l)*max(-1, min(k-3, 9-k, 1))
	}
	return [3]float64{f(0), f(8), f(4)}
}

func toHSL(v [3]float64) [3]float64 {
	low, high := min(v[0], v[1], v[2]), max(v[0], v[1], v[2])
	l, d := (low+high)/2, high-low
	if d == 0 {
		return [3]float64{0, 0, l}
	}
	var h, s float64
	if m := min(l, 1-l); m != 0 {
		s = (high - l) / m
	}
	switch high {
	case v[0]:
		h = 60 * (v[1] - v[2]) / d
	case v[1]:
		h = 60*(v[2]-v[0])/d + 120
	default:
		h = 60*(v[0]-v[1])/d + 240
	}
	if s < 0 { // lighter than white, or darker than black
		h, s = h+180, -s
	}
	return [3]float64{turned(h), s, l}
}

func fromHWB(v [3]float64) [3]float64 {
	w, k := v[1], v[2]
	if w+k >= 1 {
		grey := w / (w + k)
		return [3]float64{grey, grey, grey}
	}
	return each(fromHSL([3]float64{v[0], 1, 0.5}), func(c float64) float64 { return c*(1-w-k) + w })
}
