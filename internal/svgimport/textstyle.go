package svgimport

import (
	"math"
	"strconv"
	"strings"

	"abut/internal/typeset"
)

// fontStyle is what text inherits besides its size.
type fontStyle struct {
	families                   []string
	weight                     int // 0 stands for 400
	italic                     bool
	stretch                    float64 // of the normal width; 0 stands for 1
	smallCaps, noKerning       bool
	anchor                     textAnchor
	rightToLeft                bool
	vertical                   bool
	whiteSpace                 whiteSpace
	letterSpacing, wordSpacing float64 // user units
	baseline                   string  // dominant-baseline
	letterCase                 letterCase
}

// textAnchor says which part of a line stands where it is put.
type textAnchor uint8

const (
	anchorStart textAnchor = iota
	anchorMiddle
	anchorEnd
)

// whiteSpace says what becomes of white space; unset leaves it to xml:space.
type whiteSpace uint8

const (
	whiteSpaceUnset whiteSpace = iota
	whiteSpaceCollapse
	whiteSpaceKeep
)

// textLines are the lines of a text-decoration, a set.
type textLines uint8

const (
	lineUnder textLines = 1 << iota
	lineOver
	lineThrough
)

// textStyle is how text of this style is set.
func (st *style) textStyle() typeset.Style {
	f := st.font
	out := typeset.Style{
		Face: typeset.Face{Families: f.families, Weight: f.weight, Italic: f.italic, Stretch: f.stretch},
		Size: st.fontSize, LetterSpacing: f.letterSpacing, WordSpacing: f.wordSpacing,
	}
	if f.smallCaps {
		out.Features = append(out.Features, typeset.Feature{Tag: "smcp", Value: 1})
	}
	if f.noKerning {
		out.Features = append(out.Features, typeset.Feature{Tag: "kern", Value: 0})
	}
	return out
}

// setSize applies a font-size, or the size in a font shorthand.
func (st *style) setSize(d declaration, parent *style) {
	v := strings.ToLower(strings.TrimSpace(d.value))
	if from := named(v, d.property, parent); from != nil {
		st.fontSize = from.fontSize
		return
	}
	if d.name == "font" {
		sh, ok := parseFont(d.value)
		if !ok {
			return
		}
		v = sh.size
	}
	if size, ok := fontSize(v, parent.fontSize); ok {
		st.fontSize = size
	}
}

// fontSize reads a font size (CSS Fonts 4, 2.5), given its parent's.
func fontSize(v string, parent float64) (float64, bool) {
	const medium, step = 16.0, 1.2
	switch v {
	case "xx-small":
		return medium * 3 / 5, true
	case "x-small":
		return medium * 3 / 4, true
	case "small":
		return medium * 8 / 9, true
	case "medium":
		return medium, true
	case "large":
		return medium * 6 / 5, true
	case "x-large":
		return medium * 3 / 2, true
	case "xx-large":
		return medium * 2, true
	case "xxx-large":
		return medium * 3, true
	case "larger":
		return parent * step, true
	case "smaller":
		return parent / step, true
	}
	l, ok := parseLength(v)
	if !ok {
		return 0, false
	}
	size := l.user(viewport{parent, parent}, alongX, parent)
	return size, size >= 0 && !math.IsInf(size, 0)
}

// families splits a font-family list at commas outside quotes; quotes are
// dropped.
func families(v string) []string {
	var out []string
	var quote rune
	var name strings.Builder
	end := func() {
		if f := strings.Join(strings.Fields(name.String()), " "); f != "" && len(out) < maxFamilies {
			out = append(out, f)
		}
		name.Reset()
	}
	for _, r := range v {
		switch {
		case quote == 0 && (r == '"' || r == '\''):
			quote = r
		case r == quote:
			quote = 0
		case r == ',' && quote == 0:
			end()
		default:
			name.WriteRune(r)
		}
	}
	end()
	return out
}

// maxFamilies bounds a font-family list.
const maxFamilies = 32

// weight reads a font-weight (CSS Fonts 4, 2.2); false for one that is none.
func weight(v string, inherited int) (int, bool) {
	if inherited == 0 {
		inherited = 400
	}
	switch v {
	case "normal", "":
		return 400, true
	case "bold":
		return 700, true
	case "bolder":
		switch {
		case inherited < 350:
			return 400, true
		case inherited < 550:
			return 700, true
		}
		return max(inherited, 900), true
	case "lighter":
		switch {
		case inherited < 550:
			return 100, true
		case inherited < 750:
			return 400, true
		}
		return 700, true
	}
	if n, err := strconv.ParseFloat(v, 64); err == nil && n >= 1 && n <= 1000 {
		return int(n), true
	}
	return inherited, false
}

