package trace

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"image/color"
	"slices"
	"testing"
)

// tag is an entry of a directory of TIFF 6.0, section 2: kind 3 is of two bytes, 4 of four, 7 of any.
type tag struct {
	id, kind uint16
	value    []byte
}

func shorts(order binary.ByteOrder, id uint16, values ...uint16) tag {
	var b []byte
	for _, v := range values {
		b = appendUint16(order, b, v)
	}
	return tag{id, 3, b}
}

func appendUint16(order binary.ByteOrder, b []byte, v uint16) []byte {
	return append(b, func() []byte { out := make([]byte, 2); order.PutUint16(out, v); return out }()...)
}

func appendUint32(order binary.ByteOrder, b []byte, v uint32) []byte {
	return append(b, func() []byte { out := make([]byte, 4); order.PutUint32(out, v); return out }()...)
}

// rows is a picture of three by two pixels, each of which is another colour.
var rows = []color.NRGBA{{250, 0, 0, 255}, {0, 250, 0, 255}, {0, 0, 250, 255}, {250, 250, 0, 255}, {0, 250, 250, 255}, {250, 0, 250, 255}}

// tiffOf is a TIFF file of rows, uncompressed and in one strip, built by the tables of TIFF 6.0, section 6; more
// tags are added or replace those. So many further directories follow the first one.
func tiffOf(order binary.ByteOrder, further int, more ...tag) []byte {
	var pixels []byte
	for _, c := range rows {
		pixels = append(pixels, c.R, c.G, c.B)
	}
	mark := "II*\x00"
	if order == binary.ByteOrder(binary.BigEndian) {
		mark = "MM\x00*"
	}
	file := append(appendUint32(order, []byte(mark), uint32(8+len(pixels))), pixels...)
	tags := []tag{
		shorts(order, 256, 3), shorts(order, 257, 2), shorts(order, 258, 8, 8, 8), shorts(order, 259, 1), shorts(order, 262, 2),
		{273, 4, appendUint32(order, nil, 8)}, shorts(order, 277, 3), shorts(order, 278, 2), {279, 4, appendUint32(order, nil, uint32(len(pixels)))},
	}
	for _, m := range more {
		tags = append(slices.DeleteFunc(tags, func(t tag) bool { return t.id == m.id }), m)
	}
	slices.SortFunc(tags, func(a, b tag) int { return int(a.id) - int(b.id) })
	for left := further; left >= 0; left-- {
		at := len(file)
		length := 2 + 12*len(tags) + 4
		file = appendUint16(order, file, uint16(len(tags)))
		var beyond []byte
		for _, t := range tags {
			size := map[uint16]int{3: 2, 4: 4, 7: 1}[t.kind]
			file = appendUint32(order, appendUint16(order, appendUint16(order, file, t.id), t.kind), uint32(len(t.value)/size))
			if len(t.value) <= 4 {
				file = append(file, append(slices.Clone(t.value), 0, 0, 0, 0)[:4]...)
				continue
			}
			file = appendUint32(order, file, uint32(at+length+len(beyond)))
			beyond = append(beyond, t.value...)
		}
		next := uint32(0)
		if left > 0 {
			next = uint32(at + length + len(beyond))
		}
		file = append(appendUint32(order, file, next), beyond...)
	}
	return file
}

// Scanners write either order of bytes, and turn pictures by a tag: TIFF 6.0, section 8, Orientation. What
// stands at the top left of the picture as it is to be seen is at a corner of the stored one.
func TestTIFF_IsReadUprightInEitherOrderOfBytes(t *testing.T) {
	corner := []int{0, 2, 5, 3, 0, 3, 5, 2} // of rows, for orientation 1 to 8
	for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
		for o := 1; o <= 8; o++ {
			file := tiffOf(order, 0, shorts(order, 274, uint16(o)))
			p, _, err := read(context.Background(), bytes.NewReader(file))
			if err != nil {
				t.Fatalf("%v, %d: %v", order, o, err)
			}
			if w, h := p.w, p.h; (w == 3) != (o < 5) || w*h != 6 {
				t.Errorf("%v, %d: %d × %d pixels", order, o, w, h)
			}
			want := rows[corner[o-1]]
			if got := topLeft(p); got != want {
				t.Errorf("%v, %d: at the top left %v, want %v", order, o, got, want)
			}
		}
	}
}

func topLeft(p *picture) color.NRGBA {
	c := p.pix[0]
	return color.NRGBA{c[0], c[1], c[2], c[3]}
}

// What a file holds besides, or in a way that is not read, is said.
func TestTIFF_SaysWhatItDoesNotRead(t *testing.T) {
	order := binary.ByteOrder(binary.LittleEndian)
	whole := tiffOf(order, 0)
	for name, c := range map[string]struct {
		file []byte
		id   string
	}{
		"a preview, as in raw files":  {tiffOf(order, 1, tag{254, 4, []byte{1, 0, 0, 0}}), ErrUnsupported},
		"inks of a printing press":    {tiffOf(order, 0, shorts(order, 262, 5)), ErrUnsupported},
		"a compression not read":      {tiffOf(order, 0, shorts(order, 259, 7)), ErrUnsupported},
		"cut short in its directory":  {whole[:len(whole)-40], ErrTruncated},
		"a directory past its end":    {append([]byte("II*\x00"), 0xff, 0xff, 0xff, 0xff, 0, 0, 0, 0, 0, 0, 0, 0), ErrTruncated},
		"two pages, of which one":     {tiffOf(order, 1), ""},
		"a picture of 3 by 2 by size": {whole, ""},
	} {
		p, _, err := read(context.Background(), bytes.NewReader(c.file))
		if c.id == "" {
			if err != nil || p.several != (severalPages(c.file)) || p.several != (name != "a picture of 3 by 2 by size") {
				t.Errorf("%s: %v, several: %v", name, err, p != nil && p.several)
			}
			continue
		}
		e, ok := errors.AsType[*Error](err)
		if !ok || e.ID != c.id {
			t.Errorf("%s: %v, want %s", name, err, c.id)
		}
	}
}

// The profile of a scanner stands in a tag of its own: ICC.1:2022, B.3.
func TestTIFF_FindsItsProfile(t *testing.T) {
	for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
		want := []byte(fmt.Sprintf("%v profile", order))
		if got := profileOf("TIFF", tiffOf(order, 0, tag{0x8773, 7, want})); !bytes.Equal(got, want) {
			t.Errorf("%v: %q", order, got)
		}
		if got := profileOf("TIFF", tiffOf(order, 0)); got != nil {
			t.Errorf("%v, without one: %q", order, got)
		}
	}
}
