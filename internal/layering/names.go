package layering

import (
	"fmt"
	"strings"

	"abut/internal/colour"
)

// namer gives layers names that differ.
type namer struct {
	used    map[string]int
	colours colour.Names
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
	return &namer{used: map[string]int{}, call: call, first: map[string]colour.RGB{}, several: map[string]bool{}}
}

// count takes note of a layer to come.
func (m *namer) count(label string, c colour.RGB) {
	m.colours.Of(c)
	if first, ok := m.first[label]; !ok {
		m.first[label] = c
	} else if first != c {
		m.several[label] = true
	}
}

// colour is what the sheet that is cut from c is called too.
func (m *namer) colour(c colour.RGB) string {
	word, number := m.colours.Of(c)
	name := m.call(word)
	if number > 1 {
		name = fmt.Sprintf("%s %d", name, number)
	}
	return name
}

// name returns the label or, without one, the colour's name; both where the
// label has several colours. From the second of a name on there is a number, in
// brackets after a colour: Red 2 is another red, Red (2) another layer of it.
func (m *namer) name(label string, c colour.RGB) string {
	again := "%s (%d)"
	switch {
	case label == "":
		label = m.colour(c)
	case m.several[label]:
		label += ", " + strings.ToLower(m.colour(c))
	default:
		again = "%s %d"
	}
	m.used[label]++
	if k := m.used[label]; k > 1 {
		return fmt.Sprintf(again, label, k)
	}
	return label
}
