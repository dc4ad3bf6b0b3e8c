package sheets

import (
	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"image"
	"slices"
	"strconv"

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
	stop          func()
	// asked counts the questions: an answer to an older one comes too late.
	asked int
}

// thumbWide and thumbHigh are the size of the pictures where there is room.
const thumbWide, thumbHigh = 280, 190

// askFewer asks how many sheets the art is to be cut from.
func (h *Host) Fewer() {
	if !h.Session.Opened() {
		return
	}
	sheets, err := h.Session.Drawer()
	if err != nil {
		h.Trouble(err)
		return
	}
	d := &fewerDialog{Dialog: h.Desk.New(640, words.Say("ui-fewer-title")), h: h, sheets: sheets, stop: func() {}}
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
	d.scroll = container.NewVScroll(container.New(&controls.Inset{X: 6}, d.list))
	d.scroll.SetMinSize(fyne.NewSize(100, max(80, min(160, h.Desk.Room().Height-540))))
	d.Body.Add(d.scroll)
	d.anew = h.newAnew()
	d.Body.Add(d.anew)
	d.wrong = controls.NewPara("", controls.Care)
	d.Body.Add(d.wrong)
	d.use = dialogs.Button(words.Say("ui-colours-use"), func() {
		d.stop()
		d.Close()
		h.assign(d.known.Choices, d.anew.Checked)
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
	d.stop = d.h.Session.Fewer(n, sheets, func(f session.Fewer, err error) {
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
	for _, m := range f.Merged {
		if m.Colour == m.Sheet.Pressed && !d.mine.Checked {
			continue // only what changes
		}
		text := controls.NewLine(words.Say("ui-fewer-row", "name", words.Capital(calledIn(f.Before, m.Colour)), "sheet", m.Sheet.Name, "likeness", likeness(m.Colour, m.Sheet.Pressed)), controls.Text)
		text.Shrinks = true
		lead := container.NewHBox(controls.NewSwatch(m.Colour, 20), controls.NewSwatch(m.Sheet.Pressed, 20))
		d.list.Add(container.New(&controls.Lead{Gap: 10}, lead, text))
	}
	d.list.Refresh()
	d.scroll.Refresh()
}
