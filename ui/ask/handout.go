package ask

import (
	"fyne.io/fyne/v2/container"

	"abut/internal/handout"
	"abut/internal/print"
	"abut/internal/show"
	"abut/internal/whole"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Handout asks where a lesson's files go, and on which paper, and writes them.
func (h *Host) Handout(s *show.Show) {
	d := h.Desk.New(560, say("class-handout-title"))
	s = s.Arranged(h.Session.Job().Settings.Lesson)
	to := newTarget(d, freshFolder(h.Session.LessonFolder(h.Home)), say("class-handout-replace"))
	var names []string
	for _, p := range print.Papers {
		names = append(names, p.Name)
	}
	var paper, per *controls.Choice
	paper = controls.NewChoice(func(i int) { paper.Choose(i) }, names...)
	per = controls.NewChoice(func(i int) { per.Choose(i) }, say("class-handout-four"), say("class-handout-six"))
	d.Body.Add(controls.NewPara(say("class-handout-what"), controls.Text))
	to.askFolder(h)
	d.Body.Add(container.NewHBox(paper, per))
	var stop func()
	d.OnCancel = func() {
		if stop != nil {
			stop()
			return
		}
		d.Close()
	}
	write := dialogs.Button(say("ui-export-write"), nil)
	write.OnTapped = func() {
		dir, ok := to.chosen()
		if !ok {
			return
		}
		write.Disable()
		o := handout.Options{Paper: print.Papers[paper.Chosen()], PerPage: []int{4, 6}[per.Chosen()], Overwrite: to.replace.Checked}
		stop = h.Session.Handout(handout.Lesson{Title: h.Session.Name(), Show: s}, dir, o, func(err error) {
			stop = nil
			write.Enable()
			if err == nil {
				d.Close()
				h.handedOut(dir)
				return
			}
			to.refused(err, whole.ErrExists)
		})
	}
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel), write)
	d.Show(nil)
}

// handedOut says where a lesson's files are.
func (h *Host) handedOut(dir string) {
	d := h.Desk.New(460, say("class-handout-title"))
	d.Body.Add(dialogs.Sign("ready", controls.Ready, say("class-handout-done")))
	d.Body.Add(controls.NewPara(dir, controls.Quiet))
	buttons := []*controls.Press{dialogs.Button(say("ui-ok"), d.Close)}
	if h.OpenFolder != nil {
		show := dialogs.Button(say("ui-export-show"), func() { h.show(dir) })
		buttons = append([]*controls.Press{show}, buttons...)
	}
	d.SetButtons(buttons...)
	d.Show(nil)
}
