package trace

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"runtime"
	"testing"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

var (
	blue  = color.NRGBA{20, 80, 180, 255}
	amber = color.NRGBA{240, 170, 40, 255}
	paper = color.NRGBA{255, 255, 255, 255}
)

// blocks is a picture of four squares of side pixels, in reading order.
func blocks(side int, colours ...color.NRGBA) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, 2*side, 2*side))
	for i, c := range colours {
		at := image.Pt(i%2*side, i/2*side)
		draw.Draw(img, image.Rectangle{Min: at, Max: at.Add(image.Pt(side, side))}, image.NewUniform(c), image.Point{}, draw.Src)
	}
	return img
}

// webpFile is a lossless WebP of 3 × 2 pixels, #c81e28 with #1450b4 at the lower
// right, as ImageMagick writes it.
const webpFile = "UklGRiYAAABXRUJQVlA4TBoAAAAvAkAAAA9wD5kzIR+Fcf5DCwSStnjbH9H/4A=="

// files are one picture in every format.
func files(t testing.TB) map[string][]byte {
	img := blocks(16, blue, amber, paper, blue)
	out := map[string][]byte{}
	write := func(name string, f func(*bytes.Buffer) error) {
		var b bytes.Buffer
		if err := f(&b); err != nil {
			t.Fatal(err)
		}
		out[name] = b.Bytes()
	}
	write("PNG", func(b *bytes.Buffer) error { return png.Encode(b, img) })
	write("JPEG", func(b *bytes.Buffer) error { return jpeg.Encode(b, img, &jpeg.Options{Quality: 95}) })
	few := image.NewPaletted(img.Rect, color.Palette{blue, amber, paper})
	draw.Draw(few, few.Rect, img, image.Point{}, draw.Src)
	write("GIF", func(b *bytes.Buffer) error { return gif.Encode(b, few, nil) })
	write("BMP", func(b *bytes.Buffer) error { return bmp.Encode(b, img) })
	write("TIFF", func(b *bytes.Buffer) error { return tiff.Encode(b, img, &tiff.Options{Compression: tiff.Deflate}) })
	webp, err := base64.StdEncoding.DecodeString(webpFile)
	if err != nil {
		t.Fatal(err)
	}
	out["WebP"] = webp
	return out
}

func TestTrace_ReadsEveryFormatByItsContent(t *testing.T) {
	for name, file := range files(t) {
		if !Is(file[:HeadBytes]) {
			t.Errorf("%s is not taken for a picture", name)
		}
		res, err := Trace(context.Background(), bytes.NewReader(file), Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		want := geometry.RectXYWH(0, 0, 32, 32)
		if name == "WebP" {
			want = geometry.RectXYWH(0, 0, 3, 2)
		} else if len(res.Layers) != 3 {
			t.Errorf("%s: %d layers of 3", name, len(res.Layers))
		}
		if res.Canvas != want {
			t.Errorf("%s: %v, want %v", name, res.Canvas, want)
		}
	}
	for _, text := range []string{"<svg/>", "BMX is a kind of bicycle", "RIFF but no picture", "", "GIF"} {
		if Is([]byte(text)) {
			t.Errorf("%q is taken for a picture", text)
		}
	}
}

// withOrientation puts an Exif block into a JPEG.
func withOrientation(file []byte, order binary.AppendByteOrder, value uint16) []byte {
	body := []byte("Exif\x00\x00")
	mark := "MM"
	if order.String() == "LittleEndian" {
		mark = "II"
	}
	body = append(body, mark...)
	body = order.AppendUint16(body, 42)
	body = order.AppendUint32(body, 8)
	body = order.AppendUint16(body, 1)
	body = order.AppendUint16(body, 0x0112)
	body = order.AppendUint16(body, 3)
	body = order.AppendUint32(body, 1)
	body = order.AppendUint16(body, value)
	body = append(body, 0, 0, 0, 0, 0, 0)
	out := append([]byte{}, file[:2]...)
	out = append(out, 0xff, 0xe1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(body)+2))
	return append(append(out, body...), file[2:]...)
}

// Exif 2.32 (CIPA DC-008), tag Orientation, says at which sides the first row and
// the first column of what is stored are seen.
func TestTrace_TurnsAJPEGAsItsExifBlockSays(t *testing.T) {
	sides := []string{1: "top left", 2: "top right", 3: "bottom right", 4: "bottom left", 5: "left top", 6: "right top", 7: "right bottom", 8: "left bottom"}
	var b bytes.Buffer
	// The corner between first row and first column is blue, the far end of the first
	// row amber.
	if err := jpeg.Encode(&b, blocks(16, blue, amber, paper, paper), &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	at := map[string]int{"top left": 0, "left top": 0, "top right": 1, "right top": 1, "bottom left": 2, "left bottom": 2, "bottom right": 3, "right bottom": 3}
	for v, words := range sides {
		for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
			if v == 0 {
				continue
			}
			p, _, err := read(context.Background(), bytes.NewReader(withOrientation(b.Bytes(), order, uint16(v))))
			if err != nil {
				t.Fatal(err)
			}
			quarter := func(c color.NRGBA) int {
				for i := range 4 {
					if apart(p.pix[(8+i/2*16)*p.w+8+i%2*16], rgba{c.R, c.G, c.B, 255}) < 12 {
						return i
					}
				}
				return -1
			}
			corner := at[words]
			// The other end of the first row lies along the side where that row is seen.
			along := corner ^ 1
			if words[:4] == "left" || words[:5] == "right" {
				along = corner ^ 2
			}
			if quarter(blue) != corner || quarter(amber) != along {
				t.Errorf("orientation %d, %s: blue at %d, amber at %d, want %d and %d", v, order, quarter(blue), quarter(amber), corner, along)
			}
		}
	}
}

