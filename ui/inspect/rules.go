package inspect

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
)

// base says which sheet everything is laid on, and leads to choosing it.
type base struct {
	rows *controls.Rows
	why  *controls.Para
}

func newBase(p *Panel) *base {
	b := &base{rows: controls.NewRows(0), why: controls.NewPara("", controls.Quiet)}
	choose := p.h.Commands.Press("base")
	choose.Label, choose.Framed, choose.Height = say("ui-choose"), true, 32
	p.section("ui-details-base", controls.NewDock(nil, nil, nil, choose, b.rows.Object), b.why)
	return b
}

func (b *base) show(st session.State) {
	p := st.Plan
	if p == nil && st.Opened { // nobody knows yet
		b.rows.Show()
		b.why.SetText("")
		return
	}
	if p == nil || len(p.Separations) == 0 {
		b.rows.Show(controls.Row{Key: "none", Make: func() fyne.CanvasObject { return controls.NewLine(say("ui-details-none"), controls.Quiet) }})
		b.why.SetText("")
		return
	}
	title, colour := words.Capital(words.Chosen().Put(p.Separations[0].Called())), p.Separations[0].Colour
	b.rows.Show(controls.Row{Key: title + colour.String(), Make: func() fyne.CanvasObject {
		name := controls.NewLine(title, controls.Text)
		name.Shrinks = true
		return container.New(&controls.Lead{Gap: 10}, container.NewCenter(controls.NewSwatch(colour, 22)), name)
	}})
	b.why.SetText(in(st.Job).Message(p.BaseReason))
}

// FrameModes are when there is a frame, in the order of their switch.
var FrameModes = []job.FrameMode{job.FrameAuto, job.FrameAlways, job.FrameNone}

// frame is whether there is a frame, its margin and its rounding.
type frame struct {
	mode           *controls.Choice
	why            *controls.Para
	margin, corner *row
	marks          *controls.Check
}

func newFrame(p *Panel) *frame {
	f := &frame{why: controls.NewPara("", controls.Quiet)}
	s := p.h.Session
	f.mode = controls.NewChoice(func(i int) { s.SetFrame(FrameModes[i]) }, say("ui-frame-auto"), say("ui-frame-always"), say("ui-frame-never"))
	f.mode.Fills = true
	rule := func(label string, change func(*job.FrameRule, float64)) *Field {
		e := newField(s, label, held(func(v float64) session.Edit {
			return func(j job.Job) (job.Job, error) {
				r := j.Settings.Frame
				change(&r, v)
				return job.SetFrame(j, r)
			}
		}))
		e.Signed = true // it may be nothing
		return e
	}
	rows := container.New(&controls.Stack{Gap: 8})
	f.margin = newRow(rows, "ui-frame-margin", rule("ui-step-margin", func(r *job.FrameRule, v float64) { r.MarginMM = v }))
	f.corner = newRow(rows, "ui-frame-corner", rule("ui-step-corner", func(r *job.FrameRule, v float64) { r.CornerMM = v }))
	rows.Add(controls.NewPara(say("ui-frame-margin-auto"), controls.Quiet))
	f.marks = controls.NewCheck(say("ui-marks"), s.SetMarks)
	rows.Add(f.marks)
	p.section("ui-details-frame", f.mode, f.why, rows)
	return f
}

// show shows what counts: the margin of the frame that there is, where the job
// leaves it to the plan.
func (f *frame) show(st session.State) {
	s, p := st.Job.Settings, st.Plan
	chosen := 1 // on a sheet that was chosen there is always one
	for i, m := range FrameModes {
		if m == s.Frame.Mode {
			chosen = i
		}
	}
	f.mode.Choose(chosen)
	why := ""
	margin, corner := s.Frame.Margin(), s.Frame.CornerMM
	if p != nil {
		why = in(st.Job).Message(p.FrameReason)
	}
	if p != nil && p.Frame != nil {
		if s.Frame.MarginMM == 0 {
			margin = p.Frame.MarginMM
		}
		corner = p.Frame.CornerMM
	}
	f.why.SetText(why)
	f.margin.show(margin, s.Units)
	f.corner.show(corner, s.Units)
	f.marks.SetChecked(s.Marks)
}

