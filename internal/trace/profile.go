package trace

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
)

// foreign reports whether a file has a profile of its colours that is another than
// sRGB's. Profiles stand in the iCCP chunk of a PNG (W3C PNG, 11.3.2.3), in APP2
// segments of a JPEG (ICC.1:2022, B.4) and the ICCP chunk of a WebP (RFC 9649, 2.7.1.4).
func foreign(format string, file []byte) bool {
	var profile []byte
	switch format {
	case "PNG":
		for at := 8; at+8 <= len(file); {
			size, kind := int64(binary.BigEndian.Uint32(file[at:])), string(file[at+4:at+8])
			end := int64(at) + 8 + size
			if kind == "IDAT" || end > int64(len(file)) {
				return false
			}
			if kind == "iCCP" {
				body := file[at+8 : end]
				name := bytes.IndexByte(body, 0)
				if name < 0 || name+2 > len(body) {
					return false
				}
				z, err := zlib.NewReader(bytes.NewReader(body[name+2:]))
				if err != nil {
					return false
				}
				// A profile is some kilobytes; of one that is not the beginning is enough.
				profile, _ = io.ReadAll(io.LimitReader(z, 1<<20))
				break
			}
			at = int(end) + 4
		}
	case "JPEG":
		for at := 2; at+4 <= len(file) && file[at] == 0xff && file[at+1] != 0xda; {
			end := at + 2 + int(binary.BigEndian.Uint16(file[at+2:]))
			if end < at+4 || end > len(file) {
				return false
			}
			if body, ok := bytes.CutPrefix(file[at+4:end], []byte("ICC_PROFILE\x00")); ok && file[at+1] == 0xe2 {
				profile = append(profile, body...)
			}
			at = end
		}
	case "WebP":
		if at := bytes.Index(file[:min(len(file), 64)], []byte("ICCP")); at >= 0 && at+8 <= len(file) {
			size := int64(binary.LittleEndian.Uint32(file[at+4:]))
			profile = file[at+8 : min(int64(len(file)), int64(at)+8+size)]
		}
	}
	// Profiles bear their name in one or two bytes a letter.
	return len(profile) > 128 && !bytes.Contains(profile, []byte("sRGB")) && !bytes.Contains(profile, []byte("s\x00R\x00G\x00B"))
}
