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

// layoutDialog asks how what is cut is laid out, beside what comes of that.
type layoutDialog struct {
	*dialogs.Dialog
	h             *Host
	l             *session.Layouter
	copies        *controls.Entry
	way, from     *controls.Choice
	roll, spacing *entry.Length
	width         *fyne.Container // the roll's, with its name
	how           *controls.Para
	picture       *canvas.Image
	room          fyne.Size
	name          *controls.Line
	before, after *controls.Press
	costs, wrong  *controls.Para
	use           *controls.Press
	// laid is what came last, nil before anything did, and at the sheet that is shown.
	laid *workshop.Laid
	at   int
	// drawing stops the painting that is under way.
	drawing func()
}

// The second of two choices: how pieces lie, and what they are cut from.
const (
	loose    = 1
	fromRoll = 1
)

// layoutWide is how wide the dialog is, in units, and layoutPx how many pixels of its
// picture go on one: sharp on screens of twice the density.
const (
	layoutWide = 860
	layoutPx   = 2
)

// LayOut asks how many copies there are and how they are laid out on sheets.
func (h *Host) LayOut() {
	l := h.Session.Layouter()
	if l == nil {
		return
	}
	d := &layoutDialog{Dialog: h.Desk.New(layoutWide, words.Say("ui-layout-title")), h: h, l: l, drawing: func() {}}
	d.SetHelp("sheets-and-colours")
	settings := h.Session.Job().Settings
	now := settings.Layout
	d.copies = controls.NewEntry(strconv.Itoa(max(1, now.Copies)))
	d.copies.OnChanged = func(string) { d.ask() }
	d.way = controls.NewChoice(func(i int) { d.way.Choose(i); d.ask() }, words.Say("ui-layout-together"), words.Say("ui-layout-loose"))
	d.from = controls.NewChoice(func(i int) { d.from.Choose(i); d.ask() }, words.Say("ui-layout-sheets"), words.Say("ui-layout-roll"))
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
	cell := func(id string, o fyne.CanvasObject) *fyne.Container {
		return container.New(&controls.Stack{Gap: 2}, controls.NewCaption(words.Say(id)), o)
	}
	short := func(o fyne.CanvasObject) fyne.CanvasObject { return container.NewGridWrap(fyne.NewSize(84, 36), o) }
	length := func(id string, e *entry.Length) *fyne.Container {
		unit := controls.NewLine(entry.UnitName(e.Units), controls.Quiet)
		return cell(id, container.NewHBox(short(e), container.NewCenter(unit)))
	}
	d.width = length("ui-layout-width", d.roll)
	row := container.New(&controls.Flow{Gap: 16})
	for _, o := range []fyne.CanvasObject{
		cell("ui-layout-copies", short(d.copies)), cell("ui-layout-pieces", d.way), cell("ui-layout-from", d.from), d.width, length("ui-layout-spacing", d.spacing),
	} {
		row.Add(o)
	}
	d.how = controls.NewPara("", controls.Quiet)
	const others = 440 // all but the picture
	d.room = fyne.NewSize(min(layoutWide, h.Desk.Room().Width-32)-64, max(150, min(420, h.Desk.Room().Height-others)))
	d.picture = canvas.NewImageFromImage(image.NewNRGBA(image.Rect(0, 0, 1, 1)))
	d.picture.FillMode = canvas.ImageFillContain
	d.picture.SetMinSize(fyne.NewSize(100, d.room.Height))
	d.name = controls.NewLine("", controls.Text)
	d.name.Shrinks = true
	d.before = controls.NewFramed("", "‹", words.Say("ui-layout-earlier"), func() { d.turn(-1) })
	d.after = controls.NewFramed("", "›", words.Say("ui-layout-later"), func() { d.turn(1) })
	d.costs, d.wrong = controls.NewPara(words.Say("ui-layout-wait"), controls.Text), controls.NewPara("", controls.Care)
	for _, o := range []fyne.CanvasObject{
		row, d.how, container.NewStack(controls.NewCard(controls.Ground, controls.Rule), container.New(&controls.Inset{X: 8, Y: 8}, d.picture)),
		container.NewBorder(nil, nil, container.NewHBox(d.before, d.after), nil, container.New(&controls.Inset{X: 8, Y: 6}, d.name)), d.costs, d.wrong,
	} {
		d.Body.Add(o)
	}
	d.l.OnResult = d.came
	d.OnCancel = func() { d.leave(); d.Close() }
	d.use = dialogs.Button(words.Say("ui-layout-use"), d.accept)
	buttons := []*controls.Press{dialogs.Button(words.Say("ui-cancel"), d.Cancel)}
	if now.On() {
		buttons = append(buttons, dialogs.Button(words.Say("ui-layout-off"), func() { d.end(job.Layout{}) }))
	}
	d.SetButtons(append(buttons, d.use)...)
	d.show()
	d.Show(d.copies)
	d.copies.TypedShortcut(&fyne.ShortcutSelectAll{})
	d.ask()
}

// leave gives up what is under way.
func (d *layoutDialog) leave() {
	d.l.Stop()
	d.drawing()
}

// typed is what is asked for, and whether that can be read.
func (d *layoutDialog) typed() (how job.Layout, ok bool) {
	n, err := strconv.Atoi(strings.TrimSpace(d.copies.Text))
	how = job.Layout{Copies: n, Loose: d.way.Chosen() == loose}
	ok = err == nil && n > 0
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

// ask has it laid out as the entries say.
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
	d.wrong.SetText("")
	d.costs.SetText(words.Say("ui-layout-wait"))
	d.Fit()
	d.l.Ask(how)
}

// refuse says why nothing is laid out; there is nothing to see then.
func (d *layoutDialog) refuse(text string) {
	d.laid = nil
	d.wrong.SetText(text)
	d.costs.SetText("")
	d.show()
	d.Fit()
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
	d.use.Enable()
	d.show()
	d.Fit()
}

// turn shows another sheet.
func (d *layoutDialog) turn(by int) {
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
		d.picture.Image = image.NewNRGBA(image.Rect(0, 0, 1, 1))
		d.picture.Refresh()
		return
	}
	l, s := *d.laid, &d.laid.Sheets[d.at]
	d.name.SetText(words.Say("ui-layout-sheet", "name", l.Called(d.h.words(), d.at), "n", strconv.Itoa(d.at+1), "all", strconv.Itoa(len(l.Sheets)), "size", d.h.words().Size(s.SheetMM[0], s.SheetMM[1])))
	size := image.Pt(int(d.room.Width*layoutPx), int(d.room.Height*layoutPx))
	d.drawing = session.Each(d.h.Session, []int{d.at}, func(_ context.Context, i int) (image.Image, error) {
		return l.Picture(i, size), nil
	}, func(_ int, picture image.Image, err error) {
		if err == nil {
			d.picture.Image = picture
			d.picture.Refresh()
		}
	})
}

func (d *layoutDialog) accept() {
	if how, ok := d.typed(); ok && d.laid != nil {
		d.end(how)
	}
}

// end has it laid out like that.
func (d *layoutDialog) end(how job.Layout) {
	d.leave()
	d.Close()
	d.l.Use(how)
}
