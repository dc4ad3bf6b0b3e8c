// Package ask holds the dialogs of the window: what they ask goes to the session
// as steps, to the preferences, or back through the callbacks of their host.
package ask

import (
	"os"

	"fyne.io/fyne/v2"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/command"
	"abut/ui/dialogs"
	"abut/ui/pick"
	"abut/ui/theme"
)

// Host is the window that the dialogs lie over.
type Host struct {
	Desk     *dialogs.Desk
	Session  *session.Session
	Prefs    fyne.Preferences
	Commands *command.Table
	Pick     *pick.Host
	// Home is where files go that belong beside no file, State the folder of work
	// that is not saved yet, empty where there is none.
	Home, State string
	// Version is said by About.
	Version string

	// Trouble says what went wrong.
	Trouble func(error)
	// OpenFolder shows a folder, or opens a file, in the desktop's own way; nil where
	// there is none.
	OpenFolder func(path string) error
	// SetMode changes the look, Rebuild builds all windows anew.
	SetMode func(theme.Mode)
	Rebuild func()
	// ShowAll brings all of the board into view, ZoomToScale shows it at so many
	// units a millimetre.
	ShowAll     func()
	ZoomToScale func(unitsPerMM float64)
	// Recolour gives what is selected another colour.
	Recolour func(colour.RGB)
	// MarkCut asks what was cut.
	MarkCut func()
	// PickFolder asks for a folder, beginning at one.
	PickFolder func(from string, use func(dir string))

	// sizing is the dialog that asked last for a size.
	sizing *sizeDialog
	// exporting is the dialog that asked last where files go.
	exporting *exportDialog
}

// say returns a sentence; pairs are its placeholders and what fills them.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }

// show shows a folder, or opens a file, in the desktop's own way, or says why that cannot be: it is
// gone by now, or the desktop has nothing for it.
func (h *Host) show(path string) {
	if _, err := os.Stat(path); err != nil {
		h.Trouble(&workshop.Error{Message: message.Of("show-gone", "path", path), Err: err})
	} else if err := h.OpenFolder(path); err != nil {
		h.Trouble(&workshop.Error{Message: message.Of("show-failed", "path", path, "detail", err.Error()), Err: err})
	}
}

// words writes lengths and areas in the units of the document.
func (h *Host) words() *words.Words { return words.Chosen().In(h.Session.Job().Settings.Units) }

// selected returns the one selected layer.
func (h *Host) selected() (l job.Layer, ok bool) {
	ids := h.Session.Selection()
	if len(ids) != 1 {
		return l, false
	}
	l, _, ok = h.Session.Job().Layer(ids[0])
	return l, ok
}
