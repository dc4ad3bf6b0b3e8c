package sheets

import (
	"context"
	"image"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/entry"
)

// layoutDialog asks how what is cut is laid out, beside what comes of that, which can be
// changed by hand.
type layoutDialog struct {
	*dialogs.Dialog
	h             *Host
	l             *session.Layouter
	copies        *controls.Entry
	way, from     *controls.Choice
	roll, spacing *entry.Length
	width         *fyne.Container // the roll's, with its name
	how           *controls.Para
	view          *laidView
	left          *fyne.Container
	name, thing   *controls.Line
	before, after *controls.Press
	// What can be done by hand.
	pin, turned, free, again, undo, redo *controls.Press
	costs, wrong                         *controls.Para
	density                              *controls.Para
	use                                  *controls.Press
	// laid is what came last, nil before anything did, and at the sheet that is shown.
	laid *workshop.Laid
	at   int
	// asked is how it was asked for last, and keep where all lies that is to stay so.
	asked job.Layout
	keep  job.Laid
	// past is what lay where before each thing that was done by hand, and future what was
	// taken back of that.
	past, future []job.Laid
	// drawing stops the painting that is under way.
	drawing func()
}

// The second of two choices: how pieces lie, and what they are cut from.
const (
	loose    = 1
	fromRoll = 1
)

// layoutWide is how wide the dialog is, in units, and askedWide what is asked in it;
// layoutPx is how many pixels of its picture go on one: sharp on screens of twice the
// density.
const (
	layoutWide = 1080
	askedWide  = 276
	layoutPx   = 2
)

// LayOut asks how many copies there are and how they are laid out on sheets.
func (h *Host) LayOut() {
	l := h.Session.Layouter()
	if l == nil {
		return
	}
	l.Care = h.Care()
	d := &layoutDialog{Dialog: h.Desk.New(layoutWide, words.Say("ui-layout-title")), h: h, l: l, drawing: func() {}}
	d.SetHelp("copies-and-names")
	settings := h.Session.Job().Settings
	now := settings.Layout
	d.asked, d.keep = now, settings.Laid
	d.copies = controls.NewEntry(strconv.Itoa(max(1, now.Copies)))
	d.copies.OnChanged = func(string) { d.ask() }
	d.way = controls.NewChoice(func(i int) { d.way.Choose(i); d.ask() }, words.Say("ui-layout-together"), words.Say("ui-layout-loose"))
	d.from = controls.NewChoice(func(i int) { d.from.Choose(i); d.ask() }, words.Say("ui-layout-sheets"), words.Say("ui-layout-roll"))
	d.way.Fills, d.from.Fills = true, true
	d.roll, d.spacing = entry.NewLength(settings.Units), entry.NewLength(settings.Units)
	wide, _ := settings.SheetSize()
	d.roll.Set(wide)
	if now.RollMM > 0 {
		d.roll.Set(now.RollMM)
		d.from.Choose(fromRoll)
	}
	d.spacing.Set(workshop.DefaultGapMM)
	if now.SpacingMM > 0 {
		d.spacing.Set(now.SpacingMM)
	}
	if now.Loose {
		d.way.Choose(loose)
	}
	for _, e := range []*entry.Length{d.roll, d.spacing} {
		e.OnChanged = func(string) { d.ask() }
	}
	d.build()
	d.l.OnResult = d.came
	d.OnCancel = func() { d.leave(); d.Close() }
	d.Unsaved = func() bool { return len(d.past) > 0 }
	d.use = dialogs.Button(words.Say("ui-layout-use"), d.accept)
	buttons := []*controls.Press{dialogs.Button(words.Say("ui-cancel"), d.Cancel)}
	if now.On() {
		buttons = append(buttons, dialogs.Button(words.Say("ui-layout-off"), func() { d.end(job.Layout{}, job.Laid{}) }))
	}
	d.SetButtons(append(buttons, d.use)...)
	d.show()
	if settings.List != nil {
		d.Show(d.view)
	} else {
		d.Show(d.copies)
	}
	d.ask()
}

