package trace

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"strconv"
	"strings"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"
	"golang.org/x/image/webp"

	"abut/geometry/parallel"
)

const (
	// maxPixels is 50 million: beyond what a phone takes, and some 700 MB of memory
	// while it is worked on.
	maxPixels = 50_000_000
	// maxBytes bounds the file: 50 million pixels of an uncompressed bitmap.
	maxBytes = 256 << 20
)

// format is a kind of picture file.
type format struct {
	name string
	is   func(head []byte) bool
	size func(io.Reader) (image.Config, error)
	read func(io.Reader) (image.Image, error)
}

func begins(with string) func([]byte) bool {
	return func(head []byte) bool { return bytes.HasPrefix(head, []byte(with)) }
}

var formats = []format{
	{"PNG", begins("\x89PNG\r\n\x1a\n"), png.DecodeConfig, png.Decode},
	{"JPEG", begins("\xff\xd8\xff"), jpeg.DecodeConfig, jpeg.Decode},
	{"GIF", begins("GIF8"), gif.DecodeConfig, gif.Decode},
	{"BMP", isBitmap, bmp.DecodeConfig, bmp.Decode},
	{"TIFF", isTIFF, tiff.DecodeConfig, decodeTIFF},
	{"WebP", func(h []byte) bool { return len(h) >= 12 && string(h[:4]) == "RIFF" && string(h[8:12]) == "WEBP" }, webp.DecodeConfig, decodeWebP},
}

// isBitmap looks at the size of the second header, too: two letters alone begin
// many a text.
func isBitmap(h []byte) bool {
	return len(h) >= HeadBytes && string(h[:2]) == "BM" && (h[14] == 40 || h[14] == 108 || h[14] == 124) && h[15]|h[16]|h[17] == 0
}

// HeadBytes is how much of a file's beginning Is looks at.
const HeadBytes = 18

// Is reports whether a file that begins like this is a picture of pixels that
// Trace reads. Names of files say nothing.
func Is(head []byte) bool { return formatOf(head) != nil }

func formatOf(head []byte) *format {
	for i := range formats {
		if formats[i].is(head) {
			return &formats[i]
		}
	}
	return nil
}

// read returns the picture in a file, and the file. Its size is looked at before anything is
// made of it.
func read(ctx context.Context, r io.Reader) (*picture, []byte, error) {
	file, err := parallel.Aside(ctx, func() ([]byte, error) { return io.ReadAll(io.LimitReader(r, maxBytes+1)) })
	switch {
	case ctx.Err() != nil:
		return nil, nil, ctx.Err()
	case err != nil:
		return nil, nil, fail(ErrRead, "detail", err.Error())
	case len(file) > maxBytes:
		return nil, nil, fail(ErrTooBig, "limit", strconv.Itoa(maxBytes>>20))
	}
	f := formatOf(file)
	if f == nil {
		return nil, nil, fail(ErrFormat)
	}
	if err := f.fits(file); err != nil {
		return nil, nil, err
	}
	p, err := parallel.Aside(ctx, func() (*picture, error) { return f.picture(file) })
	return p, file, err
}

// fits fails where a picture has no pixels, or too many.
func (f *format) fits(file []byte) error {
	said, err := f.size(bytes.NewReader(file))
	if err != nil {
		return f.broken(err)
	}
	w, h := said.Width, said.Height
	if f.name == "WebP" {
		// The frame of a WebP states a size of its own, and is what is made.
		if fw, fh, ok := webpFrame(file); ok {
			w, h = max(w, fw), max(h, fh)
		}
	}
	if w <= 0 || h <= 0 {
		return f.broken(errors.New("no pixels"))
	}
	if w > maxPixels/h {
		return fail(ErrTooMany, "width", strconv.Itoa(w), "height", strconv.Itoa(h), "limit", strconv.Itoa(maxPixels/1_000_000))
	}
	return nil
}

// picture returns the picture as it is to be seen: upright and in sRGB.
func (f *format) picture(file []byte) (*picture, error) {
	p, err := f.decode(file)
	if err != nil {
		return nil, err
	}
	switch f.name {
	case "JPEG":
		p = p.turned(orientation(file))
	case "TIFF":
		p = p.turned(turnOf(file))
	}
	if data := profileOf(f.name, file); len(data) > 0 && !isSRGB(data) {
		if q, ok := parseProfile(data); ok {
			q.convert(p)
		} else {
			p.profiled = true
		}
	}
	p.several = f.name == "GIF" && bytes.Count(file, []byte("\x21\xf9\x04")) > 1 || f.name == "TIFF" && severalPages(file)
	return p, nil
}

// decode reads the picture. The decoders are meant for files that are no good,
// too; one that breaks all the same breaks only this picture.
func (f *format) decode(file []byte) (p *picture, err error) {
	defer func() {
		if r := recover(); r != nil {
			p, err = nil, fail(ErrBroken, "format", f.name, "detail", "")
		}
	}()
	img, err := f.read(bytes.NewReader(file))
	if err != nil {
		return nil, f.broken(err)
	}
	if b := img.Bounds(); b.Empty() {
		return nil, f.broken(errors.New("no pixels"))
	}
	return pictureOf(img), nil
}

func (f *format) broken(err error) *Error {
	// The library tells of some files that end too early in words only.
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || strings.Contains(err.Error(), "not enough") {
		return fail(ErrTruncated, "format", f.name)
	}
	if unsupported(err) {
		return fail(ErrUnsupported, "format", f.name)
	}
	return fail(ErrBroken, "format", f.name, "detail", err.Error())
}

// unsupported reports whether a decoder says that a file is valid, but of a kind that it does not read.
func unsupported(err error) bool {
	_, ofPNG := errors.AsType[png.UnsupportedError](err)
	_, ofJPEG := errors.AsType[jpeg.UnsupportedError](err)
	_, ofTIFF := errors.AsType[tiff.UnsupportedError](err)
	return ofPNG || ofJPEG || ofTIFF || errors.Is(err, bmp.ErrUnsupported)
}

// webpFrame returns the size that the first frame of a WebP states: RFC 9649,
// sections 3.4 and 2.5; RFC 6386, section 9.1.
func webpFrame(file []byte) (w, h int, ok bool) {
	for at := 12; at+8 <= len(file); {
		kind, size := string(file[at:at+4]), int(file[at+4])|int(file[at+5])<<8|int(file[at+6])<<16|int(file[at+7])<<24
		body := file[at+8:]
		switch {
		case kind == "VP8 " && len(body) >= 10:
			return int(body[6]) | int(body[7]&0x3f)<<8, int(body[8]) | int(body[9]&0x3f)<<8, true
		case kind == "VP8L" && len(body) >= 5:
			bits := int(body[1]) | int(body[2])<<8 | int(body[3])<<16 | int(body[4])<<24
			return bits&0x3fff + 1, bits>>14&0x3fff + 1, true
		}
		if at += 8 + size + size&1; at < 0 {
			break
		}
	}
	return 0, 0, false
}
