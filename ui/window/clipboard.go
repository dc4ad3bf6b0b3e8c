package window

import (
	"errors"
	"net/url"
	"os"
	"path/filepath"
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
	if paths := pathsIn(text); len(paths) > 0 {
		w.session.Add(paths, nil)
		return
	}
	switch {
	case strings.Contains(text, "<svg"):
		w.session.Paste(text, say("ui-paste-name"), w.board.Seen())
	case w.options.Pixels != nil:
		w.session.AddPicture(say("ui-paste-name"), w.options.Pixels)
	default:
		w.trouble(session.ErrNoPicture)
	}
}

// pathsIn returns the files that a text is a list of, one in each line, as file
// managers copy them; none when a line is anything else.
func pathsIn(text string) (paths []string) {
	for line := range strings.Lines(strings.TrimSpace(text)) {
		line = strings.TrimSpace(line)
		if rest, is := strings.CutPrefix(line, "file://"); is {
			path, err := url.PathUnescape(rest)
			if err != nil {
				return nil
			}
			line = path
		}
		if i, err := os.Stat(line); !filepath.IsAbs(line) || err != nil || !i.Mode().IsRegular() {
			return nil
		}
		paths = append(paths, line)
	}
	return paths
}

// tell says something that is no trouble.
func (w *Window) tell(text string) {
	w.desk.Message(say("ui-note"), "about", controls.Accent, text, "", say("ui-ok"))
}
