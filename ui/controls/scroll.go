package controls

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// NewScroll returns what scrolls up and down, and what is done whenever it does. A hint goes then, and what resting on
// something shows: it is elsewhere, and the toolkit tells nothing that the pointer rests on that it moved away.
func NewScroll(content fyne.CanvasObject, moved ...func()) *container.Scroll {
	s := container.NewVScroll(content)
	s.OnScrolled = func(fyne.Position) {
		movedAway()
		if h := hintsFor(s); h != nil && h.text.Visible() { // one that is yet to come appears where its owner is by then
			h.hide()
		}
		for _, f := range moved {
			f()
		}
	}
	return s
}
