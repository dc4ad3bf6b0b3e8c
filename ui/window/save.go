package window

import (
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"

	"abut/internal/abutfile"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// setTitle names the document, and says when it has changes that its file does
// not hold.
func (w *Window) setTitle() {
	s := w.session
	switch {
	case !s.Opened():
		w.win.SetTitle(say("ui-title"))
	case s.Changed():
		w.win.SetTitle(say("ui-title-changed", "file", s.Name()))
	default:
		w.win.SetTitle(say("ui-title-open", "file", s.Name()))
	}
}

// save saves the document to its file, or asks for one.
func (w *Window) save() { w.saving(func() {}) }

func (w *Window) saving(then func()) {
	s := w.session
	if !s.Opened() {
		return
	}
	if s.File() == "" {
		w.askSave(then)
		return
	}
	s.Save(s.File(), true, func(err error) {
		if err != nil {
			w.trouble(err)
			return
		}
		then()
	})
}

func (w *Window) saveAs() {
	if w.session.Opened() {
		w.askSave(func() {})
	}
}

// askSave asks where the document is saved; then follows once it is.
func (w *Window) askSave(then func()) {
	d := w.desk.New(560, say("ui-save-title"))
	entry := d.NewEntry(w.session.SaveTarget(w.options.Home))
	replace := controls.NewCheck(say("ui-save-replace"), nil)
	replace.Hide()
	wrong := controls.NewPara("", controls.Care)
	choose := dialogs.Button(say("ui-export-choose"), func() {
		name := filepath.Base(entry.Text)
		f := dialog.NewFolderOpen(func(u fyne.ListableURI, err error) {
			if u != nil && err == nil {
				entry.SetText(filepath.Join(u.Path(), name))
			}
		}, w.win)
		w.pick(f, filepath.Dir(entry.Text))
	})
	d.Body.Add(controls.NewPara(say("ui-save-why"), controls.Quiet))
	d.Body.Add(container.NewBorder(nil, nil, nil, choose, entry))
	d.Body.Add(replace)
	d.Body.Add(wrong)
	cancel := dialogs.Button(say("ui-cancel"), d.Close)
	save := dialogs.Button(say("ui-save"), func() {
		path := strings.TrimSpace(entry.Text)
		if path == "" {
			return
		}
		if !session.IsDocument(path) {
			path += abutfile.Extension
		}
		w.session.Save(path, replace.Checked, func(err error) {
			if err == nil {
				d.Hide()
				w.noteRecent(path)
				w.focusBoard()
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

// recover opens work that a killed process left behind.
func (w *Window) recover(l session.Lost) {
	w.session.Recover(l)
	w.session.FindLost(w.start.SetLost)
}

// forget throws such work away.
func (w *Window) forget(l session.Lost) {
	w.session.Forget(l)
	w.session.FindLost(w.start.SetLost)
}

// maxRecent is how many files are remembered.
const maxRecent = 8

// recent returns the files that were opened or saved, the last one first.
func (w *Window) recent() []string {
	return w.prefs.StringList(prefRecent)
}

// noteRecent remembers a file.
func (w *Window) noteRecent(path string) {
	if path == "" {
		return
	}
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	list := []string{path}
	for _, p := range w.recent() {
		if p != path && len(list) < maxRecent {
			list = append(list, p)
		}
	}
	w.prefs.SetStringList(prefRecent, list)
}
