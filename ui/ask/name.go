package ask

import (
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Name asks for the selected layer's name.
func (h *Host) Name() {
	l, ok := h.selected()
	if !ok {
		return
	}
	d := h.Desk.New(420, say("ui-rename-title"))
	entry := controls.NewEntry(words.Capital(l.Name))
	d.Body.Add(entry)
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel),
		dialogs.Button(say("ui-rename-set"), func() {
			d.Close()
			if entry.Text != words.Capital(l.Name) {
				h.Session.Tried("ui-step-rename", func(j job.Job) (job.Job, error) { return job.Rename(j, l.ID, entry.Text) })
			}
		}))
	d.Show(entry)
}
