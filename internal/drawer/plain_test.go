package drawer

import (
	"testing"

	"abut/internal/colour"
)

// Sheets are told apart by their names, and the list can be written and read.
func TestPlain_HasAWordForEach(t *testing.T) {
	seen := map[string]colour.RGB{}
	for _, c := range Plain {
		word := colour.Word(c)
		if was, twice := seen[word]; twice || word == colour.Word(colour.White) {
			t.Errorf("%v and %v are both %s", was, c, word)
		}
		seen[word] = c
	}
}
