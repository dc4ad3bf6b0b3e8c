package svgimport

import (
	"strings"
	"testing"
)

// An attribute of more than 64 KiB that is no outline is as if it were not
// there, and said to be: reading such a style took minutes.
func TestImport_OverlongAttributes(t *testing.T) {
	long := strings.Repeat("fill:rgb(1,2,3);", maxValue/16+1)
	probe(t, "style", `<rect width="9" height="9" fill="red" style="`+long+`"/>`, "5,5=#ff0000", WarnStyleSheet)
	probe(t, "class", `<style>.a{fill:blue}</style><rect width="9" height="9" fill="red" class="`+strings.Repeat("a b ", maxValue/4+1)+`"/>`, "5,5=#ff0000", WarnStyleSheet)
	probe(t, "classes", `<style>.a{fill:blue}.b{stroke:none}</style><rect width="9" height="9" fill="red" class="`+strings.Repeat("a b ", 1000)+`"/>`, "5,5=#0000ff")
	probe(t, "path", `<path d="M0 0h9v9h-9z`+strings.Repeat(" ", maxValue)+`" fill="red"/>`, "5,5=#ff0000")
}