// build puts what is asked at the left and what comes of it beside that.
func (d *layoutDialog) build() {
	cell := func(id string, o fyne.CanvasObject) *fyne.Container {
		return container.New(&controls.Stack{Gap: 2}, controls.NewCaption(words.Say(id)), o)
	}
	short := func(o fyne.CanvasObject) fyne.CanvasObject { return container.NewGridWrap(fyne.NewSize(84, 36), o) }
	length := func(id string, e *entry.Length) *fyne.Container {
		unit := controls.NewLine(entry.UnitName(e.Units), controls.Quiet)
		return cell(id, container.NewHBox(short(e), container.NewCenter(unit)))
	}
	wide := canvas.NewRectangle(nil)
	wide.SetMinSize(fyne.NewSize(askedWide, 0))
	d.width = length("ui-layout-width", d.roll)
	d.how = controls.NewPara("", controls.Quiet)
	d.costs, d.density = controls.NewPara(words.Say("ui-layout-wait"), controls.Text), controls.NewPara("", controls.Quiet)
	d.wrong = controls.NewPara("", controls.Care)
	d.left = container.New(&controls.Stack{Gap: 10}, wide)
	if list := d.h.Session.Job().Settings.List; list != nil {
		d.copies.Hide()
		from := words.Say("ui-layout-names-typed", "count", words.Count(list.Count()))
		if list.File != "" {
			from = words.Say("ui-layout-names", "count", words.Count(list.Count()), "file", list.File)
		}
		names := controls.NewLine(from, controls.Text)
		names.Shrinks = true
		d.left.Add(cell("ui-layout-copies", container.New(&controls.Stack{Gap: 4}, names, container.NewHBox(controls.NewFramed("", words.Say("ui-layout-list"), "", d.list)))))
	} else {
		d.left.Add(cell("ui-layout-copies", container.NewHBox(short(d.copies), container.NewCenter(controls.NewFramed("", words.Say("ui-layout-from-list"), words.Say("ui-list-hint"), d.list)))))
	}
	row := container.New(&controls.Flow{Gap: 12}, d.width, length("ui-layout-spacing", d.spacing))
	for _, o := range []fyne.CanvasObject{cell("ui-layout-pieces", d.way), d.how, cell("ui-layout-from", d.from), row, controls.NewRule(), d.costs, d.density, d.wrong} {
		d.left.Add(o)
	}
	const around, others = 2*24 + askedWide + 20, 304 // margins and what is asked; title, lines and buttons
	room := d.h.Desk.Room()
	d.view = newLaidView(fyne.NewSize(min(layoutWide, room.Width-32)-around-16, max(180, min(520, room.Height-others))))
	d.view.onChoose, d.view.onMove, d.view.onFree, d.view.onCommand = d.told, d.move, d.keepFree, d.command
	d.name, d.thing = controls.NewLine("", controls.Text), controls.NewLine("", controls.Quiet)
	d.name.Shrinks, d.thing.Shrinks = true, true
	d.before = controls.NewFramed("", "‹", words.Say("ui-layout-earlier"), func() { d.leaf(-1) })
	d.after = controls.NewFramed("", "›", words.Say("ui-layout-later"), func() { d.leaf(1) })
	d.pin = controls.NewFramed("lock", words.Say("ui-layout-pin"), words.Say("ui-layout-pin-hint"), func() { d.command(pinIt) })
	d.turned = controls.NewFramed("turn-right", words.Say("ui-layout-turn"), words.Say("ui-layout-turn-hint"), func() { d.command(turnIt) })
	d.free = controls.NewFramed("rectangle", words.Say("ui-layout-free"), words.Say("ui-layout-free-hint"), func() { d.command(drawFree) })
	d.again = controls.NewFramed("sheet", words.Say("ui-layout-again"), words.Say("ui-layout-again-hint"), func() { d.command(layAgain) })
	d.undo = controls.NewIconPress("undo", words.Say("ui-undo"), func() { d.command(undoIt) })
	d.redo = controls.NewIconPress("redo", words.Say("ui-redo"), func() { d.command(redoIt) })
	tools := container.New(&controls.Flow{Gap: 8})
	for _, p := range []*controls.Press{d.pin, d.turned, d.free, d.again, d.undo, d.redo} {
		tools.Add(p)
	}
	said := container.New(&controls.Stack{Gap: 0}, d.name, d.thing)
	right := container.New(&controls.Stack{Gap: 8}, container.NewStack(controls.NewCard(controls.Ground, controls.Rule), container.New(&controls.Inset{X: 8, Y: 8}, d.view)),
		controls.NewDock(nil, nil, container.NewCenter(container.NewHBox(d.before, d.after)), nil, container.New(&controls.Inset{X: 8}, said)), tools)
	d.Body.Add(controls.NewDock(nil, nil, container.New(&controls.Inset{}, d.left), nil, container.New(&controls.Inset{X: 10}, right)))
}

// list goes on to the list of names; what was decided here is settled there.
func (d *layoutDialog) list() {
	d.leave()
	d.Close()
	d.h.List("")
}

// leave gives up what is under way.
func (d *layoutDialog) leave() {
	d.l.Stop()
	d.drawing()
}

// fit makes the dialog as high as it has to be.
func (d *layoutDialog) fit() {
	controls.Wrap(d.left, askedWide)
	d.Fit()
}

