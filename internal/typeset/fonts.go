package typeset

import (
	"context"
	"fmt"
	"io"
	"log"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/fontscan"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"

	"abut/internal/system"
)

// Fonts is a set of fonts to choose from. Several goroutines may use it; they
// wait for each other.
type Fonts struct {
	mu        sync.Mutex
	installed *fontscan.FontMap               // nil: the embedded ones only
	files     map[string][]fontscan.Footprint // by normalised family
	own       embedded
	faces     map[*font.Font]*face
	choices   map[choiceKey]*face
	shaper    shaping.HarfbuzzShaper
	// names are the families for people, made on the first call of Families.
	names []string
}

// face is a font with what people call it.
type face struct {
	*font.Face
	family string // normalised
	name   string // for people, with weight and slant
	weight int
	italic bool
}

type choiceKey struct {
	want   string // Face.key
	script language.Script
	r      rune
}

// Embedded returns a set of the embedded fonts only: the same on every machine.
func Embedded() *Fonts {
	return &Fonts{own: newEmbedded(), faces: map[*font.Font]*face{}, choices: map[choiceKey]*face{}}
}

// FromFiles returns a set of the given font files and, behind them, the embedded
// fonts. The first font counts most.
func FromFiles(paths ...string) (*Fonts, error) {
	f := Embedded()
	f.installed = fontscan.NewFontMap(log.New(io.Discard, "", 0))
	f.files = map[string][]fontscan.Footprint{}
	for _, p := range paths {
		file, err := os.Open(p)
		if err != nil {
			return nil, fmt.Errorf("opening a font: %w", err)
		}
		err = f.installed.AddFont(file, p, "")
		file.Close()
		if err != nil {
			return nil, fmt.Errorf("reading the font %s: %w", p, err)
		}
		at := fontscan.Location{File: p}
		family := font.NormalizeFamily(familyName(at))
		f.files[family] = append(f.files[family], fontscan.Footprint{Location: at, Family: family})
	}
	return f, nil
}

var scan struct {
	once  sync.Once
	done  chan struct{}
	fonts *Fonts
}

// System returns the installed fonts, with the embedded ones behind them. The
// first call looks through the font folders: about half a millisecond a font when the
// user's cache folder has no index yet, less afterwards.
// When ctx ends first its error is returned, and the search goes on for the
// next call. A machine without fonts or without a home folder is no error; one with
// nowhere at all to write has the embedded fonts only.
func System(ctx context.Context) (*Fonts, error) {
	scan.once.Do(func() {
		scan.done = make(chan struct{})
		go func() {
			defer close(scan.done)
			scan.fonts = Embedded()
			if m, prints := searchFolders(); m != nil {
				scan.fonts.installed, scan.fonts.files = m, byFamily(prints)
			}
		}()
	})
	select {
	case <-scan.done:
		return scan.fonts, nil
	default:
	}
	select {
	case <-scan.done:
		return scan.fonts, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// searchFolders indexes the installed fonts; nil when there are none.
func searchFolders() (m *fontscan.FontMap, prints []fontscan.Footprint) {
	dir, temporary := indexFolder()
	if dir == "" {
		return nil, nil
	}
	defer func() {
		// Font files are not ours: a damaged one must not end the program. Without
		// the index the next start tries anew.
		broken := recover() != nil
		if broken {
			m, prints = nil, nil
		}
		if broken || temporary {
			_ = os.RemoveAll(dir)
		}
	}()
	quiet := log.New(io.Discard, "", 0)
	m = fontscan.NewFontMap(quiet)
	if err := m.UseSystemFonts(dir); err != nil {
		return nil, nil
	}
	prints, err := fontscan.SystemFonts(quiet, dir)
	if err != nil || len(prints) == 0 {
		return nil, nil
	}
	return m, prints
}

// indexFolder returns a folder that can be written to: the user's cache, else a
// temporary one, else "".
func indexFolder() (dir string, temporary bool) {
	if cache := system.Here().Cache(); cache != "" {
		dir = filepath.Join(cache, "fonts")
		if os.MkdirAll(dir, 0o700) == nil {
			if probe, err := os.CreateTemp(dir, "probe"); err == nil {
				probe.Close()
				_ = os.Remove(probe.Name())
				return dir, false
			}
		}
	}
	dir, err := os.MkdirTemp("", "abut-fonts")
	if err != nil {
		return "", false
	}
	return dir, true
}

func byFamily(prints []fontscan.Footprint) map[string][]fontscan.Footprint {
	m := map[string][]fontscan.Footprint{}
	for _, p := range prints {
		m[p.Family] = append(m[p.Family], p)
	}
	return m
}

// Families returns the names of all families, sorted, each once, the embedded
// ones included. The first call opens a file of each.
func (f *Fonts) Families(ctx context.Context) ([]string, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.names != nil {
		return slices.Clone(f.names), nil
	}
	names := []string{goFamily, goMonoFamily}
	for family, files := range f.files {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if name := familyName(files[0].Location); font.NormalizeFamily(name) == family {
			names = append(names, name)
		} else {
			names = append(names, family)
		}
	}
	slices.SortFunc(names, func(a, b string) int {
		if c := strings.Compare(strings.ToLower(a), strings.ToLower(b)); c != 0 {
			return c
		}
		return strings.Compare(a, b)
	})
	f.names = slices.Compact(names)
	return slices.Clone(f.names), nil
}

// familyName reads a family's name off a font file; "" when it cannot be read.
func familyName(at fontscan.Location) (name string) {
	defer func() {
		if recover() != nil {
			name = "" // a damaged file
		}
	}()
	file, err := os.Open(at.File)
	if err != nil {
		return ""
	}
	defer file.Close()
	loaders, err := opentype.NewLoaders(file)
	if err != nil || int(at.Index) >= len(loaders) {
		return ""
	}
	d, _ := font.Describe(loaders[at.Index], nil)
	return d.Family
}

// generic reports whether a family is a CSS generic name, which any font may
// stand for.
func generic(family string) bool {
	switch strings.ToLower(family) {
	case "serif", "sans-serif", "monospace", "cursive", "fantasy", "math", "emoji", "fangsong",
		"system-ui", "ui-serif", "ui-sans-serif", "ui-monospace", "ui-rounded":
		return true
	}
	return false
}
