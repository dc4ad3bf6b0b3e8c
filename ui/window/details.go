package window

import (
	"image/color"
	"slices"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/sheets"
	"abut/ui/theme"
)

// details is the panel at the right: the art's size, the frame, the base, what
// is cut from which sheet, and what one should know.
type details struct {
	object fyne.CanvasObject
	// onSize is asked for a width or a height in millimetres; the other is 0.
	onSize func(w, h float64)
	// onFrame is asked for a frame's mode.
	onFrame func(job.FrameMode)
	// onPlace is asked to show a place on the board.
	onPlace func(geometry.Rect)
	// onChoices is asked what can be chosen about a note.
	onChoices func(job.Warning, job.Job) []choice

	// column holds what is about the selection and, without one, about the job.
	column *fyne.Container
	ofJob  *fyne.Container
	// stackedPart and notesPart are there while they have something to say.
	stackedPart, notesPart, weakPart *controls.Section
	// parts are all of them by the ids of their names.
	parts map[string]*controls.Section
	// allSheets: the list of sheets is unfolded.
	allSheets     bool
	job           job.Job
	width, height *lengthEntry
	units         []*controls.Line
	stacked       *fyne.Container
	blank         *fyne.Container
	onBlank       func()
	onColours     func()
	onBase        func()
	onFitBlank    func()
	frame         *controls.Choice
	frameWhy      *controls.Para
	base          *fyne.Container
	baseWhy       *controls.Para
	sheets        *fyne.Container
	notes         *fyne.Container
	// choices are the notes that offer some.
	choices     *fyne.Container
	choicesPart *controls.Section
	shown       *fit.Plan
}

var frameModes = []job.FrameMode{job.FrameAuto, job.FrameAlways, job.FrameNone}

// newDetails returns the panel. prefs keeps which parts are folded away.
func newDetails(chosen, weak, limits fyne.CanvasObject, outfit *outfit, prefs fyne.Preferences) *details {
	d := &details{parts: map[string]*controls.Section{}}
	d.width = newLengthEntry(func(v float64) { d.onSize(v, 0) })
	d.height = newLengthEntry(func(v float64) { d.onSize(0, v) })
	field := func(label string, e *lengthEntry) fyne.CanvasObject {
		unit := controls.NewLine("mm", controls.Quiet)
		d.units = append(d.units, unit)
		return container.NewBorder(nil, nil, container.NewGridWrap(fyne.NewSize(64, 36), controls.NewLine(label, controls.Text)), container.NewCenter(unit), e)
	}
	d.frame = controls.NewChoice(func(i int) { d.onFrame(frameModes[i]) }, say("ui-frame-auto"), say("ui-frame-always"), say("ui-frame-never"))
	d.frame.Fills = true
	d.frameWhy = controls.NewPara("", controls.Quiet)
	d.base = container.New(&controls.Stack{})
	d.baseWhy = controls.NewPara("", controls.Quiet)
	d.sheets = container.New(&controls.Stack{Gap: 6})
	d.notes = container.New(&controls.Stack{Gap: 12})
	section := func(id string, o ...fyne.CanvasObject) *controls.Section {
		p := controls.NewSection(say(id), say("ui-details-fold"), o...)
		p.Fold(prefs.Bool(prefFolded + id))
		p.OnFolded = func(folded bool) { prefs.SetBool(prefFolded+id, folded) }
		d.ofJob.Add(p.Object)
		d.parts[id] = p
		return p
	}
	d.ofJob = container.New(&controls.Stack{Gap: 10})
	d.blank = container.New(&controls.Stack{Gap: 8})
	d.stacked = container.New(&controls.Stack{Gap: 6})
	d.stackedPart = section("ui-details-stacked", d.stacked)
	d.weakPart = section("ui-details-weak", weak)
	d.weakPart.SetShown(false)
	d.choices = container.New(&controls.Stack{Gap: 12})
	d.choicesPart = section("ui-details-choices", d.choices)
	section("ui-details-size", field(say("ui-details-width"), d.width), field(say("ui-details-height"), d.height), controls.NewPara(say("ui-details-aspect"), controls.Quiet))
	section("ui-details-blank", d.blank)
	section("ui-details-sheets", d.sheets)
	section("ui-details-base", d.base, d.baseWhy)
	section("ui-details-frame", d.frame, d.frameWhy, outfit.frame)
	section("ui-outfit-part", outfit.object)
	section("ui-details-limits", limits)
	d.notesPart = section("ui-details-notes", d.notes)
	d.column = container.New(&controls.Stack{Gap: 14}, chosen, d.ofJob)
	d.object = container.NewVScroll(container.New(&controls.Inset{X: 16, Y: 14}, d.column))
	return d
}

