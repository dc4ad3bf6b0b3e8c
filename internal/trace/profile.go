package trace

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"math"

	"abut/internal/colour"
)

// A file may say that its colours are others than sRGB, by an ICC profile: those of a
// phone reach further. Profiles of three primaries and a curve each, and grey ones, are
// what cameras, phones and programs write; their colours are converted. Of others (tables,
// inks) it is told.

// profileOf returns the profile in a file, nil where there is none.
func profileOf(format string, file []byte) []byte {
	switch format {
	case "PNG":
		return pngProfile(file)
	case "JPEG":
		return jpegProfile(file)
	case "TIFF":
		return tiffProfile(file)
	case "WebP":
		return webpProfile(file)
	}
	return nil
}

// pngProfile returns what stands in the iCCP chunk: W3C PNG, 11.3.2.3.
func pngProfile(file []byte) []byte {
	for at := 8; at+8 <= len(file); {
		size, kind := int64(binary.BigEndian.Uint32(file[at:])), string(file[at+4:at+8])
		end := int64(at) + 8 + size
		if kind == "IDAT" || end > int64(len(file)) {
			return nil
		}
		if kind != "iCCP" {
			at = int(end) + 4
			continue
		}
		body := file[at+8 : end]
		name := bytes.IndexByte(body, 0)
		if name < 0 || name+2 > len(body) {
			return nil
		}
		z, err := zlib.NewReader(bytes.NewReader(body[name+2:]))
		if err != nil {
			return nil
		}
		// A profile is some kilobytes; of one that is not the beginning is enough.
		profile, _ := io.ReadAll(io.LimitReader(z, 1<<20))
		return profile
	}
	return nil
}

// jpegProfile returns what stands in APP2 segments: ICC.1:2022, B.4.
func jpegProfile(file []byte) (profile []byte) {
	for at := 2; at+4 <= len(file) && file[at] == 0xff && file[at+1] != 0xda; {
		end := at + 2 + int(binary.BigEndian.Uint16(file[at+2:]))
		if end < at+4 || end > len(file) {
			return nil
		}
		// Two bytes say which of how many segments it is; they stand in order.
		if body, ok := bytes.CutPrefix(file[at+4:end], []byte("ICC_PROFILE\x00")); ok && file[at+1] == 0xe2 && len(body) >= 2 {
			profile = append(profile, body[2:]...)
		}
		at = end
	}
	return profile
}

// webpProfile returns what stands in the ICCP chunk: RFC 9649, 2.7.1.4.
func webpProfile(file []byte) []byte {
	at := bytes.Index(file[:min(len(file), 64)], []byte("ICCP"))
	if at < 0 || at+8 > len(file) {
		return nil
	}
	size := int64(binary.LittleEndian.Uint32(file[at+4:]))
	return file[at+8 : min(int64(len(file)), int64(at)+8+size)]
}

// isSRGB reports whether a profile is sRGB's: it bears that name, in one or two bytes a
// letter.
func isSRGB(profile []byte) bool {
	return bytes.Contains(profile, []byte("sRGB")) || bytes.Contains(profile, []byte("s\x00R\x00G\x00B"))
}

// profile says what the channels of a file stand for.
type profile struct {
	// light is what a value of each channel stands for, in [0, 1].
	light [3][256]float64
	// toSRGB leads from the light of the three channels to that of sRGB's.
	toSRGB [3][3]float64
}

// headBytes is how long the head of a profile is, which a table of its tags follows:
// ICC.1:2022, 7.2 and 7.3.
const headBytes = 128

// parseProfile reads a profile; false when it is none of the kinds that are converted.
func parseProfile(data []byte) (profile, bool) {
	if len(data) < headBytes+4 || string(data[20:24]) != "XYZ " {
		return profile{}, false
	}
	tags, ok := tagsOf(data)
	if _, tables := tags["A2B0"]; !ok || tables { // these go before primaries and curves
		return profile{}, false
	}
	switch string(data[16:20]) {
	case "GRAY":
		return greyProfile(tags)
	case "RGB ":
		return primaries(tags)
	}
	return profile{}, false
}

// tagsOf returns what a profile says, by the names of its tags; false when it ends too early.
func tagsOf(data []byte) (map[string][]byte, bool) {
	tags := map[string][]byte{}
	for i := range min(int(binary.BigEndian.Uint32(data[headBytes:])), 200) {
		at := headBytes + 4 + 12*i
		if at+12 > len(data) {
			return nil, false
		}
		from, size := int64(binary.BigEndian.Uint32(data[at+4:])), int64(binary.BigEndian.Uint32(data[at+8:]))
		if from+size > int64(len(data)) {
			return nil, false
		}
		tags[string(data[at:at+4])] = data[from : from+size]
	}
	return tags, true
}

