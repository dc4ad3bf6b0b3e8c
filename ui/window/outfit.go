package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// lengthRow is an entry for a length with its name before it and its unit after.
type lengthRow struct {
	entry *lengthEntry
	unit  *controls.Line
}

func newLengthRow(to *fyne.Container, id string, done func(float64)) *lengthRow {
	r := &lengthRow{entry: newLengthEntry(done), unit: controls.NewLine("mm", controls.Quiet)}
	label := controls.NewLine(say(id), controls.Text)
	label.Shrinks = true
	entry := container.NewGridWrap(fyne.NewSize(84, 36), r.entry)
	to.Add(controls.NewDock(nil, nil, nil, container.NewHBox(entry, container.NewCenter(r.unit)), container.New(&controls.Inset{Y: 8}, label)))
	return r
}

func (r *lengthRow) show(v float64, u job.Units) {
	r.entry.units = u
	r.entry.set(v)
	r.unit.SetText(map[job.Units]string{job.Millimetres: "mm", job.Inches: "in"}[u])
}

// outfit is the part of Details about what there is to cut from and with, and
// what of it concerns the frame: its margin and its rounding.
type outfit struct {
	object, frame      *fyne.Container
	cutter, wide, high *lengthRow
	margin, corner     *lengthRow
	marks              *controls.Check
	marginWhy          *controls.Para
}

// Names of preferences.
const (
	prefCutter    = "cutter-mm"
	prefSheetWide = "sheet-width-mm"
	prefSheetHigh = "sheet-height-mm"
)

func newOutfit(w *Window) *outfit {
	o := &outfit{object: container.New(&controls.Stack{Gap: 8}), frame: container.New(&controls.Stack{Gap: 8})}
	set := func(label string, edit func(j job.Job, v float64) (job.Job, error)) func(float64) {
		return func(v float64) {
			w.do(label, func(j job.Job) (job.Job, error) { return edit(j, v) })
			w.keepOutfit()
			// A refused number goes back to the one that counts.
			plan, _ := w.session.Plan()
			o.show(w.session.Job(), plan)
		}
	}
	o.cutter = newLengthRow(o.object, "ui-outfit-cutter", set("ui-step-cutter", job.SetCutter))
	o.wide = newLengthRow(o.object, "ui-outfit-sheet-wide", set("ui-step-sheet-size", func(j job.Job, v float64) (job.Job, error) {
		_, h := j.Settings.SheetSize()
		return job.SetSheetSize(j, v, h)
	}))
	o.high = newLengthRow(o.object, "ui-outfit-sheet-high", set("ui-step-sheet-size", func(j job.Job, v float64) (job.Job, error) {
		wide, _ := j.Settings.SheetSize()
		return job.SetSheetSize(j, wide, v)
	}))
	o.object.Add(controls.NewPara(say("ui-outfit-why"), controls.Quiet))

	rule := func(label string, change func(r *job.FrameRule, v float64)) func(float64) {
		return set(label, func(j job.Job, v float64) (job.Job, error) {
			r := j.Settings.Frame
			change(&r, v)
			return job.SetFrame(j, r)
		})
	}
	o.margin = newLengthRow(o.frame, "ui-frame-margin", rule("ui-step-margin", func(r *job.FrameRule, v float64) { r.MarginMM = v }))
	o.corner = newLengthRow(o.frame, "ui-frame-corner", rule("ui-step-corner", func(r *job.FrameRule, v float64) { r.CornerMM = v }))
	o.margin.entry.signed, o.corner.entry.signed = true, true // they may be nothing
	o.marginWhy = controls.NewPara(say("ui-frame-margin-auto"), controls.Quiet)
	o.frame.Add(o.marginWhy)
	o.marks = controls.NewCheck(say("ui-marks"), func(on bool) {
		if w.session.Job().Settings.Marks != on {
			w.toggleMarks()
		}
	})
	o.frame.Add(o.marks)
	return o
}

