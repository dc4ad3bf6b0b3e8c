package assemble

import (
	"strconv"
	"strings"

	"abut/internal/colour"
	"abut/internal/message"
)

// nameAll gives each separation a plain name: its sheet's, or a word for its
// colour. Where several would have the same, those after the first get a
// number: Red, Red 2, Red 3.
func (b *bench) nameAll() {
	taken := map[string]bool{}
	for i := range b.Separations {
		s := &b.Separations[i]
		sheet, _ := b.rules.Sheet(s.Of)
		name := strings.TrimSpace(sheet.Name)
		if name == "" {
			name = colour.Word(s.Colour)
			s.Word = message.ColourName{Word: name, Number: 1}
		}
		unique := name
		// Compared without case: names become file names.
		for n := 2; taken[strings.ToLower(unique)]; n++ {
			unique = name + " " + strconv.Itoa(n)
			if s.Word.Word != "" {
				s.Word.Number = n
			}
		}
		taken[strings.ToLower(unique)] = true
		s.Name = unique
	}
}
