package window

import (
	"fyne.io/fyne/v2"

	"abut/geometry"
	"abut/ui/files"
)

// dropped takes the files that were let go over the window: the first one is
// opened; one that comes to a document is added to it or opened, as asked;
// several are put beside each other. What is let go over the board is added
// there. A list has the design filled in.
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
	case len(paths) == 1 && w.session.Opened() && files.Lists.Takes(paths[0]):
		if !w.covered() {
			w.settle(true, func() { w.sheets.List(paths[0]) })
		}
	case len(paths) > 1:
		w.session.Add(paths, at)
	case w.session.Opened():
		w.ask.Dropped(paths[0], func() { w.Open(paths[0]) }, func() { w.session.Add(paths, at) })
	default:
		w.Open(paths[0])
	}
}
