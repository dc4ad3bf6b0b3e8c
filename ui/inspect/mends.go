package inspect

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
)

// fewMends is how many mends are listed before the list unfolds.
const fewMends = 3

// mendRows list the mends: those that could not be made first, with what can be
// done, then those that were, each with its way back.
func (k *weak) mendRows(st session.State) []controls.Row {
	var done, lapsed, refused []fit.MadeMend
	for _, m := range st.Plan.Mends {
		switch {
		case m.State == mend.Refused:
			refused = append(refused, m)
		case m.NoneFound():
		case m.State == mend.Lapsed:
			lapsed = append(lapsed, m)
		default:
			done = append(done, m)
		}
	}
	var rows []controls.Row
	for _, x := range []struct {
		id   string
		list []fit.MadeMend
	}{{"mends-lapsed", lapsed}, {"mends-refused", refused}} {
		if len(x.list) == 0 {
			continue
		}
		text, remedy := in(st.Job).Warning(job.Warning{Message: message.Message{ID: x.id, Values: map[string]any{"count": words.Count(len(x.list))}}})
		rows = append(rows, controls.Row{Key: text + remedy, Make: func() fyne.CanvasObject {
			return container.New(&controls.Stack{Gap: 2}, controls.NewPara(text, controls.Text), controls.NewPara(remedy, controls.Quiet))
		}})
		rows = append(rows, k.listed(st, x.list)...)
	}
	if not := append(lapsed, refused...); len(not) > 0 {
		lost := make([]job.Mend, len(not))
		for i, m := range not {
			lost[i] = m.Mend
		}
		rows = append(rows, k.button("delete", "ui-mends-forget", fmt.Sprint(lost), "ui-step-forget-mends", func(j job.Job) (job.Job, error) { return job.ForgetMends(j, lost) }))
	}
	if len(done) == 0 {
		return rows
	}
	text := say("ui-mends", "count", words.Count(len(done)))
	rows = append(rows, controls.Row{Key: text, Make: func() fyne.CanvasObject {
		head := controls.NewLine(text, controls.Text)
		head.Bold, head.Shrinks = true, true
		return head
	}})
	rows = append(rows, k.listed(st, done)...)
	return append(rows, k.button("undo", "ui-mends-clear", "", "ui-step-unmend-all", job.ClearMends))
}

// button is a row with an edit of all mends.
func (k *weak) button(icon, id, key, step string, edit session.Edit) controls.Row {
	return controls.Row{Key: id + key, Make: func() fyne.CanvasObject {
		return container.NewHBox(controls.NewFramed(icon, say(id), say(id+"-hint"), func() { k.p.do(step, edit) }))
	}}
}

func (k *weak) listed(st session.State, list []fit.MadeMend) []controls.Row {
	most := fewMends
	if k.allMends {
		most = manyRows
	}
	var rows []controls.Row
	for i, m := range list {
		if i == most {
			return append(rows, k.unfold(&k.allMends, len(list), len(list)-i))
		}
		rows = append(rows, k.mendRow(st, m))
	}
	return rows
}

// mendRow is one mend with its place and its way back.
func (k *weak) mendRow(st session.State, m fit.MadeMend) controls.Row {
	at := geometry.Rect{Min: m.At, Max: m.At}
	hint := say("ui-mend-undo")
	back := func(j job.Job) (job.Job, error) { return job.RemoveMend(j, m.Mend) }
	switch {
	case m.State != mend.Done:
		back = func(j job.Job) (job.Job, error) { return job.ForgetMends(j, []job.Mend{m.Mend}) }
	case rests(st.Plan, m):
		hint = say("ui-mend-undo-more")
	}
	title, facts := say("ui-spot-"+m.Spot.String())+" · "+done(st.Plan, m), ""
	if m.State == mend.Done {
		facts = words.Fine(m.SpotMM, st.Job.Settings.Units)
		if m.AreaMM2 > 0 {
			facts += " · " + in(st.Job).Area(m.AreaMM2)
		}
	}
	return controls.Row{Key: fmt.Sprint(m.Mend, at, hint, title, facts), Make: func() fyne.CanvasObject {
		zoom := controls.NewIconPress("zoom-in", say("ui-details-place"), func() { k.p.h.Look(at) })
		undo := controls.NewIconPress("undo", hint, func() { k.p.do("ui-step-unmend", back) })
		line := controls.NewLine(facts, controls.Quiet)
		line.Shrinks = true
		texts := container.New(&controls.Stack{}, controls.NewPara(title, controls.Text))
		if facts != "" {
			texts.Add(line)
		}
		return controls.NewDock(nil, nil, nil, container.NewCenter(undo), container.New(&controls.Lead{Gap: 8}, container.NewCenter(zoom), texts))
	}}
}

// rests reports whether mends of later rounds may rest on a mend.
func rests(plan *fit.Plan, m fit.MadeMend) bool {
	for _, o := range plan.Mends {
		if o.Round > m.Round {
			return true
		}
	}
	return false
}

// doing names what a mend does, for the ids of its words.
func doing(m job.Mend) string {
	if m.Fine && m.Apart {
		return "spaced"
	}
	if m.Fine {
		return "fine"
	}
	return m.Do.String()
}

// done says what a mend did.
func done(plan *fit.Plan, m fit.MadeMend) string {
	if m.Do == job.Give && !m.Chosen {
		return say("ui-mended-given") // to whichever neighbour: a line has no room for more
	}
	return say("ui-mended-"+doing(m.Mend), "name", words.Capital(nameOf(plan, plan, m.To)))
}
