package window

import (
	"strconv"

	"abut/internal/job"
	"abut/internal/session"
)

// bandID names the command that shows gradients in n bands.
func bandID(n int) string { return "bands-" + strconv.Itoa(n) }

// kinds are the layers of a job that are of a kind, bottom first: menus ask for them many
// times over, and a job may have very many layers.
type kinds struct {
	at    session.At
	known bool
	of    map[kind][]job.LayerID
}

// kind is what a command is about.
type kind uint8

const (
	gradients kind = iota
	seeThrough
)

// layersOf returns all layers of a kind.
func (w *Window) layersOf(k kind) []job.LayerID {
	if at := w.session.At(); !w.kinds.known || w.kinds.at != at {
		w.kinds = kinds{at: at, known: true, of: map[kind][]job.LayerID{}}
		for _, it := range w.session.Job().Items {
			for i := range it.Layers {
				l := &it.Layers[i]
				if job.CanBand(*l) {
					w.kinds.of[gradients] = append(w.kinds.of[gradients], l.ID)
				}
				if l.Alpha < 1 {
					w.kinds.of[seeThrough] = append(w.kinds.of[seeThrough], l.ID)
				}
			}
		}
	}
	return w.kinds.of[k]
}

// chosenOr returns the selected layers of a kind or, when none is selected, all
// of that kind.
func (w *Window) chosenOr(k kind) []job.LayerID {
	all := w.layersOf(k)
	if len(all) == 0 {
		return nil
	}
	selected := map[job.LayerID]bool{}
	for _, id := range w.session.Selection() {
		selected[id] = true
	}
	var chosen []job.LayerID
	for _, id := range all {
		if selected[id] {
			chosen = append(chosen, id)
		}
	}
	if len(chosen) > 0 {
		return chosen
	}
	return all
}

// mendAll mends every weak spot that has no mend yet.
func (w *Window) mendAll() {
	w.details.Leave()
	w.session.MendAll()
}