// typed is what is asked for, and whether that can be read.
func (d *layoutDialog) typed() (how job.Layout, ok bool) {
	n, err := strconv.Atoi(strings.TrimSpace(d.copies.Text))
	how = job.Layout{Copies: n, Loose: d.way.Chosen() == loose}
	if list := d.h.Session.Job().Settings.List; list != nil {
		how.Copies, err = 1, nil // of each row
	}
	ok = err == nil && how.Copies > 0
	if d.from.Chosen() == fromRoll {
		var is bool
		how.RollMM, is = d.roll.Parse()
		ok = ok && is
	}
	spacing, is := d.spacing.Parse()
	if spacing != workshop.DefaultGapMM {
		how.SpacingMM = spacing
	}
	_, err = job.SetLayout(job.Job{}, how)
	return how, ok && is && err == nil
}

// ask has it laid out as the entries say. Where they say something else than before, what
// was not decided by hand is laid out anew.
func (d *layoutDialog) ask() {
	d.leave()
	d.use.Disable()
	d.width.Hidden = d.from.Chosen() != fromRoll
	d.how.SetText(words.Say([]string{"ui-layout-how-together", "ui-layout-how-loose"}[d.way.Chosen()]))
	how, ok := d.typed()
	if !ok {
		d.refuse(words.Say("edit-bad-layout.remedy"))
		return
	}
	if how != d.asked {
		d.asked, d.keep, d.past, d.future = how, d.keep.Decided(), nil, nil
	}
	d.wrong.SetText("")
	d.costs.SetText(words.Say("ui-layout-wait"))
	d.density.SetText("")
	d.fit()
	d.l.Ask(how, d.keep)
}

// refuse says why nothing is laid out; there is nothing to see then.
func (d *layoutDialog) refuse(text string) {
	d.laid = nil
	d.wrong.SetText(text)
	d.costs.SetText("")
	d.density.SetText("")
	d.show()
	d.fit()
}

// came takes a layout.
func (d *layoutDialog) came(l workshop.Laid, _ bool, err error) {
	if err != nil {
		if !fit.IsCancelled(err) {
			text, remedy := workshop.Explain(err)
			d.refuse(strings.TrimSpace(text + " " + remedy))
		}
		return
	}
	d.laid, d.at = &l, min(d.at, len(l.Sheets)-1)
	d.costs.SetText(workshop.CostsLine(d.h.words(), l.ManifestLayout))
	d.density.SetText(workshop.DensityText(d.h.words(), l.ManifestLayout))
	d.use.Enable()
	d.show()
	d.fit()
}

// leaf shows another sheet.
func (d *layoutDialog) leaf(by int) {
	if d.laid != nil && d.at+by >= 0 && d.at+by < len(d.laid.Sheets) {
		d.at += by
		d.show()
	}
}

// show shows the sheet that it is at, or that there is none.
func (d *layoutDialog) show() {
	d.drawing()
	d.before.SetEnabled(d.laid != nil && d.at > 0)
	d.after.SetEnabled(d.laid != nil && d.at+1 < len(d.laid.Sheets))
	if d.laid == nil {
		d.name.SetText("")
		d.view.ShowSheet(nil, 0, nil)
		d.view.SetPicture(image.NewNRGBA(image.Rect(0, 0, 1, 1)))
		d.told()
		return
	}
	l, s := *d.laid, &d.laid.Sheets[d.at]
	d.name.SetText(words.Say("ui-layout-sheet", "name", l.Called(d.h.words(), d.at), "n", strconv.Itoa(d.at+1), "all", strconv.Itoa(len(l.Sheets)), "size", d.h.words().Size(s.SheetMM[0], s.SheetMM[1])))
	var free []job.LaidFree
	for _, f := range l.Kept().Free {
		if f.Sheet == d.at {
			free = append(free, f)
		}
	}
	d.view.ShowSheet(d.laid, d.at, free)
	d.told()
	size := image.Pt(int(d.view.size.Width*layoutPx), int(d.view.size.Height*layoutPx))
	d.drawing = session.Each(d.h.Session, []int{d.at}, func(_ context.Context, i int) (image.Image, error) {
		return l.Picture(i, size), nil
	}, func(_ int, picture image.Image, err error) {
		if err == nil {
			d.view.SetPicture(picture)
		}
	})
}

func (d *layoutDialog) accept() {
	if how, ok := d.typed(); ok && d.laid != nil {
		d.end(how, d.laid.Kept())
	}
}

// end has it laid out like that.
func (d *layoutDialog) end(how job.Layout, laid job.Laid) {
	d.leave()
	d.Close()
	d.l.Use(how, laid)
}