// stretchOf reads a font-stretch (CSS Fonts 4, 2.3).
func stretchOf(v string) (float64, bool) {
	switch v {
	case "ultra-condensed":
		return 0.5, true
	case "extra-condensed":
		return 0.625, true
	case "condensed", "narrower":
		return 0.75, true
	case "semi-condensed":
		return 0.875, true
	case "normal":
		return 1, true
	case "semi-expanded":
		return 1.125, true
	case "expanded", "wider":
		return 1.25, true
	case "extra-expanded":
		return 1.5, true
	case "ultra-expanded":
		return 2, true
	}
	if l, ok := parseLength(v); ok && l.unit == unitPercent && l.v > 0 {
		return l.v / 100, true
	}
	return 0, false
}

// shorthand is a font property taken apart.
type shorthand struct {
	size              string
	families          []string
	weight            string
	italic, smallCaps bool
	stretch           float64
}

// parseFont reads font: style, weight and so on in any order, the size with an
// optional line height, then the families (CSS Fonts 4, 2.7). The names of system
// fonts say nothing here.
func parseFont(v string) (shorthand, bool) {
	var sh shorthand
	rest := strings.TrimSpace(v)
	for rest != "" {
		var word string
		word, rest = firstWord(rest)
		word = strings.ToLower(word)
		if sh.takes(word) {
			continue
		}
		size, lineHeight, slash := strings.Cut(word, "/")
		if _, ok := fontSize(size, 16); !ok {
			return sh, false
		}
		sh.size = size
		// 'size / height', with or without spaces around the slash.
		if !slash && strings.HasPrefix(rest, "/") {
			lineHeight, slash = "", true
			rest = strings.TrimSpace(rest[1:])
		}
		if slash && lineHeight == "" {
			if _, families := firstWord(rest); families != "" {
				rest = families
			}
		}
		sh.families = families(rest)
		return sh, len(sh.families) > 0
	}
	return sh, false
}

// firstWord parts a text after its first word.
func firstWord(s string) (word, rest string) {
	if i := strings.IndexAny(s, " \t\n\r\f"); i >= 0 {
		return s[:i], strings.TrimSpace(s[i:])
	}
	return s, ""
}

// takes reports whether a word says how the letters are, and keeps it.
func (sh *shorthand) takes(word string) bool {
	switch word {
	case "normal":
		return true
	case "italic", "oblique":
		sh.italic = true
		return true
	case "small-caps":
		sh.smallCaps = true
		return true
	case "bold", "bolder", "lighter":
		sh.weight = word
		return true
	}
	if n, err := strconv.ParseFloat(word, 64); err == nil && n >= 1 && n <= 1000 {
		sh.weight = word
		return true
	}
	if s, ok := stretchOf(word); ok && !strings.HasSuffix(word, "%") {
		sh.stretch = s
		return true
	}
	return false
}

// copyFont takes over all that a font shorthand sets, except the size.
func (f *fontStyle) copyFont(o fontStyle) {
	f.families, f.weight, f.italic, f.stretch, f.smallCaps, f.noKerning = o.families, o.weight, o.italic, o.stretch, o.smallCaps, o.noKerning
}

// baseline returns how far an element moves its text downwards besides what
// the elements around it do: its own baseline-shift.
func (im *importer) baseline(st *style) (float64, error) {
	v := st.own.baselineShift
	if v == "" || v == "baseline" || v == "0" {
		return 0, nil
	}
	if v == "sub" || v == "super" {
		fonts, err := im.fonts()
		if err != nil {
			return 0, err
		}
		m := fonts.Metrics(st.textStyle())
		if v == "sub" {
			return -m.Subscript, nil
		}
		return -m.Superscript, nil
	}
	if l, ok := parseLength(v); ok {
		if s := l.user(viewport{st.fontSize, st.fontSize}, alongX, st.fontSize); math.Abs(s) <= maxCoordinate {
			return -s, nil
		}
	}
	return 0, nil
}

// onBaseline returns how far below the line the base line of a style's letters
// lies: so that the named line of the font is on the line (CSS Inline 3, 4.1;
// SVG 2, 11.10.2).
func onBaseline(st *style, metrics func() (typeset.Metrics, error)) (float64, error) {
	name := st.font.baseline
	if a := st.own.alignment; a != "" && a != "auto" && a != "baseline" {
		name = a
	}
	switch name {
	case "", "auto", "alphabetic", "baseline", "use-script", "no-change", "reset-size":
		return 0, nil
	}
	m, err := metrics()
	if err != nil {
		return 0, err
	}
	switch name {
	case "middle":
		return m.XHeight / 2, nil
	case "central":
		return (m.Ascent + m.Descent) / 2, nil
	case "hanging":
		return m.Ascent * 0.8, nil
	case "mathematical":
		return m.Ascent * 0.5, nil
	case "text-before-edge", "before-edge", "text-top":
		return m.Ascent, nil
	case "text-after-edge", "after-edge", "text-bottom", "ideographic":
		return m.Descent, nil
	}
	return 0, nil
}
