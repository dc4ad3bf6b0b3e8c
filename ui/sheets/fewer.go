package sheets

import (
	"image"
	"slices"
	"strconv"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/dialogs"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
)

// fewerDialog merges shades, with a picture of before and after.
type fewerDialog struct {
	*dialogs.Dialog
	h             *Host
	sheets        []drawer.Sheet
	most          *controls.Entry
	mine          *controls.Check
	before, after *canvas.Image
	heads         [2]*controls.Line
	list          *fyne.Container
	scroll        *container.Scroll
	wrong         *controls.Para
	use           *controls.Press
	anew          *controls.Check
	known         session.Fewer
	// hues are what was decided by hand; join asks for a pair.
	hues job.Hues
	join *fyne.Container
	stop func()
	// asked counts the questions: an answer to an older one comes too late.
	asked int
}

// thumbWide and thumbHigh are the size of the pictures where there is room.
const thumbWide, thumbHigh = 280, 190

// Fewer asks how many sheets the art is to be cut from.
func (h *Host) Fewer() {
	if !h.Session.Opened() {
		return
	}
	sheets, err := h.Session.Drawer()
	if err != nil {
		h.Trouble(err)
		return
	}
	d := &fewerDialog{Dialog: h.Desk.New(640, words.Say("ui-fewer-title")), h: h, sheets: sheets, stop: func() {}, hues: h.Session.Job().Settings.Hues}
	d.SetHelp("sheets-and-colours")
	now := 0
	if plan, _ := h.Session.Plan(); plan != nil {
		now = len(plan.Separations)
	}
	d.most = controls.NewEntry(strconv.Itoa(max(1, min(now, 6))))
	d.most.OnChanged = func(string) { d.ask() }
	d.mine = controls.NewCheck(words.Say("ui-fewer-mine"), func(bool) { d.ask() })
	plain := slices.ContainsFunc(sheets, func(s drawer.Sheet) bool { return s.Pattern == "" && s.Count != 0 })
	if !plain {
		d.mine.Disable()
	}
	if plain {
		d.mine.Checked = true
	}
	label := controls.NewLine(words.Say("ui-fewer-most"), controls.Text)
	d.Body.Add(controls.NewPara(words.Say("ui-fewer-hint"), controls.Quiet))
	d.Body.Add(container.NewHBox(container.NewCenter(label), container.NewGridWrap(fyne.NewSize(64, 36), d.most), container.NewCenter(d.mine)))
	pictures := container.NewHBox()
	for i, id := range []string{"ui-fewer-before", "ui-fewer-after"} {
		img := canvas.NewImageFromImage(image.NewRGBA(image.Rect(0, 0, 1, 1)))
		img.FillMode = canvas.ImageFillContain
		img.SetMinSize(fyne.NewSize(thumbWide, max(100, min(thumbHigh, h.Desk.Room().Height-550))))
		d.heads[i] = controls.NewCaption(words.Say(id))
		pictures.Add(container.New(&controls.Stack{Gap: 4}, d.heads[i], container.NewStack(controls.NewCard(controls.Ground, controls.Rule), container.New(&controls.Inset{X: 2, Y: 2}, img))))
		if i == 0 {
			d.before = img
		} else {
			d.after = img
		}
	}
	d.Body.Add(pictures)
	d.list = container.New(&controls.Stack{Gap: 4})
	d.scroll = controls.NewScroll(container.New(&controls.Inset{X: 6}, d.list))
	d.scroll.SetMinSize(fyne.NewSize(100, max(80, min(160, h.Desk.Room().Height-540))))
	d.Body.Add(d.scroll)
	d.join = container.New(&controls.Flow{Gap: 6})
	d.Body.Add(d.join)
	d.anew = h.newAnew()
	d.Body.Add(d.anew)
	d.wrong = controls.NewPara("", controls.Care)
	d.Body.Add(d.wrong)
	d.use = dialogs.Button(words.Say("ui-colours-use"), func() {
		d.stop()
		d.Close()
		h.assign(d.known.Choices, d.hues, d.anew.Checked)
	})
	d.OnCancel = func() { d.stop(); d.Close() }
	buttons := []*controls.Press{dialogs.Button(words.Say("ui-cancel"), d.Cancel), d.use}
	if now > 0 && !h.Session.State().EnoughSheets() {
		all := dialogs.Button(words.Say("ui-fewer-all", "count", words.Count(now)), func() {
			d.OnCancel()
			h.Session.AcceptSheets()
		})
		all.Hint = words.Say("ui-fewer-all-hint")
		buttons = slices.Insert(buttons, 1, all)
	}
	d.SetButtons(buttons...)
	d.Show(d.most)
	d.ask()
}

