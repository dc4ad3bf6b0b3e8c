// Package files asks which file is opened, where one is written, and for folders:
// with what was used last, with small pictures, and with a word about what cannot be
// opened.
package files

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"abut/internal/session"
	"abut/internal/system"
	"abut/internal/words"
	"abut/ui/dialogs"
)

// Host is the window that the dialogs lie over.
type Host struct {
	Desk    *dialogs.Desk
	Session *session.Session
	Prefs   fyne.Preferences
	// Home is where one begins without anything that was used before.
	Home string
}

// say returns a sentence; pairs are its placeholders and what fills them.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }

// Kind is what files are asked for.
type Kind struct {
	// Endings are those of the files that can be opened, in small letters.
	Endings []string
	// Why is the id of the sentence that says why others cannot be.
	Why string
	// Title is the id of the question for one.
	Title string
}

var (
	// Pictures can become a design, or are one.
	Pictures = Kind{Endings: append([]string{".svg", ".abut", ".bmp", ".tif", ".tiff", ".webp"}, photoEndings...), Why: "files-no-picture", Title: "files-open-title"}
	// Art is what one picture is read from.
	Art = Kind{Endings: append([]string{".svg", ".bmp", ".tif", ".tiff", ".webp"}, photoEndings...), Why: "files-no-art", Title: "files-open-art"}
	// Photos are pictures of pixels.
	Photos = Kind{Endings: photoEndings, Why: "files-no-photo", Title: "files-open-photo"}
	// Lists are tables: of sheets, or of names.
	Lists = Kind{Endings: []string{".csv", ".tsv", ".txt"}, Why: "files-no-list", Title: "files-open-list"}
)

var photoEndings = []string{".png", ".jpg", ".jpeg", ".gif"}

// pixelEndings are those of pictures that cannot be read.
var pixelEndings = []string{".heic", ".heif", ".avif"}

// Takes reports whether a file can be opened, by its name.
func (k Kind) Takes(name string) bool {
	return slices.Contains(k.Endings, strings.ToLower(filepath.Ext(name)))
}

// why says why a file cannot be opened.
func (k Kind) why(name string) string {
	if (k.Why == Pictures.Why || k.Why == Art.Why) && slices.Contains(pixelEndings, strings.ToLower(filepath.Ext(name))) {
		return say("files-pixels")
	}
	return say(k.Why)
}

// Names of preferences.
const (
	prefFolder  = "folder"
	prefFolders = "folders"
)

// maxFolders is how many folders are remembered: more are no quicker to choose from
// than the list.
const maxFolders = 5

// lastFolder is where a file was chosen last.
func (h *Host) lastFolder() string {
	if dir := h.Prefs.String(prefFolder); dir != "" {
		if i, err := os.Stat(dir); err == nil && i.IsDir() {
			return dir
		}
	}
	return h.Home
}

// remember puts a folder before those that were used.
func (h *Host) remember(dir string) {
	h.Prefs.SetString(prefFolder, dir)
	list := []string{dir}
	for _, d := range h.Prefs.StringList(prefFolders) {
		if d != dir && len(list) < maxFolders {
			list = append(list, d)
		}
	}
	h.Prefs.SetStringList(prefFolders, list)
}

// recent returns the folders that were used and are still there, the last first.
func (h *Host) recent() (out []string) {
	for _, d := range h.Prefs.StringList(prefFolders) {
		if i, err := os.Stat(d); err == nil && i.IsDir() {
			out = append(out, d)
		}
	}
	return out
}

// places returns the folders that everyone has: the home, and those that the desktop
// names, in whatever language.
func (h *Host) places() []string {
	if out := system.Here().Places(); len(out) > 0 {
		return out
	}
	return []string{h.Home}
}
