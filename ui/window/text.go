package window

import "abut/internal/job"

// editText takes whoever types to the words of the selected text, all of them
// marked.
func (w *Window) editText() {
	if left, right := w.panels.Open(); !right {
		w.fold(left, true)
	}
	w.details.EditText()
}

// pressedTwice edits the text among the layers that were pressed.
func (w *Window) pressedTwice(ids []job.LayerID) {
	for _, id := range ids {
		l, _, ok := w.session.Job().Layer(id)
		if _, is := l.Content.(job.Text); ok && is {
			w.session.Select([]job.LayerID{id})
			w.editText()
			return
		}
	}
}
