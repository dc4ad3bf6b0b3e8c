package sheets

import (
	"slices"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/layout"
	"abut/internal/message"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/theme"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// MarkCut asks whether what is cut now is to be taken from the drawer.
func (h *Host) MarkCut() {
	plan, exact := h.Session.Plan()
	if !h.Session.Opened() || plan == nil || !exact || len(plan.Separations) == 0 {
		return
	}
	switch s := h.Session.Job().Settings; {
	case s.Layout.On():
		if dir := h.Session.ExportedTo(); dir != "" {
			if err := workshop.Untaken(dir); err != nil {
				h.Trouble(err)
				return
			}
		}
		h.Session.Laid(h.markLaid)
		return
	case s.List != nil:
		h.Trouble(&workshop.Error{Message: message.Message{ID: "mark-rows"}})
		return
	}
	sheets, err := h.Session.Drawer()
	var trims []workshop.Trim
	cut := h.Session.Cut()
	if err == nil {
		trims, err = workshop.Trims(cut)
	}
	if err != nil {
		h.Trouble(err)
		return
	}
	rows := container.New(&controls.Stack{Gap: 8})
	taken := 0
	var cost cost
	for k, t := range trims {
		var text string
		i := slices.IndexFunc(sheets, func(s drawer.Sheet) bool { return s.Name == t.Name && s.Pressed == t.Colour })
		if i < 0 {
			text = words.Say("ui-cut-unknown")
			cost.unknown = true
		} else {
			var got drawer.Taken
			price := sheets[i].Price
			sheets, got = drawer.Take(sheets, i, t.WidthMM, t.HeightMM)
			text = workshop.TakenText(h.words(), got)
			if !got.Missing {
				taken++
			}
			cost.add(got, price)
		}
		rows.Add(h.takenRow(t.Colour, words.Capital(words.Chosen().Put(cut.Separations[k].Called())), t.WidthMM, t.HeightMM, text))
	}
	h.askTaken(rows, taken, cost, func() error { return h.Session.SetDrawer(sheets) })
}

// markLaid asks whether what a layout is cut from is to be taken from the drawer.
func (h *Host) markLaid(l workshop.Laid) {
	before, err := h.Session.Drawer()
	if err != nil {
		h.Trouble(err)
		return
	}
	sheets, all, _ := workshop.TakeLayout(l.ManifestLayout, before)
	rows := container.New(&controls.Stack{Gap: 8})
	taken := 0
	var cost cost
	for i, t := range all {
		text := workshop.TakenText(h.words(), t.Taken)
		switch {
		case t.Kind == layout.Roll:
			text = words.Say("cli-mark-roll")
			cost.unknown = true
		case t.Unknown:
			text = words.Say("ui-cut-unknown")
			cost.unknown = true
		default:
			cost.add(t.Taken, price(before, t.Name, l.Colour(i)))
			if !t.Missing {
				taken++
			}
		}
		rows.Add(h.takenRow(l.Colour(i), l.Called(h.words(), i), t.SizeMM[0], t.SizeMM[1], text))
	}
	h.askTaken(rows, taken, cost, func() error {
		take := func() error { return h.Session.SetDrawer(sheets) }
		if dir := h.Session.ExportedTo(); dir != "" {
			return workshop.NoteTaken(dir, all, take)
		}
		return take()
	})
}

// price is that of a kind of sheet, 0 where it is not known.
func price(sheets []drawer.Sheet, name string, c colour.RGB) float64 {
	for _, s := range sheets {
		if s.Name == name && s.Pressed == c {
			return s.Price
		}
	}
	return 0
}

// takenRow says what was taken for something that is cut.
func (h *Host) takenRow(c colour.RGB, called string, widthMM, heightMM float64, text string) fyne.CanvasObject {
	name := controls.NewLine(called+" · "+h.words().Size(widthMM, heightMM), controls.Text)
	name.Shrinks = true
	return container.New(&controls.Lead{Gap: 10}, container.NewCenter(controls.NewSwatch(c, 22)),
		container.New(&controls.Stack{}, name, controls.NewPara(text, controls.Quiet)))
}

// askTaken asks whether the drawer is to become what is left of it.
func (h *Host) askTaken(rows *fyne.Container, taken int, cost cost, update func() error) {
	d := h.Desk.New(560, words.Say("ui-cut-title"))
	d.SetHelp("cut")
	d.Body.Add(controls.NewPara(words.Say("ui-cut-why"), controls.Quiet))
	controls.Wrap(rows, 500)
	scroll := controls.NewScroll(rows)
	scroll.SetMinSize(fyne.NewSize(100, min(rows.MinSize().Height+8, h.Desk.Room().Height-theme.Scaled(260))))
	d.Body.Add(scroll)
	if text := cost.text(); text != "" {
		d.Body.Add(controls.NewPara(text, controls.Text))
	}
	cancel := dialogs.Button(words.Say("ui-cancel"), d.Cancel)
	take := dialogs.Button(words.Say("ui-cut-take"), func() {
		d.Close()
		if err := update(); err != nil {
			h.Trouble(err)
		}
	})
	if taken == 0 {
		mine := dialogs.Button(words.Say("ui-menu-drawer"), func() { d.Hide(); h.Drawer() })
		d.SetButtons(cancel, mine)
	} else {
		d.SetButtons(cancel, take)
	}
	d.Show(nil)
}

// cost adds up what whole sheets cost: an offcut was paid for with its sheet.
type cost struct {
	sheets int
	sum    float64
	// unknown: one of them has no price, or there is none to take.
	unknown bool
}

func (c *cost) add(t drawer.Taken, price float64) {
	if t.Offcut != nil {
		return
	}
	c.unknown = c.unknown || t.Missing || price == 0
	c.sheets++
	c.sum += price
}

// text says the sum, in whatever money the prices are; nothing while a price is
// missing.
func (c *cost) text() string {
	if c.sheets == 0 || c.unknown {
		return ""
	}
	return words.Say("ui-cut-cost", "count", words.Count(c.sheets), "sum", message.Exact{Value: c.sum, Decimals: 2})
}
