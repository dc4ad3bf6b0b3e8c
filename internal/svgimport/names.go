package svgimport

import (
	"fmt"
	"math"
	"strings"

	"abut/internal/colour"
)

// label is the name that people gave the element: its title, its editor
// label, or an id that looks chosen. "" when it has none.
func (n *node) label() string {
	if t := n.title(); t != "" && len(t) <= 60 {
		return t
	}
	if l := n.get(editorLabel); l != "" {
		return l
	}
	if chosen(n.id) {
		return strings.Join(strings.FieldsFunc(n.id, func(r rune) bool { return r == '_' || r == '-' || r == ' ' }), " ")
	}
	return ""
}

// generated are what drawing programs make ids from when nobody names things.
var generated = []string{
	"path", "g", "group", "rect", "circle", "ellipse", "polygon", "polyline", "line", "use", "svg", "svgid",
	"layer", "shape", "xmlid", "svgjs", "clip", "image", "text", "object", "element", "compound", "vector", "id",
	"artboard", "page", "symbol", "mask", "fill", "stroke", "icon",
}

// chosen reports whether an id looks like a name: a word of three letters or
// more that is none of the usual generated ones.
func chosen(id string) bool {
	word := strings.ToLower(strings.TrimFunc(id, func(r rune) bool { return r < 'A' || r > 'z' || r > 'Z' && r < 'a' }))
	if len(word) < 3 || len(id) > 40 {
		return false
	}
	for _, c := range word {
		if c >= '0' && c <= '9' {
			return false // mixed letters and digits: a hash or a counter
		}
	}
	for _, p := range strings.FieldsFunc(word, func(r rune) bool { return r == '-' || r == '_' || r == ' ' }) {
		if len(p) < 3 {
			continue
		}
		isGenerated := false
		for _, g := range generated {
			if p == g {
				isGenerated = true
			}
		}
		if !isGenerated {
			return true
		}
	}
	return false
}

// namer gives layers names that differ.
type namer struct {
	used  map[string]int
	words map[colour.RGB]string
	// call makes a name of a colour word.
	call func(word string) string
	// first is the first colour of each label, several says that it has more.
	first   map[string]colour.RGB
	several map[string]bool
}

func newNamer(call func(word string) string) *namer {
	if call == nil {
		call = func(word string) string { return word }
	}
	return &namer{map[string]int{}, map[colour.RGB]string{}, call, map[string]colour.RGB{}, map[string]bool{}}
}

// count takes note of a layer to come.
func (m *namer) count(label string, c colour.RGB) {
	if first, ok := m.first[label]; !ok {
		m.first[label] = c
	} else if first != c {
		m.several[label] = true
	}
}

func (m *namer) word(c colour.RGB) string {
	w, ok := m.words[c]
	if !ok {
		w = m.call(colourWord(c))
		m.words[c] = w
	}
	return w
}

// name returns the label or, without one, a plain word for the colour; both
// where the label has several colours, and with a number from the second on.
func (m *namer) name(label string, c colour.RGB) string {
	switch {
	case label == "":
		label = m.word(c)
	case m.several[label]:
		label += ", " + strings.ToLower(m.word(c))
	}
	m.used[label]++
	if k := m.used[label]; k > 1 {
		return fmt.Sprintf("%s %d", label, k)
	}
	return label
}

// plainColours are the words that colours are called by.
var plainColours = []struct {
	c    colour.RGB
	word string
}{
	{colour.RGB{R: 0, G: 0, B: 0}, "Black"}, {colour.RGB{R: 255, G: 255, B: 255}, "White"},
	{colour.RGB{R: 128, G: 128, B: 128}, "Grey"}, {colour.RGB{R: 200, G: 200, B: 200}, "Light grey"},
	{colour.RGB{R: 70, G: 70, B: 70}, "Dark grey"},
	{colour.RGB{R: 220, G: 20, B: 40}, "Red"}, {colour.RGB{R: 130, G: 0, B: 20}, "Dark red"},
	{colour.RGB{R: 250, G: 110, B: 100}, "Light red"},
	{colour.RGB{R: 255, G: 140, B: 0}, "Orange"}, {colour.RGB{R: 255, G: 190, B: 120}, "Light orange"},
	{colour.RGB{R: 255, G: 215, B: 0}, "Yellow"}, {colour.RGB{R: 255, G: 245, B: 160}, "Light yellow"},
	{colour.RGB{R: 190, G: 140, B: 20}, "Ochre"},
	{colour.RGB{R: 0, G: 140, B: 50}, "Green"}, {colour.RGB{R: 0, G: 75, B: 30}, "Dark green"},
	{colour.RGB{R: 140, G: 215, B: 130}, "Light green"}, {colour.RGB{R: 110, G: 130, B: 40}, "Olive"},
	{colour.RGB{R: 0, G: 150, B: 150}, "Teal"}, {colour.RGB{R: 70, G: 210, B: 220}, "Turquoise"},
	{colour.RGB{R: 20, G: 80, B: 200}, "Blue"}, {colour.RGB{R: 0, G: 20, B: 100}, "Dark blue"},
	{colour.RGB{R: 0, G: 0, B: 255}, "Blue"}, {colour.RGB{R: 120, G: 190, B: 245}, "Light blue"},
	{colour.RGB{R: 110, G: 50, B: 160}, "Purple"}, {colour.RGB{R: 190, G: 150, B: 225}, "Lilac"},
	{colour.RGB{R: 235, G: 60, B: 150}, "Pink"}, {colour.RGB{R: 255, G: 0, B: 255}, "Pink"}, {colour.RGB{R: 255, G: 190, B: 205}, "Light pink"},
	{colour.RGB{R: 110, G: 65, B: 30}, "Brown"}, {colour.RGB{R: 65, G: 35, B: 20}, "Dark brown"},
	{colour.RGB{R: 210, G: 170, B: 125}, "Tan"}, {colour.RGB{R: 245, G: 230, B: 205}, "Cream"},
}

// colourWord returns the plain word nearest to c.
func colourWord(c colour.RGB) string {
	best, word := math.Inf(1), ""
	for _, p := range plainColours {
		if d := c.DeltaE(p.c); d < best {
			best, word = d, p.word
		}
	}
	return word
}
