package inspect

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/theme"
)

// maxNotes is how many notes are listed: nobody reads more at a time, and laying
// hundreds out would be felt.
const maxNotes = 12

// notes are what there is to know: first, what is not as it was drawn and what one can
// choose about.
type notes struct {
	p                                   *Panel
	changed, choices, others            *controls.Rows
	changedPart, choicesPart, notesPart *controls.Section
}

func newNotes(p *Panel) *notes {
	n := &notes{p: p, changed: controls.NewRows(12), choices: controls.NewRows(12), others: controls.NewRows(12)}
	n.changedPart = p.section("ui-details-not-as-drawn", n.changed.Object)
	n.choicesPart = p.section("ui-details-choices", n.choices.Object)
	return n
}

// last puts what is only to be known at the end of the panel.
func (n *notes) last(p *Panel) { n.notesPart = p.section("ui-details-notes", n.others.Object) }

func (n *notes) show(st session.State) {
	var changed, choices, others []controls.Row
	rest := 0
	for _, v := range session.Notes(st.Job, st.Plan) {
		list := n.choicesFor(v, st.Job)
		switch {
		case len(list) > 0 && len(choices) < maxNotes:
			choices = append(choices, n.row(v, st, list))
		case workshop.IsNotAsDrawn(v) && len(changed) < maxNotes:
			changed = append(changed, n.row(v, st, nil))
		case len(others) < maxNotes:
			others = append(others, n.row(v, st, nil))
		default:
			rest++
		}
	}
	if rest > 0 {
		others = append(others, more(rest))
	}
	n.changedPart.SetShown(len(changed) > 0)
	n.changed.Show(changed...)
	n.choicesPart.SetShown(len(choices) > 0)
	n.notesPart.SetShown(len(others) > 0)
	n.choices.Show(choices...)
	n.others.Show(others...)
}

// row is something to know, with what can be done about it and, when it has one,
// its place on the board.
func (n *notes) row(v job.Warning, st session.State, list []choice) controls.Row {
	text, remedy := in(st.Job).Warning(v)
	key := fmt.Sprint(text, remedy, v.Layers)
	if v.At != nil {
		key += fmt.Sprint(*v.At)
	}
	for _, c := range list {
		key += fmt.Sprint(c.label, c.on)
	}
	return controls.Row{Key: key, Make: func() fyne.CanvasObject {
		var lead fyne.CanvasObject = controls.NewIcon(20, func() string { return "about" }, quietTone)
		if v.At != nil {
			at := *v.At
			lead = controls.NewIconPress("zoom-in", say("ui-details-place"), func() { n.p.h.Look(geometry.Rect{Min: at, Max: at}) })
		}
		texts := container.New(&controls.Stack{Gap: 2}, controls.NewPara(text, controls.Text), controls.NewPara(remedy, controls.Quiet))
		if len(list) > 0 {
			row := container.New(&controls.Flow{Gap: 4})
			for _, c := range list {
				p := controls.NewAction("", c.label, "", c.do)
				p.Framed, p.Height, p.On = true, 28, c.on
				row.Add(p)
			}
			texts.Add(row)
		}
		return container.New(&controls.Lead{Gap: 8}, container.NewVBox(lead), texts)
	}}
}

func quietTone() color.NRGBA { return theme.Current().Quiet }

// BandCounts are offered for a gradient; 1 is its mean colour.
var BandCounts = []int{1, 2, 3, 4, 6, 8}

// BandLabel names a number of bands.
func BandLabel(n int) string {
	if n == 1 {
		return say("ui-choice-average")
	}
	return say("ui-choice-bands", "count", words.Count(n))
}

// choice is a small action beside a note.
type choice struct {
	label string
	on    bool
	do    func()
}

// choicesFor returns what can be chosen about a warning's layers.
func (n *notes) choicesFor(v job.Warning, j job.Job) []choice {
	s := n.p.h.Session
	var layers []job.Layer
	for _, id := range v.Layers {
		if l, _, ok := j.Layer(id); ok {
			layers = append(layers, l)
		}
	}
	if len(layers) == 0 {
		return nil
	}
	still := func(do func([]job.LayerID)) func() { return func() { do(s.Still(v.Layers)) } }
	var out []choice
	isClip, ignored := workshop.IsClip(v)
	switch {
	case workshop.IsGradient(v):
		if !job.CanBand(layers[0]) {
			return nil
		}
		now := max(1, int(layers[0].Band.Count))
		for _, k := range BandCounts {
			out = append(out, choice{BandLabel(k), k == now, still(func(ids []job.LayerID) { s.SetBands(ids, k) })})
		}
	case v.ID == workshop.WarnSeeThrough || v.ID == workshop.WarnSolid:
		solid := v.ID == workshop.WarnSolid
		out = append(out,
			choice{say("ui-choice-mix"), !solid, still(func(ids []job.LayerID) { s.SetSolid(ids, false) })},
			choice{say("ui-choice-own"), solid, still(func(ids []job.LayerID) { s.SetSolid(ids, true) })})
	case isClip:
		set := func(on bool) func() {
			return still(func(ids []job.LayerID) {
				n.p.do("ui-step-clip", func(j job.Job) (job.Job, error) { return job.IgnoreClips(j, ids, on) })
			})
		}
		out = append(out, choice{say("ui-choice-clip-heed"), !ignored, set(false)}, choice{say("ui-choice-clip-ignore"), ignored, set(true)})
	case fit.IsBackground(v):
		out = append(out, choice{say("ui-choice-leave-out"), false, still(func(ids []job.LayerID) {
			n.p.do("ui-step-leave-out", func(j job.Job) (job.Job, error) { return job.SetUse(j, ids, job.LeftOut) })
		})})
	}
	return out
}