// show fills the panel: with what counts, so with the margin of the frame that
// there is where the job leaves it to the plan.
func (o *outfit) show(j job.Job, p *fit.Plan) {
	s := j.Settings
	wide, high := s.SheetSize()
	o.cutter.show(s.Cutter(), s.Units)
	o.wide.show(wide, s.Units)
	o.high.show(high, s.Units)
	margin, corner := s.Frame.Margin(), s.Frame.CornerMM
	if p != nil && p.Frame != nil {
		if s.Frame.MarginMM == 0 {
			margin = p.Frame.MarginMM
		}
		corner = p.Frame.CornerMM
	}
	o.margin.show(margin, s.Units)
	o.corner.show(corner, s.Units)
	o.marks.SetChecked(s.Marks)
}

// toggleMarks puts marks to line film up on the sheets, or takes them away.
func (w *Window) toggleMarks() {
	w.do("ui-step-marks", func(j job.Job) (job.Job, error) { return job.SetMarks(j, !j.Settings.Marks) })
}

// keepOutfit keeps sheet and cutter for jobs that are new.
func (w *Window) keepOutfit() {
	s := w.session.Job().Settings
	w.session.CutterMM, w.session.SheetMM = s.CutterMM, [2]float64{s.SheetWidthMM, s.SheetHeightMM}
	w.prefs.SetFloat(prefCutter, s.CutterMM)
	w.prefs.SetFloat(prefSheetWide, s.SheetWidthMM)
	w.prefs.SetFloat(prefSheetHigh, s.SheetHeightMM)
}

// takeOutfit takes sheet and cutter as they were left, unless no edit could have
// made them.
func (w *Window) takeOutfit() {
	p := w.prefs
	cutter, wide, high := p.Float(prefCutter), p.Float(prefSheetWide), p.Float(prefSheetHigh)
	if _, err := job.SetCutter(job.Job{}, cutter); err == nil {
		w.session.CutterMM = cutter
	}
	if _, err := job.SetSheetSize(job.Job{}, wide, high); err == nil {
		w.session.SheetMM = [2]float64{wide, high}
	}
}

// askBase asks which sheet everything is laid on.
func (w *Window) askBase() {
	plan, exact := w.session.Plan()
	if !w.session.Opened() || plan == nil || !exact || len(plan.Separations) == 0 {
		return
	}
	d := w.desk.New(420, say("ui-base-choose"))
	s := w.session.Job().Settings
	done := d.Close
	choose := func(c *colour.RGB) func() {
		return func() {
			done()
			w.do("ui-step-base", func(j job.Job) (job.Job, error) {
				if r := j.Settings.Frame; r.Mode == job.FrameOn { // the frame goes along
					r.Mode, r.Colour = job.FrameAlways, colour.RGB{}
					j.Settings.Frame = r
				}
				return job.SetBase(j, c)
			})
		}
	}
	d.Body.Add(controls.NewPara(w.words().Message(plan.BaseReason), controls.Quiet))
	list := container.New(&controls.Stack{Gap: 6})
	add := func(label string, on bool, lead fyne.CanvasObject, tapped func()) {
		p := controls.NewAction("", label, "", tapped)
		p.Framed, p.Height, p.On = true, 36, on
		list.Add(container.New(&controls.Lead{Gap: 10}, container.NewCenter(lead), p))
	}
	own := s.BaseColour()
	blank := controls.NewIcon(22, func() string { return "nothing" }, quietTone)
	add(say("ui-base-auto"), own == nil || plan.BaseReason.ID != "base-chosen", blank, choose(nil))
	for i := range plan.Separations {
		x := &plan.Separations[i]
		c := x.Colour
		add(words.Capital(x.Name), i == 0 && own != nil && plan.BaseReason.ID == "base-chosen", controls.NewSwatch(c, 22), choose(&c))
	}
	var scroll fyne.CanvasObject = list
	if len(plan.Separations) > 8 {
		v := container.NewVScroll(list)
		v.SetMinSize(fyne.NewSize(360, 380))
		scroll = v
	}
	d.Body.Add(scroll)
	d.SetButtons(dialogs.Button(say("ui-cancel"), done))
	d.Show(nil)
}
