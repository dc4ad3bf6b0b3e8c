package window

import (
	"slices"
	"strconv"

	"abut/internal/job"
)

// bandID names the command that shows gradients in n bands.
func bandID(n int) string { return "bands-" + strconv.Itoa(n) }

func isGradient(l *job.Layer) bool   { return job.CanBand(*l) }
func isSeeThrough(l *job.Layer) bool { return l.Alpha < 1 }

// chosenOr returns the selected layers of a kind or, when none is selected, all
// of that kind.
func (w *Window) chosenOr(is func(*job.Layer) bool) []job.LayerID {
	var all, chosen []job.LayerID
	selected := w.session.Selection()
	for _, it := range w.session.Job().Items {
		for i := range it.Layers {
			if l := &it.Layers[i]; is(l) {
				all = append(all, l.ID)
				if slices.Contains(selected, l.ID) {
					chosen = append(chosen, l.ID)
				}
			}
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
