package ask

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/ui/command"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// mostFound is how many actions are listed at a time: more nobody reads before
// typing another letter.
const mostFound = 12

// FindAction asks for an action by its words, and runs it.
func (h *Host) FindAction() {
	d := h.Desk.New(520, say("ui-find-title"))
	entry := controls.NewEntry("")
	entry.Passing = true
	entry.SetPlaceHolder(say("ui-find-hint"))
	list := container.New(&controls.Stack{Gap: 2})
	var first *command.Command
	run := func(id string) {
		d.Close()
		h.Commands.Run(id)
	}
	show := func(text string) {
		list.RemoveAll()
		first = nil
		found := h.Commands.Find(text)
		for _, c := range found[:min(len(found), mostFound)] {
			p := controls.NewAction(c.Icon, strings.TrimSuffix(h.Commands.Label(c.ID), "…"), h.Commands.Hint(c.ID), func() { run(c.ID) })
			p.Fills, p.IconSide, p.Height = true, 18, 32
			p.SetEnabled(c.Enabled())
			p.SetOn(c.IsOn())
			if first == nil && c.Enabled() {
				first = c
				p.SetNext(true)
			}
			key := controls.NewLine(command.KeyText(c.Key), controls.Quiet)
			list.Add(controls.NewDock(nil, nil, nil, container.New(&controls.Inset{X: 8}, container.NewCenter(key)), p))
		}
		if len(found) == 0 {
			list.Add(controls.NewPara(say("ui-find-none"), controls.Quiet))
		}
		list.Refresh()
	}
	entry.OnChanged = func(text string) { show(text); d.Fit() }
	entry.OnSubmitted = func(string) {
		if first != nil {
			run(first.ID)
		}
	}
	show("")
	scroll := controls.NewScroll(list)
	scroll.SetMinSize(fyne.NewSize(100, min(mostFound*34, h.Desk.Room().Height-260)))
	d.Body.Add(entry)
	d.Body.Add(scroll)
	d.SetCancel(dialogs.Button(say("ui-cancel"), d.Cancel))
	d.Show(entry)
}
