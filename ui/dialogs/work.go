package dialogs

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/words"
	"abut/ui/controls"
)

// Work is what goes on in the background, and how it is stopped.
type Work struct {
	Text string
	Stop func()
}

// SetWork has the dialog on top say what goes on in the background, and offer to
// stop it: the window's own sign of it is out of reach beneath. nil is for nothing.
func (k *Desk) SetWork(w *Work) {
	k.work = w
	if d := k.Top(); d != nil && d.showWork() {
		d.Fit()
	}
}

// newStrip makes what says that work goes on.
func (d *Dialog) newStrip() fyne.CanvasObject {
	stop := controls.NewFramed("", words.Say("ui-stop"), words.Say("ui-stop-hint"), func() {
		if w := d.desk.work; w != nil {
			w.Stop()
		}
	})
	d.doing = controls.NewLine("", controls.Quiet)
	d.doing.Shrinks = true
	d.strip = controls.NewDock(nil, nil, nil, stop, container.New(&controls.Inset{Y: 8}, d.doing))
	d.under = container.New(&controls.Stack{})
	d.under.Hide()
	return d.under
}

// showWork says what goes on, and reports whether that takes other room than
// before.
func (d *Dialog) showWork() bool {
	was, w := d.under.Hidden, d.desk.work
	d.under.Hidden, d.under.Objects = w == nil, nil
	if w != nil {
		d.under.Objects = []fyne.CanvasObject{d.strip}
		d.doing.SetText(w.Text)
	}
	return d.under.Hidden != was
}
