package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/ui/controls"
)

// limits is the part of Details about what can be cut: the narrowest part, the
// smallest speck, the clearance, and how far the picture is still the one that
// was drawn.
type limits struct {
	object                       *fyne.Container
	narrowest, speck, clearance  *lengthEntry
	units                        []*controls.Line
	proof, clearanceWhy, lostWhy *controls.Para
}

func newLimits(w *Window) *limits {
	l := &limits{object: container.New(&controls.Stack{Gap: 8})}
	set := func(label string, edit func(j job.Job, v float64) (job.Job, error)) func(float64) {
		return func(v float64) {
			w.do(label, func(j job.Job) (job.Job, error) { return edit(j, v) })
			// A refused number goes back to the one that counts.
			plan, _ := w.session.Plan()
			l.show(w.session, plan)
		}
	}
	l.narrowest = newLengthEntry(set("ui-step-narrowest", func(j job.Job, v float64) (job.Job, error) {
		return job.SetNarrowest(j, v, j.Settings.SpeckMM)
	}))
	l.speck = newLengthEntry(set("ui-step-speck", func(j job.Job, v float64) (job.Job, error) {
		return job.SetNarrowest(j, j.Settings.NarrowestMM, v)
	}))
	l.clearance = newLengthEntry(set("ui-step-clearance", job.SetClearance))
	l.clearance.signed = true // it may be nothing
	for _, f := range []struct {
		id string
		e  *lengthEntry
	}{{"ui-narrowest", l.narrowest}, {"ui-speck", l.speck}, {"ui-clearance", l.clearance}} {
		f.e.fine = true
		unit := controls.NewLine("mm", controls.Quiet)
		l.units = append(l.units, unit)
		label := controls.NewLine(say(f.id), controls.Text)
		label.Shrinks = true
		entry := container.NewGridWrap(fyne.NewSize(84, 36), f.e)
		l.object.Add(controls.NewDock(nil, nil, nil, container.NewHBox(entry, container.NewCenter(unit)), container.New(&controls.Inset{Y: 8}, label)))
	}
	l.clearanceWhy = controls.NewPara(say("ui-clearance-why"), controls.Quiet)
	l.lostWhy = controls.NewPara("", controls.Text)
	l.proof = controls.NewPara("", controls.Text)
	l.object.Add(l.clearanceWhy)
	l.object.Add(l.lostWhy)
	l.object.Add(l.proof)
	return l
}

// show fills the panel.
func (l *limits) show(s *session.Session, p *fit.Plan) {
	j := s.Job()
	for _, u := range l.units {
		u.SetText(map[job.Units]string{job.Millimetres: "mm", job.Inches: "in"}[j.Settings.Units])
	}
	for e, v := range map[*lengthEntry]float64{l.narrowest: j.Settings.Narrowest(), l.speck: j.Settings.Speck(), l.clearance: j.Settings.ClearanceMM} {
		e.units = j.Settings.Units
		e.set(v)
	}
	text, lost := "", ""
	if p != nil && p.Verdict.State == fit.Ready {
		text = wordsOf(j).Message(p.Proof.Message())
		if v, ok := lostToClearance(s.Cut()); ok {
			say, remedy := wordsOf(j).Warning(v)
			lost = say + " " + remedy
		}
	}
	l.proof.SetText(text)
	l.lostWhy.SetText(lost)
	l.proof.Hidden, l.lostWhy.Hidden = text == "", lost == ""
	l.object.Refresh()
}

// lostToClearance returns the warning about pieces that are no broader than the
// clearance.
func lostToClearance(cut *fit.Plan) (job.Warning, bool) {
	if cut != nil {
		for _, w := range cut.Warnings {
			if w.ID == "clearance-lost" {
				return w, true
			}
		}
	}
	return job.Warning{}, false
}
