package ask

import (
	"path/filepath"

	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Leave asks whether to leave the open document for something else, and does that
// unless the answer is no.
func (h *Host) Leave(title, why string, f func()) {
	d := h.Desk.New(440, title)
	d.Body.Add(controls.NewPara(why, controls.Text))
	stay := dialogs.Button(say("ui-leave-stay"), d.Close)
	d.OnEscape = stay.OnTapped
	d.SetButtons(
		dialogs.Button(say("ui-leave-go"), func() { d.Hide(); f() }), stay,
		dialogs.Button(say("ui-save"), func() { d.Hide(); h.Save(f) }))
	d.Show(nil)
}

// Dropped asks whether a file that was dropped is opened or joins the document.
func (h *Host) Dropped(path string, open, add func()) {
	d := h.Desk.New(480, say("ui-drop-title", "file", filepath.Base(path)))
	d.Body.Add(controls.NewPara(say("ui-drop-why"), controls.Text))
	answer := func(f func()) func() { return func() { d.Close(); f() } }
	d.SetButtons(
		dialogs.Button(say("ui-cancel"), d.Cancel),
		dialogs.Button(say("ui-drop-open"), answer(open)),
		dialogs.Button(say("ui-drop-add"), answer(add)))
	d.Show(nil)
}
