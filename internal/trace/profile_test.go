package trace

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/binary"
	"hash/crc32"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"testing"
)

// iccProfile is a profile of three primaries, each as XYZ for the white D50, and one
// curve.
func iccProfile(primaries [3][3]float64, curve []byte) []byte {
	type tag struct {
		name string
		data []byte
	}
	var tags []tag
	for i, name := range []string{"rXYZ", "gXYZ", "bXYZ"} {
		data := []byte("XYZ \x00\x00\x00\x00")
		for _, v := range primaries[i] {
			data = binary.BigEndian.AppendUint32(data, uint32(int32(math.Round(v*65536))))
		}
		tags = append(tags, tag{name, data})
	}
	for _, name := range []string{"rTRC", "gTRC", "bTRC"} {
		tags = append(tags, tag{name, curve})
	}
	head := make([]byte, 128)
	copy(head[16:], "RGB XYZ ")
	head = binary.BigEndian.AppendUint32(head, uint32(len(tags)))
	at := uint32(len(head) + 12*len(tags))
	var body []byte
	for _, x := range tags {
		head = append(head, x.name...)
		head = binary.BigEndian.AppendUint32(head, at+uint32(len(body)))
		head = binary.BigEndian.AppendUint32(head, uint32(len(x.data)))
		body = append(body, x.data...)
	}
	return append(head, body...)
}

// displayP3 has the primaries of SMPTE RP 431-2 and the curve of sRGB, as a formula;
// adobeRGB those of Adobe RGB (1998) and the power 563/256.
var (
	displayP3 = iccProfile([3][3]float64{{0.51512, 0.24120, -0.00105}, {0.29198, 0.69225, 0.04189}, {0.15710, 0.06657, 0.78407}},
		formula(2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045))
	adobeRGB = iccProfile([3][3]float64{{0.60974, 0.31111, 0.01947}, {0.20528, 0.62567, 0.06087}, {0.14919, 0.06322, 0.74457}},
		[]byte("curv\x00\x00\x00\x00\x00\x00\x00\x01\x02\x33"))
)

func formula(v ...float64) []byte {
	out := []byte("para\x00\x00\x00\x00\x00\x03\x00\x00")
	for _, x := range v {
		out = binary.BigEndian.AppendUint32(out, uint32(int32(math.Round(x*65536))))
	}
	return out
}

// profiledPNG is a picture of one colour with a profile.
func profiledPNG(t testing.TB, c color.NRGBA, profile []byte) []byte {
	var b, z bytes.Buffer
	if err := png.Encode(&b, blocks(2, c, c, c, c)); err != nil {
		t.Fatal(err)
	}
	w := zlib.NewWriter(&z)
	if _, err := w.Write(profile); err != nil || w.Close() != nil {
		t.Fatal(err)
	}
	chunk := append([]byte("iCCPone\x00\x00"), z.Bytes()...)
	const start = 8 + 25 // the signature and the head
	out := append([]byte{}, b.Bytes()[:start]...)
	out = binary.BigEndian.AppendUint32(out, uint32(len(chunk)-4))
	out = append(out, chunk...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
	return append(out, b.Bytes()[start:]...)
}

// What colours of sRGB are in other spaces, by the samples and the code for conversion of
// CSS Color 4.
func TestTrace_ConvertsTheColoursOfPhonesAndCameras(t *testing.T) {
	for _, c := range []struct {
		name     string
		profile  []byte
		in, want color.NRGBA
	}{
		{"green in Display P3", displayP3, color.NRGBA{67, 151, 42, 255}, color.NRGBA{0, 153, 0, 255}}, // 0.26374 0.59085 0.16434
		{"red in Display P3", displayP3, color.NRGBA{234, 51, 35, 255}, color.NRGBA{255, 0, 0, 255}},   // 0.91749 0.20029 0.13856
		{"white in Display P3", displayP3, color.NRGBA{255, 255, 255, 255}, color.NRGBA{255, 255, 255, 255}},
		{"grey in Display P3", displayP3, color.NRGBA{128, 128, 128, 255}, color.NRGBA{128, 128, 128, 255}},
		{"red in Adobe RGB", adobeRGB, color.NRGBA{219, 0, 0, 255}, color.NRGBA{255, 0, 0, 255}},      // 0.85859 0 0
		{"green in Adobe RGB", adobeRGB, color.NRGBA{144, 255, 60, 255}, color.NRGBA{0, 255, 0, 255}}, // 0.56500 1 0.23442
		{"beyond sRGB", displayP3, color.NRGBA{0, 255, 0, 255}, color.NRGBA{0, 255, 0, 255}},
		{"half there", displayP3, color.NRGBA{234, 51, 35, 128}, color.NRGBA{255, 0, 0, 128}},
	} {
		p, _, err := read(context.Background(), bytes.NewReader(profiledPNG(t, c.in, c.profile)))
		if err != nil {
			t.Fatal(err)
		}
		r, g, b, a := c.want.RGBA()
		want := rgba{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), uint8(a >> 8)}
		if d := apart(p.pix[0], want); d > 3 || p.profiled {
			t.Errorf("%s: %v, want %v; told: %v", c.name, p.pix[0], want, p.profiled)
		}
	}
}

// A JPEG has its profile in segments, here two.
func TestTrace_ConvertsAJPEG(t *testing.T) {
	var b bytes.Buffer
	red := color.NRGBA{234, 51, 35, 255}
	if err := jpeg.Encode(&b, blocks(8, red, red, red, red), &jpeg.Options{Quality: 98}); err != nil {
		t.Fatal(err)
	}
	out := append([]byte{}, b.Bytes()[:2]...)
	half := len(displayP3) / 2
	for i, part := range [][]byte{displayP3[:half], displayP3[half:]} {
		body := append([]byte("ICC_PROFILE\x00"), byte(i+1), 2)
		body = append(body, part...)
		out = append(out, 0xff, 0xe2)
		out = append(binary.BigEndian.AppendUint16(out, uint16(len(body)+2)), body...)
	}
	p, _, err := read(context.Background(), bytes.NewReader(append(out, b.Bytes()[2:]...)))
	if err != nil {
		t.Fatal(err)
	}
	if d := apart(p.pix[0], rgba{255, 0, 0, 255}); d > 5 || p.profiled {
		t.Errorf("%v", p.pix[0])
	}
}

// A profile cut short or of tables is told, never a reason to fail.
func TestTrace_TellsOfProfilesThatItDoesNotConvert(t *testing.T) {
	tables := bytes.Clone(displayP3)
	copy(tables[132:], "A2B0")
	inks := bytes.Clone(displayP3)
	copy(inks[16:], "CMYK")
	for name, profile := range map[string][]byte{"tables": tables, "inks": inks, "half": displayP3[:len(displayP3)/2], "head": displayP3[:60]} {
		p, _, err := read(context.Background(), bytes.NewReader(profiledPNG(t, blue, profile)))
		if err != nil || !p.profiled || apart(p.pix[0], rgba{blue.R, blue.G, blue.B, 255}) > 0 {
			t.Errorf("%s: %v, %v", name, p, err)
		}
	}
	for n := range len(displayP3) {
		bad := bytes.Clone(displayP3)
		bad[n] ^= 0xff
		parseProfile(bad)
		parseProfile(displayP3[:n])
	}
}