// outfit is what there is to cut from and with.
type outfit struct{ cutter, wide, high *row }

func newOutfit(p *Panel) *outfit {
	o, rows := &outfit{}, container.New(&controls.Stack{Gap: 8})
	set := func(label string, edit func(job.Job, float64) (job.Job, error)) *Field {
		return newField(p.h.Session, label, held(func(v float64) session.Edit {
			return func(j job.Job) (job.Job, error) { return edit(j, v) }
		}))
	}
	o.cutter = newRow(rows, "ui-outfit-cutter", set("ui-step-cutter", job.SetCutter))
	o.wide = newRow(rows, "ui-outfit-sheet-wide", set("ui-step-sheet-size", func(j job.Job, v float64) (job.Job, error) {
		_, h := j.Settings.SheetSize()
		return job.SetSheetSize(j, v, h)
	}))
	o.high = newRow(rows, "ui-outfit-sheet-high", set("ui-step-sheet-size", func(j job.Job, v float64) (job.Job, error) {
		w, _ := j.Settings.SheetSize()
		return job.SetSheetSize(j, w, v)
	}))
	p.section("ui-outfit-part", rows, controls.NewPara(say("ui-outfit-why"), controls.Quiet))
	return o
}

func (o *outfit) show(st session.State) {
	s := st.Job.Settings
	wide, high := s.SheetSize()
	o.cutter.show(s.Cutter(), s.Units)
	o.wide.show(wide, s.Units)
	o.high.show(high, s.Units)
}

// limits is what can be cut: the narrowest part, the smallest speck, the gap
// between pieces; and how far the picture is still the one that was drawn.
type limits struct {
	narrowest, speck, gap *row
	lost, proof           *controls.Para
}

func newLimits(p *Panel) *limits {
	l, rows := &limits{lost: controls.NewPara("", controls.Text), proof: controls.NewPara("", controls.Text)}, container.New(&controls.Stack{Gap: 8})
	set := func(label string, edit func(job.Job, float64) (job.Job, error)) *Field {
		f := newField(p.h.Session, label, held(func(v float64) session.Edit {
			return func(j job.Job) (job.Job, error) { return edit(j, v) }
		}))
		f.Fine = true
		return f
	}
	l.narrowest = newRow(rows, "ui-narrowest", set("ui-step-narrowest", func(j job.Job, v float64) (job.Job, error) {
		return job.SetNarrowest(j, v, j.Settings.SpeckMM)
	}))
	l.speck = newRow(rows, "ui-speck", set("ui-step-speck", func(j job.Job, v float64) (job.Job, error) {
		return job.SetNarrowest(j, j.Settings.NarrowestMM, v)
	}))
	l.gap = newRow(rows, "ui-clearance", set("ui-step-clearance", job.SetClearance))
	l.gap.Signed = true // it may be nothing
	p.section("ui-details-limits", rows, controls.NewPara(say("ui-clearance-why"), controls.Quiet), l.lost, l.proof)
	return l
}

func (l *limits) show(st session.State) {
	s := st.Job.Settings
	l.narrowest.show(s.Narrowest(), s.Units)
	l.speck.show(s.Speck(), s.Units)
	l.gap.show(s.ClearanceMM, s.Units)
	proof, lost := "", ""
	if st.Plan != nil && st.Plan.Verdict.State == fit.Ready {
		proof = in(st.Job).Message(st.Plan.Proof.Message())
		if v, ok := lostToClearance(st.Cut); ok {
			text, remedy := in(st.Job).Warning(v)
			lost = text + " " + remedy
		}
	}
	l.proof.SetText(proof)
	l.lost.SetText(lost)
	l.proof.Hidden, l.lost.Hidden = proof == "", lost == ""
}

// lostToClearance returns the warning about pieces that are no broader than the
// gap between pieces.
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
