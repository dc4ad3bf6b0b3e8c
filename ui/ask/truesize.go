package ask

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// prefScreen is how many units the screen has a millimetre, as it was measured.
const prefScreen = "screen-units-per-mm"

// usualScreen is what a screen has that nobody has measured: 96 units an inch,
// as CSS counts them.
const usualScreen = 96 / 25.4

func (h *Host) screen() (unitsPerMM float64, measured bool) {
	if v := h.Prefs.Float(prefScreen); v > 0 {
		return v, true
	}
	return usualScreen, false
}

// TrueSize shows the art as large as it will be; a screen that was never
// measured is to be, first.
func (h *Host) TrueSize() {
	v, measured := h.screen()
	if !measured {
		h.Screen()
		return
	}
	h.ZoomToScale(v)
}

// screenLine is the length of the line to measure, in units: on most screens
// some seven centimetres.
const screenLine = 260

// Screen lets one measure a line on the screen, and shows the true size.
func (h *Host) Screen() {
	d := h.Desk.New(440, say("board-screen-title"))
	d.Body.Add(controls.NewPara(say("board-screen-why"), controls.Text))
	// A bar between two posts: what is to be measured is from outside to outside.
	post := func() fyne.CanvasObject {
		return container.NewGridWrap(fyne.NewSize(2, 24), controls.NewFill(controls.Text))
	}
	bar := container.NewCenter(container.NewGridWrap(fyne.NewSize(screenLine-4, 4), controls.NewFill(controls.Text)))
	d.Body.Add(container.NewCenter(controls.NewDock(nil, nil, post(), post(), bar)))
	v, _ := h.screen()
	entry := controls.NewEntry(words.Typed(screenLine/v, 1))
	wrong := controls.NewPara("", controls.Care)
	d.Body.Add(controls.NewCaption(say("board-screen-length")))
	d.Body.Add(entry)
	d.Body.Add(wrong)
	use := dialogs.Button(say("board-screen-use"), func() {
		mm, ok := words.ParseLength(entry.Text)
		// A phone's screen has some 20 units a millimetre, a wall's half of one.
		if v := screenLine / mm; !ok || v > 25 || v < 0.4 {
			wrong.SetText(say("board-screen-wrong"))
			d.Fit()
			return
		}
		h.Prefs.SetFloat(prefScreen, screenLine/mm)
		d.Close()
		h.ZoomToScale(screenLine / mm)
	})
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel), use)
	d.Show(entry)
}
