package typeset

import (
	"bytes"
	"io"
	"log"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/fontscan"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

// Fonts is a set of fonts to choose from. It may be used from several
// goroutines, one at a time inside.
type Fonts struct {
	mu sync.Mutex
	fm *fontscan.FontMap
	// embedded are the families that come along.
	embedded map[string]bool
}

// fallbackFamily and fallbackMono are the embedded Go fonts.
const (
	fallbackFamily = "Go"
	fallbackMono   = "Go Mono"
)

// System returns the installed fonts, with the embedded ones behind them. The
// first call looks through the font folders, which takes a second or so when the
// user's cache has no index of them yet.
var System = sync.OnceValue(func() *Fonts {
	f := Embedded()
	// Without a cache folder the index is made anew each time.
	dir, err := os.UserCacheDir()
	if err != nil {
		dir = os.TempDir()
	}
	// A machine without any font is no error: the embedded ones remain.
	_ = f.fm.UseSystemFonts(filepath.Join(dir, "abut", "fonts"))
	return f
})

// Embedded returns a set of the embedded fonts only: the same on every machine.
func Embedded() *Fonts {
	f := &Fonts{
		fm:       fontscan.NewFontMap(log.New(io.Discard, "", 0)),
		embedded: map[string]bool{},
	}
	for _, e := range []struct {
		id, family string
		data       []byte
	}{
		{"regular", fallbackFamily, goregular.TTF}, {"bold", fallbackFamily, gobold.TTF},
		{"italic", fallbackFamily, goitalic.TTF}, {"bold-italic", fallbackFamily, gobolditalic.TTF},
		{"mono", fallbackMono, gomono.TTF},
	} {
		if err := f.fm.AddFont(bytes.NewReader(e.data), e.id, e.family); err != nil {
			panic(err) // the fonts are part of the program
		}
		f.embedded[font.NormalizeFamily(e.family)] = true
	}
	return f
}

// Face says which font is wanted.
type Face struct {
	// Families are tried in order, CSS generic names included.
	Families []string
	// Weight is 100 to 900; 0 stands for 400.
	Weight int
	Italic bool
}

func (w Face) query() fontscan.Query {
	q := fontscan.Query{Aspect: font.Aspect{Style: font.StyleNormal, Weight: font.Weight(w.Weight), Stretch: font.StretchNormal}}
	if w.Weight == 0 {
		q.Aspect.Weight = font.WeightNormal
	}
	if w.Italic {
		q.Aspect.Style = font.StyleItalic
	}
	for _, name := range w.Families {
		q.Families = append(q.Families, name)
		// Where no installed font stands for a generic name, an embedded one does.
		switch strings.ToLower(name) {
		case "monospace":
			q.Families = append(q.Families, fallbackMono)
		case "sans-serif", "serif", "cursive", "fantasy", "system-ui":
			q.Families = append(q.Families, fallbackFamily)
		}
	}
	q.Families = append(q.Families, fallbackFamily)
	return q
}

// generic reports whether a family is a CSS generic name, which any font may
// stand for.
func generic(family string) bool {
	switch strings.ToLower(family) {
	case "serif", "sans-serif", "monospace", "cursive", "fantasy", "system-ui", "ui-serif", "ui-sans-serif", "ui-monospace", "ui-rounded":
		return true
	}
	return false
}
