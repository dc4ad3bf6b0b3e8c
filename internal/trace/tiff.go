package trace

import (
	"bytes"
	"encoding/binary"
	"image"
	"io"

	"golang.org/x/image/tiff"
)

// isTIFF tells files of TIFF 6.0, section 2, in either order of bytes.
func isTIFF(h []byte) bool {
	return bytes.HasPrefix(h, []byte("II*\x00")) || bytes.HasPrefix(h, []byte("MM\x00*"))
}

// decodeTIFF reads the first picture of a TIFF file, as scanners make them. Raw files of cameras are TIFF, too,
// and begin with a small preview: that is not what anybody means.
func decodeTIFF(r io.Reader) (image.Image, error) {
	file, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	const newSubfileType, reduced = 0x00fe, 1
	for _, e := range firstDirectory(file) {
		if e.tag == newSubfileType && e.order.Uint32(e.value)&reduced != 0 {
			return nil, tiff.UnsupportedError("a preview comes first")
		}
	}
	return tiff.Decode(bytes.NewReader(file))
}

// entry is one of a directory of TIFF 6.0, section 2.
type entry struct {
	tag, kind uint16
	// count is of how many values there are, value are the four bytes of them or of where they are.
	count uint32
	value []byte
	order binary.ByteOrder
}

// firstDirectory returns what the first directory of a TIFF file says, as far as it goes.
func firstDirectory(file []byte) (all []entry) {
	order, at, ok := directoryAt(file)
	if !ok {
		return nil
	}
	entries := file[at+2:]
	for range order.Uint16(file[at:]) {
		if len(entries) < 12 {
			break
		}
		all = append(all, entry{
			tag: order.Uint16(entries), kind: order.Uint16(entries[2:]), count: order.Uint32(entries[4:]),
			value: entries[8:12], order: order,
		})
		entries = entries[12:]
	}
	return all
}

// directoryAt returns where the first directory begins.
func directoryAt(file []byte) (order binary.ByteOrder, at uint64, ok bool) {
	if len(file) < 8 {
		return nil, 0, false
	}
	order = binary.BigEndian
	if file[0] == 'I' {
		order = binary.LittleEndian
	}
	at = uint64(order.Uint32(file[4:]))
	return order, at, at+2 <= uint64(len(file))
}

// severalPages reports whether another directory follows the first one.
func severalPages(file []byte) bool {
	order, at, ok := directoryAt(file)
	if !ok {
		return false
	}
	next := at + 2 + 12*uint64(order.Uint16(file[at:]))
	return next+4 <= uint64(len(file)) && order.Uint32(file[next:]) != 0
}

// tiffProfile returns what stands in the tag InterColorProfile: ICC.1:2022, B.3.
func tiffProfile(file []byte) []byte {
	const interColorProfile = 0x8773
	for _, e := range firstDirectory(file) {
		if from := uint64(e.order.Uint32(e.value)); e.tag == interColorProfile && from+uint64(e.count) <= uint64(len(file)) {
			return file[from : from+uint64(e.count)]
		}
	}
	return nil
}