// ask works out what the entries say.
func (d *fewerDialog) ask() {
	d.stop()
	d.asked++
	asked := d.asked
	d.use.Disable()
	n, err := strconv.Atoi(d.most.Text)
	if d.most.Text == "" && d.mine.Checked {
		n, err = 0, nil // any number of those that are there
	}
	if err != nil || n < 0 || n == 0 && d.most.Text != "" {
		d.say(words.Say("ui-fewer-wrong"))
		return
	}
	var sheets []drawer.Sheet
	if d.mine.Checked {
		sheets = d.sheets
	}
	d.stop = d.h.Session.Fewer(n, sheets, d.hues, func(f session.Fewer, err error) {
		if asked != d.asked || !d.Shown() {
			return
		}
		if err != nil {
			if !fit.IsCancelled(err) {
				text, remedy := workshop.Explain(err)
				d.say(text + " " + remedy)
			}
			return
		}
		d.say("")
		d.known = f
		d.use.Enable()
		d.show()
	})
}

func (d *fewerDialog) say(text string) {
	if d.wrong.Text() != text {
		d.wrong.SetText(text)
		d.Fit()
	}
}

// calledIn is what the separation of a colour is called.
func calledIn(p *fit.Plan, c colour.RGB) string {
	for i := range p.Separations {
		if s := &p.Separations[i]; s.Colour == c {
			return words.Chosen().Put(s.Called())
		}
	}
	return words.Colour(colour.Word(c))
}

func (d *fewerDialog) show() {
	f := &d.known
	size := image.Pt(2*thumbWide, 2*thumbHigh)
	d.before.Image, d.after.Image = board.Thumbnail(f.Before, size), board.Thumbnail(f.After, size)
	d.before.Refresh()
	d.after.Refresh()
	for i, p := range []*fit.Plan{f.Before, f.After} {
		d.heads[i].SetText(words.Say([]string{"ui-fewer-before", "ui-fewer-after"}[i]) + " · " + words.Say("ui-sheets", "count", words.Count(len(p.Separations))))
	}
	d.list.RemoveAll()
	d.showByHand()
	for i := range f.Merged {
		if f.Merged[i].Colour != f.Merged[i].Sheet.Pressed { // only what changes
			d.list.Add(d.row(&f.Merged[i]))
		}
	}
	d.list.Refresh()
	d.scroll.Refresh()
	d.offerPairs()
	d.Fit()
}

// row says which sheet takes a colour, with what can be said against it.
func (d *fewerDialog) row(m *workshop.Merged) fyne.CanvasObject {
	name := words.Capital(d.called(m.Colour))
	sheet := m.Sheet.Name
	with, shared := d.sharing(m)
	if shared && with == m.Sheet.Pressed && !d.mine.Checked {
		sheet = words.Capital(d.called(with)) // as it is called while its like are still there: Blue 2
	}
	text := controls.NewLine(words.Say("ui-fewer-row", "name", name, "sheet", sheet, "likeness", likeness(m.Colour, m.Sheet.Pressed)), controls.Text)
	text.Shrinks = true
	lead := container.NewHBox(controls.NewSwatch(m.Colour, 20), controls.NewSwatch(m.Sheet.Pressed, 20))
	does := container.NewHBox(controls.NewMark("lock", words.Say("ui-fewer-lock", "name", name), func() { d.decide(d.hues.Lock(m.Colour, true)) }))
	if shared {
		hint := words.Say("ui-fewer-part", "name", name, "other", d.called(with))
		does.Add(controls.NewMark("split", hint, func() { d.decide(d.hues.Part(job.Pair{A: m.Colour, B: with})) }))
	}
	return rowOf(lead, text, does)
}