// show fills the panel from a job and its plan.
func (d *details) show(j job.Job, p *fit.Plan) {
	if m := slices.Index(frameModes, j.Settings.Frame.Mode); m >= 0 {
		d.frame.Choose(m)
	} else {
		d.frame.Choose(1) // on a sheet that was chosen: there is always one
	}
	if p == nil || p == d.shown && d.job.Settings.Units == j.Settings.Units {
		return
	}
	for _, u := range d.units {
		u.SetText(map[job.Units]string{job.Millimetres: "mm", job.Inches: "in"}[j.Settings.Units])
	}
	d.width.units, d.height.units = j.Settings.Units, j.Settings.Units
	d.shown, d.job = p, j
	w := wordsOf(j)
	d.width.set(p.Extent.Width())
	d.height.set(p.Extent.Height())
	d.frameWhy.SetText(w.Message(p.FrameReason))
	d.baseWhy.SetText(w.Message(p.BaseReason))
	d.showStacked(j, p)
	d.showBlank(j)
	d.base.RemoveAll()
	d.sheets.RemoveAll()
	for i := range p.Separations {
		if i == manySheets-2 && len(p.Separations) > manySheets && !d.allSheets {
			all := controls.NewAction("layers", say("ui-details-all", "count", words.Count(len(p.Separations))), "", d.unfold)
			d.sheets.Add(container.NewHBox(all))
			break
		}
		d.sheets.Add(sheetRow(wordsOf(j), i, &p.Separations[i]))
	}
	d.sheets.Add(container.NewHBox(controls.NewFramed("sheet", say("ui-menu-colours"), say("ui-colours-hint"), func() { d.onColours() })))
	if len(p.Separations) > 0 {
		name := controls.NewLine(words.Capital(words.Chosen().Put(p.Separations[0].Called())), controls.Text)
		name.Shrinks = true
		choose := controls.NewAction("", say("ui-choose"), say("ui-base-hint"), func() { d.onBase() })
		choose.Framed, choose.Height = true, 32
		d.base.Add(controls.NewDock(nil, nil, nil, choose, container.New(&controls.Lead{Gap: 10}, container.NewCenter(controls.NewSwatch(p.Separations[0].Colour, 22)), name)))
	} else {
		d.base.Add(controls.NewLine(say("ui-details-none"), controls.Quiet))
	}
	list := d.showChoices(notesOf(j, p))
	d.notes.RemoveAll()
	for i, n := range list {
		if i == maxNotes {
			d.notes.Add(controls.NewPara(say("ui-details-more", "count", words.Count(len(list)-i)), controls.Quiet))
			break
		}
		d.notes.Add(d.noteRow(n))
	}
	d.notesPart.SetShown(len(list) > 0)
	d.column.Refresh()
	d.object.Refresh()
}

// manySheets is how many sheets are listed before the list folds.
const manySheets = 10

func (d *details) unfold() {
	p := d.shown
	d.allSheets, d.shown = true, nil
	d.show(d.job, p)
}

// sheetRow shows one separation: its order, colour, name, pieces and area.
func sheetRow(in *words.Words, i int, s *fit.Separation) fyne.CanvasObject {
	n := controls.NewLine(strconv.Itoa(i+1), controls.Quiet)
	n.Align = fyne.TextAlignTrailing
	name := controls.NewLine(words.Capital(words.Chosen().Put(s.Called())), controls.Text)
	name.Shrinks = true
	what := say("ui-pieces", "count", words.Count(len(s.Pieces))) + " · " + in.Area(s.AreaMM2)
	amount := controls.NewLine(what, controls.Quiet)
	amount.Shrinks = true
	texts := container.New(&controls.Stack{}, name, amount)
	if s.CarryReason.ID != "" {
		texts.Add(controls.NewPara(in.Message(s.CarryReason), controls.Quiet))
	}
	lead := container.NewHBox(container.NewGridWrap(fyne.NewSize(20, 40), n), container.NewCenter(controls.NewSwatch(s.Colour, 22)))
	return container.New(&controls.Lead{Gap: 10}, lead, texts)
}

// note is something to know, with what can be done about it and, when it has
// one, its place on the board.
type note struct {
	text, remedy string
	at           *geometry.Point
	// about is what can be chosen about it.
	about job.Warning
}

// maxNotes is how many notes are listed: nobody reads more at a time, and laying
// hundreds out would be felt.
const maxNotes = 12

func notesOf(j job.Job, p *fit.Plan) []note {
	var out []note
	add := func(list []job.Warning) {
		for _, v := range list {
			text, remedy := wordsOf(j).Warning(v)
			out = append(out, note{text, remedy, v.At, v})
		}
	}
	beyond, cautions := session.Cautions(j, p)
	add(beyond)
	add(cautions)
	add(sheets.NearWhites(p, j))
	add(workshop.Warnings(j, p))
	return out
}

func (d *details) noteRow(n note) fyne.CanvasObject {
	var lead fyne.CanvasObject = controls.NewIcon(20, func() string { return "about" }, quietTone)
	if n.at != nil {
		at := *n.at
		lead = controls.NewIconPress("zoom-in", say("ui-details-place"), func() { d.onPlace(geometry.Rect{Min: at, Max: at}) })
	}
	texts := container.New(&controls.Stack{Gap: 2}, controls.NewPara(n.text, controls.Text), controls.NewPara(n.remedy, controls.Quiet))
	if list := d.onChoices(n.about, d.job); len(list) > 0 {
		texts.Add(choiceRow(list))
	}
	return container.New(&controls.Lead{Gap: 8}, container.NewVBox(lead), texts)
}

func quietTone() color.NRGBA { return theme.Current().Quiet }
