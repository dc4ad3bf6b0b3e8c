package trace

import "math"

// apart is the largest difference of two colours in any channel.
func apart(a, b rgba) int {
	d := 0
	for i := range a {
		d = max(d, int(a[i])-int(b[i]), int(b[i])-int(a[i]))
	}
	return d
}

// distance2 is the squared distance of two colours.
func distance2(a, b rgba) (d int) {
	for i := range a {
		e := int(a[i]) - int(b[i])
		d += e * e
	}
	return d
}

// blend returns which part of b there is in a pixel on the line from a to b, in
// [0, 1], and the squared distance of the pixel from that line, drawn on beyond both its
// ends by a share of it: sharpening makes what is beside an edge more unlike the other side.
func blend(p, a, b rgba, beyond float64) (share, off2 float64) {
	dot, len2, to2 := 0, 0, 0
	for i := range p {
		d, e := int(b[i])-int(a[i]), int(p[i])-int(a[i])
		dot += d * e
		len2 += d * d
		to2 += e * e
	}
	if len2 == 0 {
		return 0, float64(to2)
	}
	share = math.Max(-beyond, math.Min(1+beyond, float64(dot)/float64(len2)))
	off2 = float64(to2) - 2*share*float64(dot) + share*share*float64(len2)
	return math.Max(0, math.Min(1, share)), off2
}

// blendLossy is blend for lossy files, which keep the brightness of each pixel but
// colours for four at a time: where there is a step of brightness, that alone says
// what the share is, and colour may lag behind it on the way from a to b.
func blendLossy(p, a, b rgba, beyond float64) (share, off2 float64) {
	if p[3] != a[3] || p[3] != b[3] { // nothing lags there
		return blend(p, a, b, beyond)
	}
	yd, bd, rd := difference(b, a)
	ye, be, re := difference(p, a)
	if yd*yd < 15*15 || yd*yd < 0.1*(bd*bd+rd*rd) {
		return blend(p, a, b, beyond)
	}
	within := func(share float64) float64 { return math.Max(-beyond, math.Min(1+beyond, share)) }
	along := 0.0
	if l := bd*bd + rd*rd; l > 0 {
		along = within((be*bd + re*rd) / l)
	}
	cb, cr := be-along*bd, re-along*rd
	share = within(ye / yd)
	over := ye - share*yd
	// In RGB a step of brightness counts three times, one of colour about twice.
	return math.Max(0, math.Min(1, share)), 3*over*over + 2*(cb*cb+cr*cr)
}

// difference returns how far two colours differ in brightness and the two
// differences of colour that JPEG keeps (ITU-T T.871, 7).
func difference(p, q rgba) (y, cb, cr float64) {
	r, g, b := float64(p[0])-float64(q[0]), float64(p[1])-float64(q[1]), float64(p[2])-float64(q[2])
	y = 0.299*r + 0.587*g + 0.114*b
	return y, 0.564 * (b - y), 0.713 * (r - y)
}

// mix returns how much of two colours there is in a blend of them and a third, by least
// squares, and the squared distance of the colour from that blend. False where the
// three lie nearly on a line, so that nobody can tell.
func mix(c, from, ca, cb rgba) (x, y, off2 float64, ok bool) {
	var aa, ab, bb, pa, pb, pp float64
	for i := range c {
		u, v, p := float64(ca[i])-float64(from[i]), float64(cb[i])-float64(from[i]), float64(c[i])-float64(from[i])
		aa, ab, bb = aa+u*u, ab+u*v, bb+v*v
		pa, pb, pp = pa+p*u, pb+p*v, pp+p*p
	}
	det := aa*bb - ab*ab
	if det < 0.02*aa*bb || det == 0 {
		return 0, 0, 0, false
	}
	x, y = (pa*bb-pb*ab)/det, (pb*aa-pa*ab)/det
	return x, y, math.Max(0, pp-x*pa-y*pb), true
}

// isBlend reports whether a colour is a blend of two inks, neither its own.
func isBlend(c rgba, inks []ink) bool {
	const rounding2 = 3 * 3
	for i := range inks {
		for j := range i {
			if share, off2 := blend(c, inks[i].c, inks[j].c, 0); off2 <= rounding2 && share > 0.05 && share < 0.95 {
				return true
			}
		}
	}
	return false
}

// part is a colour of which there is a share.
func (c rgba) part(share float64) (out rgba) {
	for k, v := range c {
		out[k] = uint8(math.Round(share * float64(v)))
	}
	return out
}
