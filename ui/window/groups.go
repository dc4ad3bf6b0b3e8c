package window

import (
	"fyne.io/fyne/v2"

	"abut/internal/job"
	"abut/ui/controls"
)

// selectGroup selects all of the smallest group around what is selected, as the
// art's file has them; again, the next larger one.
func (w *Window) selectGroup() {
	if _, members := job.Around(w.session.Job(), w.session.Selection()); members != nil {
		w.session.Select(members)
	}
}

// newGroupPress is the same beside the selection's name.
func newGroupPress(w *Window) *controls.Press {
	p := controls.NewAction("layers", "", say("ui-select-group-hint"), w.selectGroup)
	p.Framed, p.IconSide, p.Height = true, 18, 32
	p.Hide()
	return p
}

// showGroup says which group could be selected, in the panel and in the menu.
func showGroup(j job.Job, ids []job.LayerID, p *controls.Press, m *fyne.MenuItem) {
	name, members := job.Around(j, ids)
	if m != nil {
		m.Disabled, m.Label = members == nil, say("ui-select-group-any")
		if members != nil {
			m.Label = say("ui-select-group", "name", capital(name))
		}
	}
	if p != nil {
		p.Hidden = members == nil
		p.Label = say("ui-select-group", "name", capital(name))
		p.Refresh()
	}
}
