package window

import (
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/layers"
)

// groupsOf returns the groups that the list shows around a layer: those of the
// art's file, and the gradient that it is a band of.
func groupsOf(it *job.Item, l *job.Layer) (g layers.Groups) {
	n := min(len(l.Folders), len(g))
	for i, name := range l.Folders[:n] {
		g[i] = layers.Group{Name: words.Capital(name), Of: uint32(it.ID)}
	}
	if l.Band.Of != 0 {
		g[min(n, len(g)-1)] = layers.Group{Name: words.Capital(l.Band.Name), Of: uint32(l.Band.Of)}
	}
	return g
}

// groupSum says what is in a group, at length and shortly.
func groupSum(n, pieces int) (long, short string) {
	long = say("list-layers", "count", words.Count(n))
	if pieces == 0 {
		return long, ""
	}
	return long + " · " + say("ui-pieces", "count", words.Count(pieces)), say("list-sum-short", "layers", n, "count", words.Count(pieces))
}

// selectGroup selects all of the smallest group around what is selected, as the
// art's file has them; again, the next larger one.
func (w *Window) selectGroup() {
	if _, members := job.Around(w.session.Job(), w.session.Selection()); members != nil {
		w.session.Select(members)
	}
}

// newGroupPress is the same beside the selection's name.
func newGroupPress(w *Window) *controls.Press {
	p := w.commands.Press("select-group")
	p.Framed, p.IconSide, p.Height = true, 18, 32
	p.Hide()
	return p
}

// showGroup says which group could be selected.
func showGroup(j job.Job, ids []job.LayerID, p *controls.Press) {
	name, members := job.Around(j, ids)
	p.Hidden = members == nil
	p.Label = say("ui-select-group", "name", words.Capital(name))
	p.Refresh()
}
