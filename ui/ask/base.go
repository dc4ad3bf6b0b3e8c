package ask

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/theme"
)

// Base asks which sheet everything is laid on.
func (h *Host) Base() {
	plan, exact := h.Session.Plan()
	if !h.Session.Opened() || plan == nil || !exact || len(plan.Separations) == 0 {
		return
	}
	d := h.Desk.New(420, say("ui-base-choose"))
	d.SetHelp("base-and-frame")
	s := h.Session.Job().Settings
	done := d.Close
	choose := func(c *colour.RGB) func() {
		return func() {
			done()
			h.Session.SetBase(c)
		}
	}
	d.Body.Add(controls.NewPara(h.words().Message(plan.BaseReason), controls.Quiet))
	list := container.New(&controls.Stack{Gap: 6})
	add := func(label string, on bool, lead fyne.CanvasObject, tapped func()) {
		p := controls.NewAction("", label, "", tapped)
		p.Framed, p.Height, p.On = true, 36, on
		list.Add(container.New(&controls.Lead{Gap: 10}, container.NewCenter(lead), p))
	}
	own := s.BaseColour()
	blank := controls.NewIcon(22, func() string { return "nothing" }, func() color.NRGBA { return theme.Current().Quiet })
	add(say("ui-base-auto"), own == nil || plan.BaseReason.ID != "base-chosen", blank, choose(nil))
	for i := range plan.Separations {
		x := &plan.Separations[i]
		c := x.Colour
		add(words.Capital(x.Name), i == 0 && own != nil && plan.BaseReason.ID == "base-chosen", controls.NewSwatch(c, 22), choose(&c))
	}
	var scroll fyne.CanvasObject = list
	if len(plan.Separations) > 8 {
		v := controls.NewScroll(list)
		v.SetMinSize(fyne.NewSize(360, 380))
		scroll = v
	}
	d.Body.Add(scroll)
	d.SetCancel(dialogs.Button(say("ui-cancel"), d.Cancel))
	d.Show(nil)
}
