package window

import (
	"slices"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
)

// bandCounts are offered for a gradient; 1 is its mean colour.
var bandCounts = []int{1, 2, 3, 4, 6, 8}

// choice is a small action beside a note.
type choice struct {
	label string
	on    bool
	do    func()
}

// choicesFor returns what can be chosen about a warning's layers.
func (w *Window) choicesFor(v job.Warning, j job.Job) []choice {
	var layers []job.Layer
	for _, id := range v.Layers {
		if l, _, ok := j.Layer(id); ok {
			layers = append(layers, l)
		}
	}
	if len(layers) == 0 {
		return nil
	}
	var out []choice
	switch {
	case workshop.IsGradient(v):
		if !job.CanBand(layers[0]) {
			return nil
		}
		now := max(1, int(layers[0].Band.Count))
		for _, n := range bandCounts {
			out = append(out, choice{bandLabel(n), n == now, func() { w.setBands(v.Layers, n) }})
		}
	case v.ID == workshop.WarnSeeThrough || v.ID == workshop.WarnSolid:
		solid := v.ID == workshop.WarnSolid
		out = append(out,
			choice{say("ui-choice-mix"), !solid, func() { w.setSolid(v.Layers, false) }},
			choice{say("ui-choice-own"), solid, func() { w.setSolid(v.Layers, true) }})
	case fit.IsBackground(v):
		out = append(out, choice{say("ui-choice-leave-out"), false, func() {
			ids := w.still(v.Layers)
			w.do("ui-step-leave-out", func(j job.Job) (job.Job, error) { return job.SetUse(j, ids, job.LeftOut) })
		}})
	}
	return out
}

func bandLabel(n int) string {
	if n == 1 {
		return say("ui-choice-average")
	}
	return say("ui-choice-bands", "count", words.Count(n))
}

// setBands shows gradients in n bands.
func (w *Window) setBands(ids []job.LayerID, n int) {
	label := "ui-step-bands"
	if n == 1 {
		label = "ui-step-average"
	}
	if ids = w.still(ids); len(ids) == 0 {
		return
	}
	selected, bands := w.session.Selection(), job.BandsWith(w.session.Job(), ids)
	w.do(label, func(j job.Job) (job.Job, error) { return job.SetBands(j, ids, n) })
	// The bands that come of a selected layer are selected, too.
	if slices.ContainsFunc(selected, func(id job.LayerID) bool { return slices.Contains(bands, id) }) {
		w.session.Select(job.BandsWith(w.session.Job(), w.still(ids)))
	}
}

// still returns those of the layers that are there: a note may be older than the
// job.
func (w *Window) still(ids []job.LayerID) []job.LayerID {
	j := w.session.Job()
	return slices.DeleteFunc(slices.Clone(ids), func(id job.LayerID) bool { _, _, ok := j.Layer(id); return !ok })
}

// setSolid lets see-through layers have their own colour, or mix.
func (w *Window) setSolid(ids []job.LayerID, on bool) {
	if ids = w.still(ids); len(ids) == 0 {
		return
	}
	label := "ui-step-mix"
	if on {
		label = "ui-step-own-colour"
	}
	w.do(label, func(j job.Job) (job.Job, error) { return job.SetSolid(j, ids, on) })
}

// showChoices shows the notes that offer choices where they are seen at once,
// and returns the others.
func (d *details) showChoices(list []note) (rest []note) {
	d.choices.RemoveAll()
	for _, n := range list {
		if len(n.about.Layers) == 0 || len(d.choices.Objects) == maxNotes || len(d.onChoices(n.about, d.job)) == 0 {
			rest = append(rest, n)
			continue
		}
		d.choices.Add(d.noteRow(n))
	}
	d.choicesPart.SetShown(len(d.choices.Objects) > 0)
	return rest
}

// choiceRow sets choices one after another.
func choiceRow(list []choice) fyne.CanvasObject {
	row := container.New(&controls.Flow{Gap: 4})
	for _, c := range list {
		p := controls.NewAction("", c.label, "", c.do)
		p.Framed, p.Height, p.On = true, 28, c.on
		row.Add(p)
	}
	return row
}

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
