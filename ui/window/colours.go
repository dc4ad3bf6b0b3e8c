package window

import (
	"cmp"
	"image"
	"slices"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// coloursDialog sends each of the art's colours to a sheet.
type coloursDialog struct {
	*dialogs.Dialog
	w       *Window
	sheets  []drawer.Sheet // of the drawer
	colours []workshop.ArtColour
	// choices are what the rows show.
	choices map[job.Colour]workshop.SheetChoice
	rows    *fyne.Container
	scroll  *container.Scroll
	anew    *widget.Check
	stop    func()
}

// askColours asks which sheet each of the art's colours is cut from.
func (w *Window) askColours() {
	if !w.session.Opened() {
		return
	}
	sheets, err := w.session.Drawer()
	if err != nil {
		w.trouble(err)
		return
	}
	d := &coloursDialog{Dialog: w.desk.New(720, say("ui-colours-title")), w: w, sheets: sheets}
	d.Body.Add(controls.NewPara(say("ui-colours-why"), controls.Quiet))
	d.rows = container.New(&controls.Stack{Gap: 10}, controls.NewPara(say("ui-task-colours"), controls.Quiet))
	d.scroll = container.NewVScroll(container.New(&controls.Inset{X: 6}, d.rows))
	d.scroll.SetMinSize(fyne.NewSize(100, max(160, min(400, w.win.Canvas().Size().Height-330))))
	d.Body.Add(d.scroll)
	closing := func() {
		d.stop()
		d.Close()
	}
	row := container.New(&controls.Flow{Gap: 6})
	if d.anyPlain() {
		row.Add(action("sheet", "ui-colours-nearest", say("ui-colours-nearest-hint"), d.nearest))
	}
	row.Add(action("", "ui-colours-own", say("ui-colours-own-hint"), d.own))
	row.Add(action("", "ui-menu-fewer", say("ui-fewer-hint"), func() { closing(); w.askFewer() }))
	row.Add(action("", "ui-menu-drawer", say("ui-drawer-why"), func() { closing(); w.askDrawer() }))
	d.Body.Add(row)
	d.anew = w.newAnew()
	d.Body.Add(d.anew)
	d.SetButtons(dialogs.Button(say("ui-cancel"), closing), dialogs.Button(say("ui-colours-use"), d.use))
	d.OnEscape = closing
	d.stop = w.session.ArtColours(func(c []workshop.ArtColour, err error) {
		if !d.Shown() {
			return
		}
		if err != nil {
			closing()
			w.trouble(err)
			return
		}
		d.colours = c
		d.choices = map[job.Colour]workshop.SheetChoice{}
		for _, x := range c {
			d.choices[x.Colour] = workshop.ChoiceOf(w.session.Job(), x.Colour)
		}
		d.show()
	})
	d.Show(nil)
}

func (d *coloursDialog) anyPlain() bool {
	return slices.ContainsFunc(d.sheets, func(s drawer.Sheet) bool { return s.Pattern == "" && there(s) })
}

// there: some of it is left, as far as anybody counts.
func there(s drawer.Sheet) bool { return s.Count != 0 || len(s.Offcuts) > 0 }

// offered are the sheets that a colour can go to, the nearest first: those of
// the drawer that are there, and those that the job has already.
func (d *coloursDialog) offered(c job.Colour) []job.Sheet {
	var out []job.Sheet
	add := func(s job.Sheet) {
		s.ID = 0
		if !slices.ContainsFunc(out, func(o job.Sheet) bool {
			return o.Name == s.Name && o.Pressed == s.Pressed && o.Unpressed == s.Unpressed // sizes may be newer
		}) {
			out = append(out, s)
		}
	}
	for _, s := range d.sheets {
		if there(s) {
			add(workshop.SheetOf(s))
		}
	}
	for _, choice := range d.choices {
		if choice.Sheet != nil {
			add(*choice.Sheet)
		}
	}
	slices.SortStableFunc(out, func(a, b job.Sheet) int {
		return cmp.Or(cmp.Compare(c.DeltaE(a.Pressed), c.DeltaE(b.Pressed)), cmp.Compare(a.Name, b.Name))
	})
	return out
}

// likeness says how near a sheet comes to a colour: "close (ΔE 3.2)".
func likeness(a, b job.Colour) string {
	delta := a.DeltaE(b)
	return say("ui-likeness", "word", workshop.Likeness(delta), "delta", words.Number(delta))
}

func (d *coloursDialog) show() {
	d.rows.RemoveAll()
	for _, c := range d.colours {
		d.rows.Add(d.row(c))
	}
	if len(d.colours) == 0 {
		d.rows.Add(controls.NewPara(say("ui-details-none"), controls.Quiet))
	}
	controls.Wrap(d.rows, d.scroll.Size().Width-12)
	d.rows.Refresh()
	d.scroll.Refresh()
}

func (d *coloursDialog) row(c workshop.ArtColour) fyne.CanvasObject {
	sheets := d.offered(c.Colour)
	labels := []string{say("ui-colours-own-sheet"), say("ui-colours-bare")}
	for _, s := range sheets {
		label := s.Name + " · " + likeness(c.Colour, s.Pressed)
		for slices.Contains(labels, label) {
			label += " "
		}
		labels = append(labels, label)
	}
	choice := d.choices[c.Colour]
	at := 0
	switch {
	case choice.Bare:
		at = 1
	case choice.Sheet != nil:
		own := *choice.Sheet
		own.ID = 0
		at = 2 + slices.Index(sheets, own)
	}
	pick := widget.NewSelect(labels, nil)
	pick.SetSelectedIndex(at)
	pick.OnChanged = func(string) {
		switch i := pick.SelectedIndex(); {
		case i == 0:
			d.choices[c.Colour] = workshop.SheetChoice{}
		case i == 1:
			d.choices[c.Colour] = workshop.SheetChoice{Bare: true}
		case i > 1:
			d.choices[c.Colour] = workshop.SheetChoice{Sheet: &sheets[i-2]}
		}
		d.show()
	}
	name := controls.NewLine(capital(c.Name), controls.Text)
	name.Shrinks = true
	facts := controls.NewLine(c.Colour.String()+" · "+d.w.words().Area(c.AreaMM2), controls.Quiet)
	facts.Shrinks = true
	to := controls.NewSwatch(c.Colour, 22)
	if choice.Sheet != nil {
		to.Colour = choice.Sheet.Pressed
	} else if choice.Bare {
		to.Colour, to.Bare = d.w.session.Job().Settings.BlankColour(), true
	}
	left := container.New(&controls.Lead{Gap: 10}, container.NewCenter(controls.NewSwatch(c.Colour, 22)),
		container.New(&controls.Stack{}, name, facts))
	right := container.New(&controls.Lead{Gap: 10}, container.NewCenter(to), container.NewVBox(pick))
	line := container.NewGridWithColumns(2, left, right)
	if note := d.note(c.Colour, choice); note != nil {
		return container.New(&controls.Stack{Gap: 4}, line, note)
	}
	return line
}

// note says why white stays bare, and proposes the same for what is nearly
// white.
func (d *coloursDialog) note(c job.Colour, choice workshop.SheetChoice) fyne.CanvasObject {
	switch {
	case choice.Bare && d.w.session.Job().Settings.Bare.LeavesBare(c):
		return controls.NewPara(say("ui-colours-white"), controls.Quiet)
	case nearlyWhite(c) && !choice.Bare && choice.Sheet == nil:
		leave := action("bare", "ui-colours-bare", "", func() {
			d.choices[c] = workshop.SheetChoice{Bare: true}
			d.show()
		})
		return controls.NewDock(nil, nil, nil, container.NewCenter(leave),
			controls.NewPara(say("near-white", "name", capital(words.Colour(fit.ColourWord(c))), "colour", c.String(), "delta", words.Number(c.DeltaE(job.White))), controls.Quiet))
	}
	return nil
}

// nearWhiteDeltaE is how far from white a colour may be to be proposed as bare:
// three times what is left bare without a word (common practice knows no
// figure).
const nearWhiteDeltaE = 3 * job.BareDeltaE

func nearlyWhite(c job.Colour) bool {
	d := c.DeltaE(job.White)
	return d > job.BareDeltaE && d <= nearWhiteDeltaE
}

// nearWhites proposes to leave bare what is cut although it is nearly white.
func nearWhites(p *fit.Plan, j job.Job) []job.Warning {
	var out []job.Warning
	for i := range p.Separations {
		s := &p.Separations[i]
		if _, chosen := j.Assign[s.Colour]; !chosen && nearlyWhite(s.Colour) && len(s.Pieces) > 0 {
			at := p.Pieces[s.Pieces[0]].Inside
			out = append(out, job.Warning{At: &at, Message: job.Message{ID: "near-white", Args: map[string]string{
				"name": capital(called(s)), "colour": s.Colour.String(), "delta": words.Number(s.Colour.DeltaE(job.White)),
			}}})
		}
	}
	return out
}

// nearest sends every colour that is cut to the nearest plain sheet that is
// there.
func (d *coloursDialog) nearest() {
	for _, c := range d.colours {
		if d.choices[c.Colour].Bare {
			continue
		}
		var best *job.Sheet
		for _, s := range d.sheets {
			if s.Pattern == "" && there(s) && (best == nil || c.Colour.DeltaE(s.Pressed) < c.Colour.DeltaE(best.Pressed)) {
				sheet := workshop.SheetOf(s)
				best = &sheet
			}
		}
		d.choices[c.Colour] = workshop.SheetChoice{Sheet: best}
	}
	d.show()
}

// own sends every colour that is cut to a sheet of its own.
func (d *coloursDialog) own() {
	for c, choice := range d.choices {
		if !choice.Bare {
			d.choices[c] = workshop.SheetChoice{}
		}
	}
	d.show()
}

// use takes the choices over.
func (d *coloursDialog) use() {
	d.Close()
	d.w.assign(d.choices, d.anew.Checked)
}

// newAnew asks whether everything is to be mended anew; without mends it is
// neither there nor on.
func (w *Window) newAnew() *widget.Check {
	c := widget.NewCheck(say("ui-colours-anew"), nil)
	plan, _ := w.session.Plan()
	c.Checked = plan != nil && slices.ContainsFunc(plan.Mends, func(m fit.MadeMend) bool { return !m.ByHand })
	c.Hidden = !c.Checked
	return c
}

// assign makes the choices one step, if there is anything new about them.
func (w *Window) assign(choices map[job.Colour]workshop.SheetChoice, anew bool) {
	j := w.session.Job()
	fresh := map[job.Colour]workshop.SheetChoice{}
	for c, choice := range choices {
		was := workshop.ChoiceOf(j, c)
		same := was.Bare == choice.Bare && (was.Sheet == nil) == (choice.Sheet == nil)
		if same && was.Sheet != nil {
			a, b := *was.Sheet, *choice.Sheet
			a.ID, b.ID = 0, 0
			same = a == b
		}
		if !same {
			fresh[c] = choice
		}
	}
	if len(fresh) == 0 {
		return
	}
	if err := w.session.Assign(choices, anew); err != nil {
		w.trouble(err)
	}
}

// fewerDialog merges shades, with a picture of before and after.
type fewerDialog struct {
	*dialogs.Dialog
	w             *Window
	sheets        []drawer.Sheet
	most          *dialogs.Entry
	mine          *widget.Check
	before, after *canvas.Image
	heads         [2]*controls.Line
	list          *fyne.Container
	scroll        *container.Scroll
	wrong         *controls.Para
	use           *controls.Press
	anew          *widget.Check
	known         session.Fewer
	stop          func()
	// asked counts the questions: an answer to an older one comes too late.
	asked int
}

const thumbWide, thumbHigh = 280, 190

// askFewer asks how many sheets the art is to be cut from.
func (w *Window) askFewer() {
	if !w.session.Opened() {
		return
	}
	sheets, err := w.session.Drawer()
	if err != nil {
		w.trouble(err)
		return
	}
	d := &fewerDialog{Dialog: w.desk.New(640, say("ui-fewer-title")), w: w, sheets: sheets, stop: func() {}}
	now := 0
	if plan, _ := w.session.Plan(); plan != nil {
		now = len(plan.Separations)
	}
	d.most = d.NewEntry(strconv.Itoa(max(1, min(now, 6))))
	d.most.OnChanged = func(string) { d.ask() }
	d.mine = widget.NewCheck(say("ui-fewer-mine"), func(bool) { d.ask() })
	plain := slices.ContainsFunc(sheets, func(s drawer.Sheet) bool { return s.Pattern == "" && s.Count != 0 })
	enable(d.mine, plain)
	if plain {
		d.mine.Checked = true
	}
	label := controls.NewLine(say("ui-fewer-most"), controls.Text)
	d.Body.Add(controls.NewPara(say("ui-fewer-hint"), controls.Quiet))
	d.Body.Add(container.NewHBox(container.NewCenter(label), container.NewGridWrap(fyne.NewSize(64, 36), d.most), container.NewCenter(d.mine)))
	pictures := container.NewHBox()
	for i, id := range []string{"ui-fewer-before", "ui-fewer-after"} {
		img := canvas.NewImageFromImage(image.NewRGBA(image.Rect(0, 0, 1, 1)))
		img.FillMode = canvas.ImageFillContain
		img.SetMinSize(fyne.NewSize(thumbWide, thumbHigh))
		d.heads[i] = controls.NewLine(say(id), controls.Quiet)
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
	d.scroll.SetMinSize(fyne.NewSize(100, max(80, min(160, w.win.Canvas().Size().Height-500))))
	d.Body.Add(d.scroll)
	d.anew = w.newAnew()
	d.Body.Add(d.anew)
	d.wrong = controls.NewPara("", controls.Care)
	d.Body.Add(d.wrong)
	d.use = dialogs.Button(say("ui-colours-use"), func() {
		d.stop()
		d.Close()
		w.assign(d.known.Choices, d.anew.Checked)
	})
	closing := func() { d.stop(); d.Close() }
	d.SetButtons(dialogs.Button(say("ui-cancel"), closing), d.use)
	d.OnEscape = closing
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
		d.say(say("ui-fewer-wrong"))
		return
	}
	var sheets []drawer.Sheet
	if d.mine.Checked {
		sheets = d.sheets
	}
	d.stop = d.w.session.Fewer(n, sheets, func(f session.Fewer, err error) {
		if asked != d.asked || !d.Shown() {
			return
		}
		if err != nil {
			if !fit.IsCancelled(err) {
				text, remedy := explain(err)
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

func (d *fewerDialog) show() {
	f := &d.known
	size := image.Pt(2*thumbWide, 2*thumbHigh)
	d.before.Image, d.after.Image = board.Thumbnail(f.Before, size), board.Thumbnail(f.After, size)
	d.before.Refresh()
	d.after.Refresh()
	for i, p := range []*fit.Plan{f.Before, f.After} {
		d.heads[i].SetText(say([]string{"ui-fewer-before", "ui-fewer-after"}[i]) + " · " + say("ui-sheets", "count", words.Count(len(p.Separations))))
	}
	d.list.RemoveAll()
	for _, m := range f.Merged {
		text := controls.NewLine(say("ui-fewer-row", "name", capital(words.Colour(fit.ColourWord(m.Colour))), "sheet", m.Sheet.Name, "likeness", likeness(m.Colour, m.Sheet.Pressed)), controls.Text)
		text.Shrinks = true
		lead := container.NewHBox(controls.NewSwatch(m.Colour, 20), controls.NewSwatch(m.Sheet.Pressed, 20))
		d.list.Add(container.New(&controls.Lead{Gap: 10}, lead, text))
	}
	d.list.Refresh()
	d.scroll.Refresh()
}
