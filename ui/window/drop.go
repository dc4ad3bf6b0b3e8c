package window

import (
	"path/filepath"

	"fyne.io/fyne/v2"

	"abut/geometry"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// dropped takes the files that were let go over the window: the first one is
// opened; one that comes to a document is added to it or opened, as asked;
// several are put beside each other. What is let go over the board is added
// there.
func (w *Window) dropped(pos fyne.Position, uris []fyne.URI) {
	var paths []string
	for _, u := range uris {
		paths = append(paths, u.Path())
	}
	var at *geometry.Point
	if w.session.Opened() {
		pos = pos.Subtract(fyne.CurrentApp().Driver().AbsolutePositionForObject(w.board))
		if p, ok := w.board.PlaceAt(pos); ok {
			at = &p
		}
	}
	switch {
	case len(paths) == 0:
	case len(paths) > 1:
		w.session.Add(paths, at)
	case w.session.Opened():
		w.askDropped(paths[0], at)
	default:
		w.Open(paths[0])
	}
}

// askDropped asks whether a file that was dropped joins the document.
func (w *Window) askDropped(path string, at *geometry.Point) {
	d := w.desk.New(480, say("ui-drop-title", "file", filepath.Base(path)))
	d.Body.Add(controls.NewPara(say("ui-drop-why"), controls.Text))
	d.SetButtons(
		dialogs.Button(say("ui-cancel"), d.Close),
		dialogs.Button(say("ui-drop-open"), func() {
			d.Close()
			w.Open(path)
		}),
		dialogs.Button(say("ui-drop-add"), func() {
			d.Close()
			w.session.Add([]string{path}, at)
		}))
	d.Show(nil)
}
