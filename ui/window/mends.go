package window

import (
	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
	"abut/ui/controls"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// showMends lists the mends: those that could not be made first, with what can
// be done, then those that were, each with its way back.
func (p *weakPanel) showMends(j job.Job, plan *fit.Plan) {
	var done, not []fit.MadeMend
	for _, m := range plan.Mends {
		switch {
		case m.State != mend.Done:
			not = append(not, m)
		case m.Do != job.Keep || m.Reason == "":
			done = append(done, m)
		}
	}
	if len(not) > 0 {
		for _, state := range []struct {
			of mend.State
			id string
		}{{mend.Lapsed, "mends-lapsed"}, {mend.Refused, "mends-refused"}} {
			var of []fit.MadeMend
			for _, m := range not {
				if m.State == state.of {
					of = append(of, m)
				}
			}
			if len(of) == 0 {
				continue
			}
			text, remedy := p.w.words().Warning(job.Warning{Message: message.Message{ID: state.id, Values: map[string]any{"count": words.Count(len(of))}}})
			p.object.Add(container.New(&controls.Stack{Gap: 2}, controls.NewPara(text, controls.Text), controls.NewPara(remedy, controls.Quiet)))
			p.mendRows(j, plan, of)
		}
		lost := make([]job.Mend, len(not))
		for i, m := range not {
			lost[i] = m.Mend
		}
		p.object.Add(container.NewHBox(controls.NewFramed("delete", say("ui-mends-forget"), say("ui-mends-forget-hint"), func() {
			p.w.do("ui-step-forget-mends", func(j job.Job) (job.Job, error) { return job.ForgetMends(j, lost) })
		})))
	}
	if len(done) == 0 {
		return
	}
	head := controls.NewLine(say("ui-mends", "count", words.Count(len(done))), controls.Text)
	head.Bold, head.Shrinks = true, true
	p.object.Add(head)
	p.mendRows(j, plan, done)
	p.object.Add(container.NewHBox(controls.NewFramed("undo", say("ui-mends-clear"), say("ui-mends-clear-hint"), func() {
		p.w.do("ui-step-unmend-all", job.ClearMends)
	})))
}

func (p *weakPanel) mendRows(j job.Job, plan *fit.Plan, list []fit.MadeMend) {
	most := 3
	if p.allMends {
		most = manyRows
	}
	for i, m := range list {
		if i == most {
			if p.allMends {
				p.object.Add(controls.NewPara(say("ui-details-more", "count", words.Count(len(list)-i)), controls.Quiet))
			} else {
				p.object.Add(container.NewHBox(controls.NewAction("", say("ui-details-all", "count", words.Count(len(list))), "", func() {
					p.allMends = true
					p.show()
				})))
			}
			return
		}
		p.object.Add(p.mendRow(j, plan, m))
	}
}

// mendRow is one mend with its place and its way back.
func (p *weakPanel) mendRow(j job.Job, plan *fit.Plan, m fit.MadeMend) fyne.CanvasObject {
	at := geometry.Rect{Min: m.At, Max: m.At}
	zoom := controls.NewIconPress("zoom-in", say("ui-details-place"), func() { p.w.board.ZoomTo(at) })
	hint := say("ui-mend-undo")
	back := func(j job.Job) (job.Job, error) { return job.RemoveMend(j, m.Mend) }
	switch {
	case m.State != mend.Done:
		back = func(j job.Job) (job.Job, error) { return job.ForgetMends(j, []job.Mend{m.Mend}) }
	case p.rests(plan, m):
		hint = say("ui-mend-undo-more")
	}
	undo := controls.NewIconPress("undo", hint, func() { p.w.do("ui-step-unmend", back) })
	name := controls.NewLine(say("ui-spot-"+m.Spot.String())+" · "+p.done(plan, m), controls.Text)
	name.Shrinks = true
	texts := container.New(&controls.Stack{}, name)
	if m.State == mend.Done {
		facts := words.Fine(m.SpotMM, j.Settings.Units)
		if m.AreaMM2 > 0 {
			facts += " · " + p.w.words().Area(m.AreaMM2)
		}
		line := controls.NewLine(facts, controls.Quiet)
		line.Shrinks = true
		texts.Add(line)
	}
	return controls.NewDock(nil, nil, nil, container.NewCenter(undo), container.New(&controls.Lead{Gap: 8}, container.NewCenter(zoom), texts))
}

// rests reports whether mends of later rounds may rest on a mend.
func (p *weakPanel) rests(plan *fit.Plan, m fit.MadeMend) bool {
	for _, o := range plan.Mends {
		if o.Round > m.Round {
			return true
		}
	}
	return false
}

// done says what a mend did.
func (p *weakPanel) done(plan *fit.Plan, m fit.MadeMend) string {
	name := say("ui-mend-neighbour")
	if m.Chosen {
		name = words.Capital(nameOf(plan, plan, m.To))
	}
	return say("ui-mended-"+m.Do.String(), "name", name)
}