// greyProfile has one curve for all channels.
func greyProfile(tags map[string][]byte) (p profile, ok bool) {
	if p.light[0], ok = curve(tags["kTRC"]); !ok {
		return p, false
	}
	p.light[1], p.light[2] = p.light[0], p.light[0]
	p.toSRGB = [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	return p, true
}

// primaries reads a profile of three primaries with a curve each.
func primaries(tags map[string][]byte) (p profile, ok bool) {
	var toXYZ [3][3]float64
	for i, name := range [3]string{"r", "g", "b"} {
		xyz := tags[name+"XYZ"]
		if p.light[i], ok = curve(tags[name+"TRC"]); !ok || len(xyz) < 20 || string(xyz[:4]) != "XYZ " {
			return p, false
		}
		for j := range 3 {
			toXYZ[j][i] = fixed(xyz[8+4*j:])
		}
	}
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				p.toSRGB[i][j] += fromXYZ[i][k] * toXYZ[k][j]
			}
		}
	}
	return p, true
}

// fromXYZ leads from XYZ, as profiles have it for the white D50, to the light of sRGB: B.
// Lindbloom, "RGB/XYZ Matrices", with Bradford's adaptation.
var fromXYZ = [3][3]float64{
	{3.1338561, -1.6168667, -0.4906146},
	{-0.9787684, 1.9161415, 0.0334540},
	{0.0719453, -0.2289914, 1.4052427},
}

// fixed is a number as profiles have it: s15Fixed16, ICC.1:2022, 4.6.
func fixed(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

// curve returns what a curve makes of each value: a list of samples, a power or one of
// five formulas, ICC.1:2022, 10.6 and 10.18.
func curve(tag []byte) (out [256]float64, ok bool) {
	if len(tag) < 12 {
		return out, false
	}
	var at func(v float64) float64
	switch string(tag[:4]) {
	case "curv":
		at = ofSamples(tag)
	case "para":
		at = ofFormula(tag)
	}
	if at == nil {
		return out, false
	}
	for i := range out {
		if out[i] = at(float64(i) / 255); !(out[i] >= 0) {
			out[i] = 0
		}
		out[i] = math.Min(1, out[i])
	}
	return out, true
}

// ofSamples returns the curve of a list of samples, or of the power that a single one is; nil
// when it ends too early.
func ofSamples(tag []byte) func(v float64) float64 {
	n := int(binary.BigEndian.Uint32(tag[8:]))
	if n < 0 || n > (len(tag)-12)/2 {
		return nil
	}
	sample := func(i int) float64 { return float64(binary.BigEndian.Uint16(tag[12+2*i:])) }
	switch n {
	case 0:
		return func(v float64) float64 { return v }
	case 1:
		return func(v float64) float64 { return math.Pow(v, sample(0)/256) }
	}
	return func(v float64) float64 {
		i := min(int(v*float64(n-1)), n-2)
		share := v*float64(n-1) - float64(i)
		return (sample(i)*(1-share) + sample(i+1)*share) / 65535
	}
}

// ofFormula returns the curve of one of the five; nil when it is none or ends too early.
func ofFormula(tag []byte) func(v float64) float64 {
	kind := int(binary.BigEndian.Uint16(tag[8:]))
	count := [5]int{1, 3, 4, 5, 7}
	if kind >= len(count) || len(tag) < 12+4*count[kind] {
		return nil
	}
	var g [7]float64 // g a b c d e f, as the standard calls them
	for i := range count[kind] {
		g[i] = fixed(tag[12+4*i:])
	}
	power, a, b, c, d, e, f := g[0], g[1], g[2], g[3], g[4], g[5], g[6]
	switch kind {
	case 0:
		a, d = 1, math.Inf(-1)
	case 1:
		c, d = 0, -b/a
	case 2:
		c, d, e, f = 0, -b/a, c, c
	}
	return func(v float64) float64 {
		if v < d {
			return c*v + f
		}
		return math.Pow(a*v+b, power) + e
	}
}

// convert makes the colours of a picture sRGB. What sRGB does not reach becomes the nearest
// value of each channel.
func (p *profile) convert(pic *picture) {
	// What light is encoded as, in steps a quarter as fine as those of the darkest.
	const fine = 1 << 14
	encoded := make([]uint8, fine+1)
	for i := range encoded {
		encoded[i] = uint8(math.Round(255 * colour.Encoded(float64(i)/fine)))
	}
	var last, became rgba
	for i, c := range pic.pix {
		if c == last {
			pic.pix[i] = became
			continue
		}
		last = c
		var light [3]float64
		for j := range light {
			v := int(c[j])
			if a := int(c[3]); a > 0 && a < 255 {
				v = min(255, (255*v+a/2)/a)
			}
			light[j] = p.light[j][v]
		}
		for j, row := range p.toSRGB {
			sum := row[0]*light[0] + row[1]*light[1] + row[2]*light[2]
			v := int(encoded[int(math.Max(0, math.Min(1, sum))*fine+0.5)])
			c[j] = uint8((v*int(c[3]) + 127) / 255)
		}
		pic.pix[i], became = c, c
	}
}
