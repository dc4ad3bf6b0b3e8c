package inspect

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/words"
	"abut/ui/theme"
)

// A heading has room beside its signs, in every language, in the panel as wide as it
// begins: 280, less the room at both sides, the sign that folds and that of the guide.
func TestHeadings_HaveRoomBesideTheirSigns(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{})
	const room = 280 - 2*16 - 16 - 8 - 26
	for _, k := range words.Languages() {
		for id := range headings {
			text := words.For(k.Tag).Say(id, nil)
			if w := fyne.MeasureText(text, theme.Heading, fyne.TextStyle{Bold: true}).Width; w > room {
				t.Errorf("%s: %s is %.0f wide, with room for %d", k.Name, text, w, room)
			}
		}
	}
}
