package window

import (
	"errors"
	"strings"

	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// trouble says what went wrong and what can be done about it.
func (w *Window) trouble(err error) {
	if w.blank {
		w.opened() // there is no picture to wait for
	}
	if err == nil || fit.IsCancelled(err) {
		return
	}
	if errors.Is(err, session.ErrNoPicture) {
		w.tell(say("ui-paste-nothing"))
		return
	}
	var several session.OpenErrors
	if errors.As(err, &several) {
		w.unopened(several)
		return
	}
	text, remedy := workshop.Explain(err)
	if text == say("stopped") {
		return
	}
	title := say("ui-trouble")
	var of *session.OpenError
	if errors.As(err, &of) {
		title = say("ui-trouble-open", "file", of.File)
	}
	w.desk.Message(title, "trouble", controls.Care, text, remedy, say("ui-ok"))
	w.sayReady()
}

// mostUnopened is how many files are told that could not be opened: more would not fit into a
// small window, and the first ones say what is wrong.
const mostUnopened = 4

// unopened says of each of several files why it could not be opened.
func (w *Window) unopened(files session.OpenErrors) {
	d := w.desk.New(460, say("ui-trouble-open-several", "count", len(files)))
	for _, f := range files[:min(len(files), mostUnopened)] {
		text, remedy := workshop.Explain(f.Err)
		d.Body.Add(container.New(&controls.Stack{Gap: 2},
			dialogs.Sign("trouble", controls.Care, f.File), controls.NewPara(strings.TrimSpace(text+" "+remedy), controls.Quiet)))
	}
	if more := len(files) - mostUnopened; more > 0 {
		d.Body.Add(controls.NewPara(say("ui-trouble-open-more", "count", more), controls.Quiet))
	}
	d.SetButtons(dialogs.Button(say("ui-ok"), d.Close))
	d.Show(nil)
	w.sayReady()
}
