package sheets

import (
	"abut/internal/drawer"
	"abut/internal/message"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/theme"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// MarkCut asks whether what is cut now is to be taken from the drawer.
func (h *Host) MarkCut() {
	plan, exact := h.Session.Plan()
	if !h.Session.Opened() || plan == nil || !exact || len(plan.Separations) == 0 {
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
	d := h.Desk.New(560, words.Say("ui-cut-title"))
	d.SetHelp("cut")
	d.Body.Add(controls.NewPara(words.Say("ui-cut-why"), controls.Quiet))
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
		name := controls.NewLine(words.Capital(words.Chosen().Put(cut.Separations[k].Called()))+" · "+h.words().Size(t.WidthMM, t.HeightMM), controls.Text)
		name.Shrinks = true
		rows.Add(container.New(&controls.Lead{Gap: 10}, container.NewCenter(controls.NewSwatch(t.Colour, 22)),
			container.New(&controls.Stack{}, name, controls.NewPara(text, controls.Quiet))))
	}
	controls.Wrap(rows, 500)
	scroll := container.NewVScroll(rows)
	scroll.SetMinSize(fyne.NewSize(100, min(rows.MinSize().Height+8, h.Desk.Room().Height-theme.Scaled(260))))
	d.Body.Add(scroll)
	if text := cost.text(); text != "" {
		d.Body.Add(controls.NewPara(text, controls.Text))
	}
	cancel := dialogs.Button(words.Say("ui-cancel"), d.Cancel)
	take := dialogs.Button(words.Say("ui-cut-take"), func() {
		d.Close()
		if err := h.Session.SetDrawer(sheets); err != nil {
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
