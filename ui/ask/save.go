package ask

import (
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2/container"

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
	s.Save(s.File(), true, func(err error) {
		if err != nil {
			h.Trouble(err)
			return
		}
		then()
	})
}

// SaveAs asks where the document is saved; then follows once it is.
func (h *Host) SaveAs(then func()) {
	if !h.Session.Opened() {
		return
	}
	d := h.Desk.New(560, say("ui-save-title"))
	entry := controls.NewEntry(h.Session.SaveTarget(h.Home))
	replace := controls.NewCheck(say("ui-save-replace"), nil)
	replace.Hide()
	wrong := controls.NewPara("", controls.Care)
	choose := dialogs.Button(say("ui-export-choose"), func() {
		name := filepath.Base(entry.Text)
		h.PickFolder(filepath.Dir(entry.Text), func(dir string) { entry.SetText(filepath.Join(dir, name)) })
	})
	d.Body.Add(controls.NewPara(say("ui-save-why"), controls.Quiet))
	d.Body.Add(container.NewBorder(nil, nil, nil, choose, entry))
	d.Body.Add(replace)
	d.Body.Add(wrong)
	cancel := dialogs.Button(say("ui-cancel"), d.Cancel)
	save := dialogs.Button(say("ui-save"), func() {
		path := strings.TrimSpace(entry.Text)
		if path == "" {
			return
		}
		if !session.IsDocument(path) {
			path += abutfile.Extension
		}
		h.Session.Save(path, replace.Checked, func(err error) {
			if err == nil {
				d.Close()
				h.NoteRecent(path)
				then()
				return
			}
			text, remedy := workshop.Explain(err)
			replace.Hidden = !workshop.Is(err, session.ErrExists)
			wrong.SetText(strings.TrimSpace(text + " " + remedy))
			d.Fit()
		})
	})
	d.SetButtons(cancel, save)
	d.Show(entry)
}
