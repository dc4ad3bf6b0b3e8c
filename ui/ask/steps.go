package ask

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// History lists every step of the document; pressing one goes back or forth
// to it.
func (h *Host) History() {
	if !h.Session.Opened() {
		return
	}
	d := h.Desk.New(420, say("ui-steps-title"))
	d.Body.Add(controls.NewPara(say("ui-steps-why"), controls.Quiet))
	column := container.New(&controls.Stack{Gap: 2})
	scroll := controls.NewScroll(column)
	scroll.SetMinSize(fyne.NewSize(100, min(360, h.Desk.Room().Height-260)))
	d.Body.Add(scroll)
	var list func()
	list = func() {
		column.RemoveAll()
		labels, done := h.Session.Steps()
		for i := 0; i <= len(labels); i++ {
			text := say("ui-steps-start")
			if i > 0 {
				text = words.Capital(say(labels[i-1]))
			}
			icon := ""
			if i == done {
				icon = "ready"
			}
			p := controls.NewAction(icon, text, "", func() {
				h.Session.GoTo(i)
				list()
			})
			p.On, p.IconSide, p.Height = i == done, 18, 32
			if i > done {
				p.Tone = controls.Quiet
			}
			column.Add(container.NewHBox(p))
		}
		column.Refresh()
		scroll.Refresh()
		_, done = h.Session.Steps()
		scroll.ScrollToOffset(fyne.NewPos(0, float32(done)*34-120))
	}
	list()
	d.SetButtons(dialogs.Button(say("ui-done"), d.Close))
	d.Show(nil)
}
