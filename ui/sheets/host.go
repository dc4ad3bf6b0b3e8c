// Package sheets holds the dialogs about what a picture is cut from: the user's
// own sheets, the sheet of each colour, fewer of them, and what a job has used
// up.
package sheets

import (
	"abut/internal/drawer"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/dialogs"
	"abut/ui/files"
	"abut/ui/pick"
)

// Host is the window that the dialogs lie over.
type Host struct {
	Desk    *dialogs.Desk
	Session *session.Session
	// Trouble says what went wrong.
	Trouble func(error)
	Files   *files.Host
	Pick    *pick.Host
	// Care is what was chosen that helps with cutting.
	Care func() workshop.WriteOptions
	// names is the list that was typed last, and whether it has headings: it is there again
	// where the design had to be changed first.
	names    string
	headings drawer.Headings
}

// words writes lengths and areas in the units of the document.
func (h *Host) words() *words.Words { return words.Chosen().In(h.Session.Job().Settings.Units) }