// rowOf lays a row out: swatches, words and what can be done, on one middle line.
func rowOf(swatches, text, does fyne.CanvasObject) fyne.CanvasObject {
	return controls.NewDock(nil, nil, container.New(&controls.Inset{X: 5}, container.NewCenter(swatches)), does, text)
}

// sharing returns a colour that is cut from the same sheet: the one that gave the
// sheet its colour, or else the first.
func (d *fewerDialog) sharing(m *workshop.Merged) (with colour.RGB, shared bool) {
	for _, o := range d.known.Merged {
		if o.Sheet == m.Sheet && o.Colour != m.Colour && (!shared || o.Colour == o.Sheet.Pressed) {
			with, shared = o.Colour, true
		}
	}
	return with, shared
}

// showByHand lists what was decided by hand, each to be taken back.
func (d *fewerDialog) showByHand() {
	line := func(back job.Hues, text string, colours ...colour.RGB) {
		lead := container.NewHBox()
		for _, c := range colours {
			lead.Add(controls.NewSwatch(c, 20))
		}
		says := controls.NewLine(text, controls.Text)
		says.Shrinks = true
		undo := controls.NewMark("undo", words.Say("ui-fewer-back"), func() { d.decide(back) })
		d.list.Add(rowOf(lead, says, undo))
	}
	for _, c := range d.hues.Locked {
		line(d.hues.Lock(c, false), words.Say("ui-fewer-locked", "name", words.Capital(d.called(c))), c)
	}
	pairs := func(id string, list []job.Pair) {
		for _, p := range list {
			line(d.hues.Free(p), words.Say(id, "name", words.Capital(d.called(p.A)), "other", d.called(p.B)), p.A, p.B)
		}
	}
	pairs("ui-fewer-together", d.hues.Together)
	pairs("ui-fewer-apart", d.hues.Apart)
}

// offerPairs offers to cut any two colours from one sheet.
func (d *fewerDialog) offerPairs() {
	d.join.RemoveAll()
	seps := d.known.Before.Separations
	if len(seps) < 2 {
		return
	}
	var names []string
	for i := range seps {
		names = append(names, words.Capital(words.Chosen().Put(seps[i].Called())))
	}
	one, other := controls.NewSelect(names, nil), controls.NewSelect(names, nil)
	join := controls.NewFramed("merge", words.Say("ui-fewer-join"), words.Say("ui-fewer-join-hint"), func() {
		d.decide(d.hues.Join(job.Pair{A: seps[one.SelectedIndex()].Colour, B: seps[other.SelectedIndex()].Colour}))
	})
	changed := func(string) {
		join.SetEnabled(one.SelectedIndex() >= 0 && other.SelectedIndex() >= 0 && one.SelectedIndex() != other.SelectedIndex())
	}
	one.PlaceHolder, other.PlaceHolder = words.Say("ui-fewer-one"), words.Say("ui-fewer-other")
	one.OnChanged, other.OnChanged = changed, changed
	changed("")
	d.join.Add(one)
	d.join.Add(other)
	d.join.Add(join)
	d.join.Refresh()
}

func (d *fewerDialog) called(c colour.RGB) string { return calledIn(d.known.Before, c) }

// decide takes over what was decided by hand, and asks anew.
func (d *fewerDialog) decide(h job.Hues) {
	d.hues = h
	d.ask()
}
