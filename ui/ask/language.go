package ask

import (
	"cmp"

	"fyne.io/fyne/v2"

	"abut/internal/system"
	"abut/internal/words"
)

// prefLanguage is the tag of the language that was chosen, empty for the one
// that the desktop speaks.
const prefLanguage = "language"

// Speak makes the program speak the language of the preferences.
func Speak(p fyne.Preferences) {
	words.UseFor(cmp.Or(p.String(prefLanguage), system.Here().Language()))
}
