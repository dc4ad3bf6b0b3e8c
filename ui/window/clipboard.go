package window

import (
	"errors"
	"strings"

	"fyne.io/fyne/v2"

	"abut/internal/session"
	"abut/ui/controls"
)

func clipboard() fyne.Clipboard { return fyne.CurrentApp().Clipboard() }

// copySelected puts the selection on the clipboard, as SVG text, and reports
// whether it did.
func (w *Window) copySelected() bool {
	ids := w.session.Selection()
	if len(ids) == 0 {
		return false
	}
	text, err := w.session.Copied(ids)
	switch {
	case errors.Is(err, session.ErrDrawsNothing):
		w.tell(say("ui-copy-empty"))
		return false
	case err != nil:
		w.trouble(err)
		return false
	}
	clipboard().SetContent(text)
	return true
}

// cutSelected is copySelected, and then the selection is gone.
func (w *Window) cutSelected() {
	if w.copySelected() {
		w.session.Delete(w.session.Selection())
	}
}

// paste adds what is on the clipboard.
func (w *Window) paste() {
	text := clipboard().Content()
	if strings.TrimSpace(text) == "" || !strings.Contains(text, "<svg") {
		w.tell(say("ui-paste-nothing"))
		return
	}
	w.session.Paste(text, say("ui-paste-name"), w.board.Seen())
}

// tell says something that is no trouble.
func (w *Window) tell(text string) {
	w.desk.Message(say("ui-note"), "about", controls.Accent, text, "", say("ui-ok"))
}
