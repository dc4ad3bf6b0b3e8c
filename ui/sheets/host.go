// Package sheets holds the dialogs about what a picture is cut from: the user's
// own sheets, the sheet of each colour, fewer of them, and what a job has used
// up.
package sheets

import (
	"io"

	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/dialogs"
)

// Host is the window that the dialogs lie over.
type Host struct {
	Desk    *dialogs.Desk
	Session *session.Session
	// Trouble says what went wrong.
	Trouble func(error)
	// AskFile asks for a file with one of the endings to read, AskTarget for one
	// of that name to write. use is told what went wrong, or the choice.
	AskFile   func(endings []string, use func(path string, err error))
	AskTarget func(name string, use func(f io.WriteCloser, err error))
}

// words writes lengths and areas in the units of the document.
func (h *Host) words() *words.Words { return words.Chosen().In(h.Session.Job().Settings.Units) }
