package typeset

import (
	"bytes"
	"strings"
	"sync"

	"github.com/go-text/typesetting/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

// The embedded Go fonts (by Bigelow & Holmes, under the licence of Go itself)
// cover Latin, Greek and Cyrillic.
const (
	goFamily     = "Go"
	goMonoFamily = "Go Mono"
)

// goFonts are the embedded fonts, read once. A font may be shared; the faces
// made from it may not.
var goFonts = sync.OnceValue(func() (fonts struct{ regular, bold, italic, boldItalic, mono *font.Font }) {
	read := func(data []byte) *font.Font {
		face, err := font.ParseTTF(bytes.NewReader(data))
		if err != nil {
			panic(err) // the fonts are part of the program
		}
		return face.Font
	}
	fonts.regular, fonts.bold, fonts.italic = read(goregular.TTF), read(gobold.TTF), read(goitalic.TTF)
	fonts.boldItalic, fonts.mono = read(gobolditalic.TTF), read(gomono.TTF)
	return fonts
})

// embedded are the faces of the Go fonts of one set of fonts.
type embedded struct{ regular, bold, italic, boldItalic, mono *face }

func newEmbedded() embedded {
	fonts := goFonts()
	wrap := func(f *font.Font, family, name string, weight int, italic bool) *face {
		return &face{Face: font.NewFace(f), family: font.NormalizeFamily(family), name: name, weight: weight, italic: italic}
	}
	return embedded{
		wrap(fonts.regular, goFamily, "Go", 400, false), wrap(fonts.bold, goFamily, "Go Bold", 700, false),
		wrap(fonts.italic, goFamily, "Go Italic", 400, true), wrap(fonts.boldItalic, goFamily, "Go Bold Italic", 700, true),
		wrap(fonts.mono, goMonoFamily, "Go Mono", 400, false),
	}
}

// nearest returns the embedded face that is most like what is wanted.
func (e embedded) nearest(want Face) *face {
	bold := want.weight() >= 600
	switch {
	case want.fixedWidth():
		return e.mono
	case bold && want.Italic:
		return e.boldItalic
	case bold:
		return e.bold
	case want.Italic:
		return e.italic
	}
	return e.regular
}

// fixedWidth reports whether the first families known by sight are of one
// width.
func (w Face) fixedWidth() bool {
	for _, f := range w.Families {
		switch low := strings.ToLower(f); {
		case low == "monospace", low == "ui-monospace", strings.Contains(low, "mono"), strings.HasPrefix(low, "courier"), strings.HasPrefix(low, "consol"):
			return true
		case generic(f):
			return false
		}
	}
	return false
}
