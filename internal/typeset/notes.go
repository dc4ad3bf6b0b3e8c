package typeset

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/font"
)

// Note says where a line is not set as was asked.
type Note struct {
	Kind NoteKind
	// Rune is the index of the first rune concerned.
	Rune int
	// Wanted is the font asked for, Used what was used instead, for people:
	// 'DejaVu Sans Bold'.
	Wanted string
	Used   []string
	// Letters are those concerned, for people; "" when it is all of them.
	Letters string
}

// NoteKind says what is not as asked.
type NoteKind uint8

const (
	// FontMissing says that there is no font of that family, or none of that weight or slant.
	FontMissing NoteKind = iota
	// LettersElsewhere says that the font is there and lacks letters, which another has.
	LettersElsewhere
	// LettersLost says that no font has an outline for the letters, so they are left
	// out; their width stays.
	LettersLost
)

// notes gathers notes: one for each kind and style.
type notes struct {
	of    map[noteKey]int
	all   []Note
	runes [][]rune
}

type noteKey struct {
	kind NoteKind
	want string
}

func (n *notes) add(kind NoteKind, wanted, key string, at int, used string, runes ...rune) {
	k, ok := n.of[noteKey{kind, key}]
	if !ok {
		if n.of == nil {
			n.of = map[noteKey]int{}
		}
		k = len(n.all)
		n.of[noteKey{kind, key}] = k
		n.all = append(n.all, Note{Kind: kind, Rune: at, Wanted: wanted})
		n.runes = append(n.runes, nil)
	}
	n.all[k].Rune = min(n.all[k].Rune, at)
	if used != "" && !slices.Contains(n.all[k].Used, used) {
		n.all[k].Used = append(n.all[k].Used, used)
	}
	n.runes[k] = append(n.runes[k], runes...)
}

func (n *notes) list() []Note {
	for i := range n.all {
		n.all[i].Letters = letters(n.runes[i])
	}
	slices.SortStableFunc(n.all, func(a, b Note) int { return a.Rune - b.Rune })
	return n.all
}

// noteFont compares the font of an item with the wish.
func (s *setting) noteFont(it item) {
	span := s.of[it.start]
	want := s.spans[span].Face
	named := want.named()
	blank := !slices.ContainsFunc(s.text[it.start:it.end], func(r rune) bool { return !unicode.IsSpace(r) && !ignorable(r) })
	if named == "" || blank {
		return
	}
	settled := s.fonts.settled(want)
	family := font.NormalizeFamily(settled.named())
	heavy := func(weight int) bool { return weight >= 600 }
	switch {
	case it.face.family == family || family == "goregular" && it.face.family == "go":
		if heavy(settled.weight()) != heavy(it.face.weight) || settled.Italic != it.face.italic {
			s.notes.add(FontMissing, want.describe(), s.keys[span], it.start, it.face.name)
		}
	case len(s.fonts.files[family]) > 0 || family == "go" || family == "gomono":
		s.notes.add(LettersElsewhere, want.describe(), s.keys[span], it.start, it.face.name, printable(s.text[it.start:it.end])...)
	default:
		s.notes.add(FontMissing, want.describe(), s.keys[span], it.start, it.face.name)
	}
}

func printable(runes []rune) []rune {
	return slices.DeleteFunc(slices.Clone(runes), func(r rune) bool { return unicode.IsSpace(r) || ignorable(r) })
}

// noteLost lists a letter that no font has an outline for.
func (s *setting) noteLost(at int) {
	s.notes.add(LettersLost, "", "", at, "", s.text[at])
}

// letters lists runes for people: each once, at most ten.
func letters(runes []rune) string {
	const most = 10
	var out []string
	for _, r := range runes {
		s := string(r)
		if !unicode.IsGraphic(r) || unicode.Is(unicode.M, r) {
			s = fmt.Sprintf("U+%04X", r)
		}
		if slices.Contains(out, s) {
			continue
		}
		if len(out) == most {
			return strings.Join(out, " ") + " …"
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}
