package ask

import (
	"abut/internal/abutfile"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Save saves the document to its file, or asks for one; then follows once it is
// saved.
func (h *Host) Save(then func()) {
	s := h.Session
	if !s.Opened() {
		return
	}
	if s.File() == "" {
		h.SaveAs(then)
		return
	}
	s.Save(s.File(), false, func(err error) {
		switch {
		case workshop.Is(err, session.ErrChanged):
			h.saveAs(then).refused(err, session.ErrChanged)
		case err != nil:
			h.Trouble(err)
		default:
			then()
		}
	})
}

// SaveAs asks where the document is saved; then follows once it is.
func (h *Host) SaveAs(then func()) {
	if h.Session.Opened() {
		h.saveAs(then)
	}
}

// saveAs is SaveAs, and returns what asks.
func (h *Host) saveAs(then func()) *target {
	d := h.Desk.New(560, say("ui-save-title"))
	to := newTarget(d, h.Session.SaveTarget(h.Home), say("ui-save-replace"))
	d.Body.Add(controls.NewPara(say("ui-save-why"), controls.Quiet))
	to.ask(h, "", func(path string) string { return path })
	cancel := dialogs.Button(say("ui-cancel"), d.Cancel)
	save := dialogs.Button(say("ui-save"), func() {
		path, ok := to.chosen()
		if !ok {
			return
		}
		if !session.IsDocument(path) {
			path += abutfile.Extension
		}
		h.Session.Save(path, to.replace.Checked, func(err error) {
			if err != nil {
				to.refused(err, session.ErrExists, session.ErrChanged)
				return
			}
			d.Close()
			h.NoteRecent(path)
			then()
		})
	})
	d.SetButtons(cancel, save)
	d.Show(to.entry)
	return to
}
