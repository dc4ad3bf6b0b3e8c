package ask

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/colour"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Palette are colours to begin with where the job has none: a plain dozen of
// our own.
var Palette = []colour.RGB{
	{R: 0x1F, G: 0x4E, B: 0x79}, {R: 0x2E, G: 0x8B, B: 0x57}, {R: 0xE0, G: 0xA8, B: 0x1E}, {R: 0xD9, G: 0x6B, B: 0x1E}, {R: 0xB2, G: 0x2E, B: 0x4A}, {R: 0x7A, G: 0x3E, B: 0x9D},
	{R: 0x2B, G: 0x9F, B: 0xC9}, {R: 0x8A, G: 0xBF, B: 0x3C}, {R: 0xF2, G: 0xD3, B: 0x4F}, {R: 0xF0, G: 0x9A, B: 0xB0}, {R: 0x7A, G: 0x52, B: 0x36}, {R: 0x22, G: 0x26, B: 0x2A},
}

// swatches are colours to press, called by their words.
func swatches(colours []colour.RGB, chosen func(colour.RGB)) *fyne.Container {
	return controls.NewSwatches(colours, nil, chosen, func(c colour.RGB) string { return words.Capital(words.Colour(colour.Word(c))) })
}

// Colour asks for any colour for the selection.
func (h *Host) Colour() {
	ids := h.Session.Selection()
	if len(ids) == 0 {
		return
	}
	first, _, _ := h.Session.Job().Layer(ids[0])
	d := h.Desk.New(460, say("ui-colour-title"))
	entry := controls.NewEntry(first.Colour.String())
	sample := container.NewStack(controls.NewSwatch(first.Colour, 36))
	wrong := controls.NewPara("", controls.Care)
	entry.OnChanged = func(s string) {
		if c, err := colour.Parse(s); err == nil {
			sample.Objects = []fyne.CanvasObject{controls.NewSwatch(c, 36)}
			sample.Refresh()
		}
	}
	take := func(c colour.RGB) { entry.SetText(c.String()) }
	if list := h.Session.Job().Colours(); len(list) > 0 {
		d.Body.Add(controls.NewCaption(say("ui-colour-job")))
		d.Body.Add(swatches(list[:min(len(list), 24)], take))
	}
	d.Body.Add(controls.NewCaption(say("ui-colour-more")))
	d.Body.Add(swatches(append(append([]colour.RGB{}, Palette...), colour.White), take))
	d.Body.Add(container.New(&controls.Lead{Gap: 12}, container.NewCenter(sample), container.New(&controls.Stack{Gap: 2}, controls.NewCaption(say("ui-colour-code")), entry)))
	d.Body.Add(wrong)
	d.SetButtons(
		dialogs.Button(say("ui-cancel"), d.Cancel),
		dialogs.Button(say("ui-colour-set"), func() {
			c, err := colour.Parse(entry.Text)
			if err != nil {
				wrong.SetText(say("ui-colour-wrong"))
				d.Fit()
				return
			}
			d.Close()
			h.Recolour(c)
		}))
	d.Show(entry)
	entry.TypedShortcut(&fyne.ShortcutSelectAll{})
}
