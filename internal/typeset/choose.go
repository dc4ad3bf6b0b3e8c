package typeset

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/fontscan"
	"github.com/go-text/typesetting/language"
	"golang.org/x/text/unicode/norm"
)

// Face says which font is wanted.
type Face struct {
	// Families are tried in order, CSS generic names included. None stands for
	// serif. Names that drawing programs write for a single font of a family
	// ('MyriadPro-Bold', 'ArialMT') are understood.
	Families []string
	// Weight is 1 to 1000; 0 stands for 400, 700 is bold.
	Weight int
	Italic bool
	// Stretch is the width as a share of the normal one; 0 stands for 1.
	Stretch float64
}

func (w Face) weight() int {
	if w.Weight <= 0 {
		return 400
	}
	return w.Weight
}

// key tells faces apart.
func (w Face) key() string {
	return fmt.Sprintf("%q %d %v %v", w.Families, w.weight(), w.Italic, w.Stretch)
}

// named returns the first family, "" when there is none or any font may stand for
// it.
func (w Face) named() string {
	if len(w.Families) == 0 || generic(w.Families[0]) {
		return ""
	}
	return w.Families[0]
}

// describe names the face for people.
func (w Face) describe() string {
	name := w.named()
	if w.weight() >= 600 {
		name += " Bold"
	}
	if w.Italic {
		name += " Italic"
	}
	return name
}

func (w Face) query() fontscan.Query {
	q := fontscan.Query{Aspect: font.Aspect{Style: font.StyleNormal, Weight: font.Weight(w.weight()), Stretch: font.StretchNormal}}
	if w.Italic {
		q.Aspect.Style = font.StyleItalic
	}
	if w.Stretch > 0 {
		q.Aspect.Stretch = font.Stretch(w.Stretch)
	}
	for _, name := range w.Families {
		switch low := strings.ToLower(name); low {
		case "system-ui", "ui-sans-serif", "ui-rounded":
			name = fontscan.SansSerif
		case "ui-serif":
			name = fontscan.Serif
		case "ui-monospace":
			name = fontscan.Monospace
		default:
			if generic(name) {
				name = low
			}
		}
		q.Families = append(q.Families, name)
	}
	if len(q.Families) == 0 {
		q.Families = []string{fontscan.Serif}
	}
	return q
}

// settled replaces the name of a single font by its family, with the weight and
// slant that the name speaks of, where no family has that very name.
func (f *Fonts) settled(w Face) Face {
	var families []string
	for i, name := range w.Families {
		if generic(name) || len(f.files[font.NormalizeFamily(name)]) > 0 {
			continue
		}
		family, style := singleFont(name)
		if family == name {
			continue
		}
		if families == nil {
			families = append(families, w.Families...)
		}
		families[i] = family
		if i == 0 {
			if style.weight > 0 && w.weight() == 400 {
				w.Weight = style.weight
			}
			w.Italic = w.Italic || style.italic
			if style.stretch > 0 && w.Stretch == 0 {
				w.Stretch = style.stretch
			}
		}
	}
	if families != nil {
		w.Families = families
	}
	return w
}

type nameStyle struct {
	weight  int
	italic  bool
	stretch float64
}

// weightWords are what PostScript names call weights, longer ones first where
// one holds the other.
var weightWords = []struct {
	word   string
	weight int
}{
	{"extrabold", 800}, {"ultrabold", 800}, {"semibold", 600}, {"demibold", 600}, {"extralight", 200}, {"ultralight", 200},
	{"black", 900}, {"heavy", 900}, {"bold", 700}, {"demi", 600}, {"medium", 500}, {"light", 300}, {"thin", 100},
}

// singleFont splits a PostScript name such as 'MyriadPro-BoldIt'.
func singleFont(name string) (family string, style nameStyle) {
	family, rest, ok := strings.Cut(name, "-")
	low := strings.ToLower(strings.TrimSuffix(rest, "MT"))
	for _, w := range weightWords {
		if strings.Contains(low, w.word) {
			style.weight = w.weight
			break
		}
	}
	style.italic = strings.Contains(low, "ital") || strings.Contains(low, "obli") || strings.HasSuffix(low, "it")
	if strings.Contains(low, "cond") || strings.HasSuffix(low, "cn") {
		style.stretch = 0.75
	}
	if !ok {
		family = name
	}
	for _, suffix := range []string{"PSMT", "MT", "PS"} {
		if short := strings.TrimSuffix(family, suffix); short != family && short != "" {
			return short, style
		}
	}
	return family, style
}

// choose returns the face for a cluster: a letter with its marks. It is the
// first that has all of it, by the wish, then by what stands for the family
// where it is missing, then any that has the letter, then the embedded one that
// is most like it, which may have nothing.
func (f *Fonts) choose(want Face, key string, script language.Script, cluster []rune) *face {
	base := f.forRune(want, key, script, cluster[0])
	if len(cluster) == 1 || base.covers(cluster) {
		return base
	}
	for _, r := range cluster[1:] {
		if other := f.forRune(want, key, script, r); other != base && other.covers(cluster) {
			return other
		}
	}
	return base
}

// covers reports whether the face has all of a cluster, put together or apart.
func (f *face) covers(cluster []rune) bool {
	has := func(runes []rune) bool {
		for _, r := range runes {
			if _, ok := f.NominalGlyph(r); !ok && !ignorable(r) {
				return false
			}
		}
		return true
	}
	return has(cluster) || has([]rune(norm.NFC.String(string(cluster)))) || has([]rune(norm.NFD.String(string(cluster))))
}

// ignorable runes are never seen: joiners, variation selectors, marks of
// direction.
func ignorable(r rune) bool {
	return unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r) || unicode.IsControl(r) || r == 0x034f
}

func (f *Fonts) forRune(want Face, key string, script language.Script, r rune) *face {
	k := choiceKey{key, script, r}
	if c := f.choices[k]; c != nil {
		return c
	}
	if len(f.choices) > 1<<14 {
		clear(f.choices)
	}
	c := f.search(want, script, r)
	f.choices[k] = c
	return c
}

func (f *Fonts) search(want Face, script language.Script, r rune) *face {
	own := f.own.nearest(want)
	if f.installed == nil {
		return own
	}
	if name := font.NormalizeFamily(want.named()); (name == own.family || name == "goregular") && len(f.files[name]) == 0 && own.covers([]rune{r}) {
		return own
	}
	f.installed.SetQuery(f.settled(want).query())
	f.installed.SetScript(script)
	found := f.installed.ResolveFace(r)
	if found == nil {
		return own
	}
	if _, ok := found.NominalGlyph(r); ok {
		return f.wrap(found)
	}
	if own.covers([]rune{r}) || r == ' ' {
		return own
	}
	// Nobody has it: stay with the font that the rest is set in, not with the
	// first one that comes to hand.
	if base := f.installed.ResolveFace('x'); base != nil {
		if _, ok := base.NominalGlyph('x'); ok {
			return f.wrap(base)
		}
	}
	return own
}

func (f *Fonts) wrap(found *font.Face) *face {
	if w := f.faces[found.Font]; w != nil {
		return w
	}
	family, aspect := f.installed.FontMetadata(found.Font)
	w := &face{Face: found, family: family, weight: int(aspect.Weight), italic: aspect.Style == font.StyleItalic}
	w.name = found.Font.Describe().Family
	if w.name == "" {
		w.name = family
	}
	if w.weight >= 600 {
		w.name += " Bold"
	}
	if w.italic {
		w.name += " Italic"
	}
	f.faces[found.Font] = w
	return w
}
