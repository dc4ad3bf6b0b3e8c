package fit

import (
	"strconv"
	"strings"

	"abut/internal/colour"
	"abut/internal/message"
)

// nameAll gives each separation a plain name: its sheet's, or a word for its
// colour. Where several would have the same, those after the first get a
// number: Red, Red 2, Red 3.
func nameAll(parts []part, r *rules) {
	taken := map[string]bool{}
	for i, p := range parts {
		m := r.separations[p.id]
		name := ""
		if s, ok := r.sheets[m.sheet]; ok && m.sheet != 0 {
			name = strings.TrimSpace(s.Name)
		}
		if name == "" {
			name = colour.Word(m.colour)
			parts[i].Word = message.ColourName{Word: name, Number: 1}
		}
		unique := name
		// Compared without case: names become file names.
		for n := 2; taken[strings.ToLower(unique)]; n++ {
			unique = name + " " + strconv.Itoa(n)
			if parts[i].Word.Word != "" {
				parts[i].Word.Number = n
			}
		}
		taken[strings.ToLower(unique)] = true
		parts[i].Name = unique
	}
}
