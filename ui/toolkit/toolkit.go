// Package toolkit puts the toolkit's own words – of the menus of its entries – into the language that the program speaks. By itself it
// follows the desktop's, which may be another.
package toolkit

import (
	"encoding/json"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"

	"abut/internal/words"
	_ "abut/ui/locale" // before the toolkit looks
)

// ids are the toolkit's keys, with our sentences.
var ids = map[string]string{
	"Quit": "ui-menu-quit",
	"Copy": "ui-menu-copy", "Cut": "ui-menu-cut-out", "Paste": "ui-menu-paste", "Select all": "ui-menu-select-all", "Undo": "ui-undo", "Redo": "ui-redo",
}

// Speak makes the toolkit say w's words from now on; what is on screen stays. The
// toolkit chooses a language by the desktop's, once: so that is where they go.
func Speak(w *words.Words) {
	said := make(map[string]string, len(ids))
	for key, id := range ids {
		said[key] = w.Say(id, nil)
	}
	data, err := json.Marshal(said)
	if err == nil {
		err = lang.AddTranslationsForLocale(data, fyne.Locale(lang.SystemLocale().LanguageString()))
	}
	if err != nil {
		fyne.LogError("the toolkit keeps its own words", err)
	}
}
