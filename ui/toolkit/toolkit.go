// Package toolkit puts the toolkit's own words – of its file pickers and of the
// menus of its entries – into the language that the program speaks. By itself it
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
	"Cancel": "ui-cancel", "OK": "ui-ok", "Yes": "toolkit-yes", "No": "toolkit-no", "Confirm": "toolkit-confirm", "Error": "toolkit-error",
	"Open": "ui-open", "Save": "ui-save", "Quit": "ui-menu-quit",
	"Copy": "ui-menu-copy", "Cut": "ui-menu-cut-out", "Paste": "ui-menu-paste", "Select all": "ui-menu-select-all", "Undo": "ui-undo", "Redo": "ui-redo",
	"File": "toolkit-file", "Folder": "toolkit-folder", "New Folder": "toolkit-new-folder", "Create Folder": "toolkit-new-folder",
	"Enter filename": "toolkit-file-name", "Favourites": "toolkit-places", "Show Hidden Files": "toolkit-hidden", "file.name": "ui-drawer-name",
	"file.parent": "toolkit-parent", "Advanced": "toolkit-advanced",
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
