package ask

import (
	"runtime"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"

	"abut/internal/words"
)

// prefLanguage is the tag of the language that was chosen, empty for the one
// that the desktop speaks.
const prefLanguage = "language"

// Speak makes the program speak the language of the preferences.
func Speak(p fyne.Preferences) {
	tag := p.String(prefLanguage)
	if tag == "" {
		tag = systemLanguage()
	}
	words.Use(words.For(tag))
}

// systemLanguage is the language that the desktop speaks.
func systemLanguage() string {
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		return string(lang.SystemLocale()) // they have settings instead of variables
	}
	return words.System()
}