func TestTrace_RefusesWhatIsCutShortOrDamaged(t *testing.T) {
	for name, file := range files(t) {
		for n := HeadBytes; n < len(file); n += 1 + len(file)/60 {
			_, err := Trace(context.Background(), bytes.NewReader(file[:n]), Options{})
			var e *Error
			if err != nil && !errors.As(err, &e) {
				t.Errorf("%s, %d bytes: %v", name, n, err)
			}
			if err == nil && n < len(file)/2 {
				t.Errorf("%s, %d bytes of %d: no error", name, n, len(file))
			}
		}
		for at := 2; at < len(file); at += 1 + len(file)/90 {
			bad := bytes.Clone(file)
			bad[at] ^= 0x55
			_, err := Trace(context.Background(), bytes.NewReader(bad), Options{})
			var e *Error
			if err != nil && !errors.As(err, &e) {
				t.Errorf("%s, byte %d: %v", name, at, err)
			}
		}
	}
}

// A few bytes can ask for terabytes.
func TestTrace_RefusesTooManyPixelsBeforeMakingThem(t *testing.T) {
	header := binary.BigEndian.AppendUint32(nil, 200_000)
	header = append(binary.BigEndian.AppendUint32(header, 200_000), 8, 6, 0, 0, 0)
	chunk := append([]byte("IHDR"), header...)
	file := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), chunk...)
	file = binary.BigEndian.AppendUint32(file, crc32.ChecksumIEEE(chunk))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := Trace(context.Background(), bytes.NewReader(file), Options{})
	runtime.ReadMemStats(&after)
	var e *Error
	if !errors.As(err, &e) || e.ID != ErrTooMany || e.Args["width"] != "200000" {
		t.Errorf("%v", err)
	}
	if took := after.TotalAlloc - before.TotalAlloc; took > 1<<20 {
		t.Errorf("%d bytes were allocated", took)
	}
}

func TestTrace_TakesTheSmallestPictures(t *testing.T) {
	for _, size := range []image.Point{{1, 1}, {1, 2}, {3, 1}, {2, 2}} {
		img := image.NewNRGBA(image.Rectangle{Max: size})
		draw.Draw(img, img.Rect, image.NewUniform(blue), image.Point{}, draw.Src)
		res := traced(t, img, Options{})
		got := layerOf(res, blue)
		if len(res.Layers) != 1 || got.SignedArea() != float64(size.X*size.Y) {
			t.Errorf("%v: %d layers, area %v", size, len(res.Layers), got.SignedArea())
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewNRGBA(image.Rect(0, 0, 5, 5))); err != nil {
		t.Fatal(err)
	}
	_, err := Trace(context.Background(), &b, Options{})
	var e *Error
	if !errors.As(err, &e) || e.ID != ErrNothing {
		t.Errorf("all transparent: %v", err)
	}
	// Where no two neighbours are alike nothing is transparent for all that.
	r, grain := rand.New(rand.NewPCG(3, 5)), image.NewNRGBA(image.Rect(0, 0, 200, 200))
	for i := range grain.Pix {
		if grain.Pix[i] = uint8(r.Uint32()); i%4 == 3 {
			grain.Pix[i] = 255
		}
	}
	b.Reset()
	if err := png.Encode(&b, grain); err != nil {
		t.Fatal(err)
	}
	if _, err := Trace(context.Background(), &b, Options{}); !errors.As(err, &e) || e.ID != ErrGrain {
		t.Errorf("grain: %v", err)
	}
}

// Whatever the bytes, there is a drawing or a sentence.
func FuzzTrace(f *testing.F) {
	for _, file := range files(f) {
		f.Add(file, uint8(0))
		f.Add(file, uint8(0b1101_1010))
	}
	f.Add(profiledPNG(f, blue, displayP3), uint8(0))
	f.Fuzz(func(t *testing.T, file []byte, how uint8) {
		if format := formatOf(file); format != nil {
			if c, err := format.size(bytes.NewReader(file)); err == nil && c.Width*c.Height > 1<<18 {
				return // it would only take long
			}
		}
		res, err := Trace(context.Background(), bytes.NewReader(file), Options{Tracing: job.Tracing{
			Colours: int(how & 3), Detail: int(how>>2&3) - 1, BareGround: how>>4&1 == 1, Sheet: how>>5&1 == 1, Beneath: how>>5&1 == 1,
			Bare: []colour.RGB{{R: 255, G: 255, B: 255}}[:how>>6&1], Joined: []job.Joined{{From: colour.RGB{R: 20, G: 80, B: 180}, To: colour.RGB{R: 240, G: 170, B: 40}}}[:how>>7],
		}})
		var e *Error
		if err != nil && !errors.As(err, &e) {
			t.Fatal(err)
		}
		if err == nil && how>>5&1 == 0 {
			checkMap(t, res)
		}
	})
}
