package ask

import (
	"strings"

	"fyne.io/fyne/v2/container"

	"abut/internal/fit"
	"abut/internal/handout"
	"abut/internal/print"
	"abut/internal/show"
	"abut/internal/system"
	"abut/internal/whole"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Handout asks where a lesson's files go, and on which paper, and writes them.
func (h *Host) Handout(s *show.Show) {
	d := h.Desk.New(560, say("class-handout-title"))
	s = s.Arranged(h.Session.Job().Settings.Lesson)
	folder := newFolder(h.Session.LessonFolder(h.Home))
	choose := dialogs.Button(say("ui-export-choose"), func() { h.chooseFolder(folder) })
	var names []string
	for _, p := range print.Papers {
		names = append(names, p.Name)
	}
	var paper, per *controls.Choice
	paper = controls.NewChoice(func(i int) { paper.Choose(i) }, names...)
	per = controls.NewChoice(func(i int) { per.Choose(i) }, say("class-handout-four"), say("class-handout-six"))
	replace := controls.NewCheck(say("class-handout-replace"), nil)
	replace.Hide()
	wrong := controls.NewPara("", controls.Care)
	d.Body.Add(controls.NewPara(say("class-handout-what"), controls.Text))
	d.Body.Add(container.New(&controls.Stack{Gap: 4}, controls.NewCaption(say("ui-export-folder")), controls.NewDock(nil, nil, nil, choose, folder)))
	d.Body.Add(container.NewHBox(paper, per))
	d.Body.Add(replace)
	d.Body.Add(wrong)
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
		dir := system.Here().Typed(folder.Text)
		write.Disable()
		o := handout.Options{Paper: print.Papers[paper.Chosen()], PerPage: []int{4, 6}[per.Chosen()], Overwrite: replace.Checked}
		stop = h.Session.Handout(handout.Lesson{Title: h.Session.Name(), Show: s}, dir, o, func(err error) {
			stop = nil
			write.Enable()
			if err == nil {
				d.Close()
				h.Desk.Message(say("class-handout-title"), "ready", controls.Ready, say("class-handout-done"), dir, say("ui-ok"))
				return
			}
			text, remedy := workshop.Explain(err)
			if fit.IsCancelled(err) {
				text, remedy = say("stopped"), ""
			}
			if workshop.Is(err, whole.ErrExists) {
				replace.Show()
			}
			wrong.SetText(strings.TrimSpace(text + " " + remedy))
			d.Fit()
		})
	}
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel), write)
	d.Show(nil)
}
