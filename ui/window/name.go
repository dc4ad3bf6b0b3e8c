package window

import (
	"fyne.io/fyne/v2"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/dialogs"
)

// askName asks for the selected layer's name.
func (w *Window) askName() {
	l, _, ok := w.selected()
	if !ok {
		return
	}
	d := w.desk.New(420, say("ui-rename-title"))
	entry := d.NewEntry(words.Capital(l.Name))
	d.Body.Add(entry)
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Close),
		dialogs.Button(say("ui-rename-set"), func() {
			d.Close()
			if entry.Text != words.Capital(l.Name) {
				w.session.Tried("ui-step-rename", func(j job.Job) (job.Job, error) { return job.Rename(j, l.ID, entry.Text) })
			}
		}))
	d.Show(entry)
	entry.TypedShortcut(&fyne.ShortcutSelectAll{})
}
