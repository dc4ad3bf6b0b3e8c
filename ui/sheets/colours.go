package sheets

import (
	"cmp"
	"reflect"
	"slices"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// coloursDialog sends each of the art's colours to a sheet.
type coloursDialog struct {
	*dialogs.Dialog
	h       *Host
	sheets  []drawer.Sheet // of the drawer
	colours []workshop.ArtColour
	// choices are what the rows show.
	choices map[colour.RGB]workshop.SheetChoice
	rows    *fyne.Container
	scroll  *container.Scroll
	anew    *controls.Check
	stop    func()
}

// Colours asks which sheet each of the art's colours is cut from.
func (h *Host) Colours() {
	if !h.Session.Opened() {
		return
	}
	sheets, err := h.Session.Drawer()
	if err != nil {
		h.Trouble(err)
		return
	}
	d := &coloursDialog{Dialog: h.Desk.New(720, words.Say("ui-colours-title")), h: h, sheets: sheets}
	d.SetHelp("sheets-and-colours")
	d.Body.Add(controls.NewPara(words.Say("ui-colours-why"), controls.Quiet))
	d.rows = container.New(&controls.Stack{Gap: 10}, controls.NewPara(words.Say("ui-task-colours"), controls.Quiet))
	d.scroll = controls.NewScroll(container.New(&controls.Inset{X: 6}, d.rows))
	d.Body.Add(d.scroll)
	closing := func() {
		d.stop()
		d.Close()
	}
	row := container.New(&controls.Flow{Gap: 6})
	if d.anyPlain() {
		row.Add(controls.NewFramed("sheet", words.Say("ui-colours-nearest"), words.Say("ui-colours-nearest-hint"), d.nearest))
	}
	row.Add(controls.NewFramed("", words.Say("ui-colours-own"), words.Say("ui-colours-own-hint"), d.own))
	row.Add(controls.NewFramed("", words.Say("ui-menu-fewer"), words.Say("ui-fewer-hint"), func() { closing(); h.Fewer() }))
	row.Add(controls.NewFramed("", words.Say("ui-menu-drawer"), words.Say("ui-drawer-why"), func() { closing(); h.Drawer() }))
	d.Body.Add(row)
	d.anew = h.newAnew()
	d.Body.Add(d.anew)
	d.SetButtons(dialogs.Button(words.Say("ui-cancel"), d.Cancel), dialogs.Button(words.Say("ui-colours-use"), d.use))
	d.OnCancel = closing
	d.stop = h.Session.ArtColours(func(c []workshop.ArtColour, err error) {
		if !d.Shown() {
			return
		}
		if err != nil {
			closing()
			h.Trouble(err)
			return
		}
		d.colours = c
		d.choices = map[colour.RGB]workshop.SheetChoice{}
		for _, x := range c {
			d.choices[x.Colour] = workshop.ChoiceOf(h.Session.Job(), x.Colour)
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
func (d *coloursDialog) offered(c colour.RGB) []job.Sheet {
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

// likeness says how near a sheet comes to a colour: "very similar".
func likeness(a, b colour.RGB) string { return workshop.Likeness(a.DeltaE(b)) }

func (d *coloursDialog) show() {
	d.rows.RemoveAll()
	for _, c := range d.colours {
		d.rows.Add(d.row(c))
	}
	if len(d.colours) == 0 {
		d.rows.Add(controls.NewPara(words.Say("ui-details-none"), controls.Quiet))
	}
	controls.Wrap(d.rows, d.scroll.Size().Width-12)
	most := max(160, min(400, d.h.Desk.Room().Height-330)) // all else in the dialog, with margins
	d.scroll.SetMinSize(fyne.NewSize(100, min(d.rows.MinSize().Height+4, most)))
	d.rows.Refresh()
	d.scroll.Refresh()
	d.Fit()
}

func (d *coloursDialog) row(c workshop.ArtColour) fyne.CanvasObject {
	sheets := d.offered(c.Colour)
	labels := []string{words.Say("ui-colours-own-sheet"), words.Say("ui-colours-bare")}
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
	pick := controls.NewSelect(labels, nil)
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
	name := controls.NewLine(words.Capital(c.Name), controls.Text)
	name.Shrinks = true
	facts := controls.NewCaption(d.h.words().Area(c.AreaMM2))
	facts.Shrinks = true
	to := controls.NewSwatch(c.Colour, 22)
	if choice.Sheet != nil {
		to.Colour = choice.Sheet.Pressed
	} else if choice.Bare {
		to.Colour, to.Bare = d.h.Session.Job().Settings.BlankColour(), true
	}
	left := container.New(&controls.Lead{Gap: 10}, container.NewCenter(controls.NewSwatch(c.Colour, 22)),
		container.New(&controls.Stack{}, name, facts))
	right := container.New(&controls.Lead{Gap: 10}, container.NewCenter(to), container.NewVBox(pick))
	line := container.NewGridWithColumns(2, left, right)
	if note := d.note(c, choice); note != nil {
		return container.New(&controls.Stack{Gap: 4}, line, note)
	}
	return line
}

// note says why white stays bare, and proposes the same for what is nearly
// white.
func (d *coloursDialog) note(art workshop.ArtColour, choice workshop.SheetChoice) fyne.CanvasObject {
	c := art.Colour
	switch {
	case choice.Bare && d.h.Session.Job().Settings.Bare.LeavesBare(c):
		return controls.NewPara(words.Say("ui-colours-white"), controls.Quiet)
	case session.NearlyWhite(c) && !choice.Bare && choice.Sheet == nil:
		leave := controls.NewFramed("bare", words.Say("ui-colours-bare"), "", func() {
			d.choices[c] = workshop.SheetChoice{Bare: true}
			d.show()
		})
		return controls.NewDock(nil, nil, nil, container.NewCenter(leave),
			controls.NewPara(words.Say("near-white", "name", words.Capital(art.Name)), controls.Quiet))
	}
	return nil
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
	d.h.assign(d.choices, d.h.Session.Job().Settings.Hues, d.anew.Checked)
}

// newAnew asks whether everything is to be mended anew; without mends it is
// neither there nor on.
func (h *Host) newAnew() *controls.Check {
	c := controls.NewCheck(words.Say("ui-colours-anew"), nil)
	plan, _ := h.Session.Plan()
	c.Checked = plan != nil && slices.ContainsFunc(plan.Mends, func(m fit.MadeMend) bool { return !m.ByHand })
	c.Hidden = !c.Checked
	return c
}

// assign makes the choices one step with what was decided by hand, if there is
// anything new about them.
func (h *Host) assign(choices map[colour.RGB]workshop.SheetChoice, hues job.Hues, anew bool) {
	j := h.Session.Job()
	fresh := map[colour.RGB]workshop.SheetChoice{}
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
	if len(fresh) == 0 && reflect.DeepEqual(hues, j.Settings.Hues) {
		return
	}
	if err := h.Session.Assign(choices, hues, anew); err != nil {
		h.Trouble(err)
	}
}
