package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// showSteps lists every step of the document; pressing one goes back or forth
// to it.
func (w *Window) showSteps() {
	if !w.session.Opened() {
		return
	}
	d := w.desk.New(420, say("ui-steps-title"))
	d.Body.Add(controls.NewPara(say("ui-steps-why"), controls.Quiet))
	column := container.New(&controls.Stack{Gap: 2})
	scroll := container.NewVScroll(column)
	scroll.SetMinSize(fyne.NewSize(100, min(360, w.win.Canvas().Size().Height-260)))
	d.Body.Add(scroll)
	var list func()
	list = func() {
		column.RemoveAll()
		labels, done := w.session.Steps()
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
				w.session.GoTo(i)
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
		_, done = w.session.Steps()
		scroll.ScrollToOffset(fyne.NewPos(0, float32(done)*34-120))
	}
	list()
	d.SetButtons(dialogs.Button(say("ui-done"), d.Close))
	d.Show(nil)
}
