package trace

import (
	"bytes"
	"encoding/binary"
)

// orientation returns how a JPEG's Exif block says that the picture is to be
// turned, 1 to 8, and 1 where it says nothing that can be understood. The
// marker segments are those of ITU-T T.81, B.1; the block and its tag 0x0112
// those of CIPA DC-008 (Exif 2.32), 4.5 and 4.6.4.
func orientation(file []byte) int {
	for at := 2; at+4 <= len(file) && file[at] == 0xff; {
		marker := file[at+1]
		if marker == 0xff { // a fill byte
			at++
			continue
		}
		if marker == 0xda { // the picture itself begins
			return 1
		}
		size := int(binary.BigEndian.Uint16(file[at+2:]))
		end := at + 2 + size
		if size < 2 || end > len(file) {
			return 1
		}
		if body, ok := bytes.CutPrefix(file[at+4:end], []byte("Exif\x00\x00")); ok && marker == 0xe1 {
			return turnOf(body)
		}
		at = end
	}
	return 1
}

// turnOf is orientation for the block alone, or for a TIFF file, which is built alike.
func turnOf(tiff []byte) int {
	const orientation, short = 0x0112, 3
	for _, e := range firstDirectory(tiff) {
		if e.tag == orientation && e.kind == short {
			if v := int(e.order.Uint16(e.value)); v >= 1 && v <= 8 {
				return v
			}
			return 1
		}
	}
	return 1
}

// turned returns the picture as its orientation says that it is to be seen. The
// eight of them are the symmetries of a rectangle: 2 is mirrored left to right, 3
// turned by a half, 4 mirrored top to bottom, 5 to 8 the same with rows and
// columns exchanged.
func (p *picture) turned(orientation int) *picture {
	if orientation == 1 {
		return p
	}
	swap := orientation >= 5
	flipX := orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8
	flipY := orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7
	q := newPicture(p.w, p.h)
	if swap {
		q = newPicture(p.h, p.w)
	}
	q.several, q.profiled = p.several, p.profiled
	for y := range q.h {
		for x := range q.w {
			u, v := x, y
			if swap {
				u, v = y, x
			}
			if flipX {
				u = p.w - 1 - u
			}
			if flipY {
				v = p.h - 1 - v
			}
			q.pix[y*q.w+x] = p.pix[v*p.w+u]
		}
	}
	return q
}
