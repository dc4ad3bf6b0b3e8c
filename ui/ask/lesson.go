package ask

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/show"
	"abut/ui/controls"
	"abut/ui/dialogs"
)

// Lesson asks which steps of a lesson are shown, in which order, and what they say.
func (h *Host) Lesson(s *show.Show) {
	at, now := h.Session.At(), h.Session.Job().Settings.Lesson
	d := h.Desk.New(760, say("class-steps-title"))
	d.SetHelp("teaching.md#before-the-lesson")
	d.Body.Add(controls.NewPara(say("class-steps-why"), controls.Quiet))
	rows := container.New(&controls.Stack{Gap: 6})
	var list []*lessonRow
	show := func() {
		rows.Objects = nil
		for _, r := range list {
			rows.Add(r.object)
		}
		rows.Refresh()
	}
	moved := false
	for _, step := range s.Ordered(now) {
		r := newLessonRow(step.ID, h.words().Message(step.Sentence), now)
		r.up.OnTapped = func() {
			if i := slices.Index(list, r); i > 0 {
				list[i-1], list[i] = r, list[i-1]
				moved = true
				show()
			}
		}
		list = append(list, r)
	}
	show()
	v := controls.NewScroll(rows)
	v.SetMinSize(fyne.NewSize(1, min(420, h.Desk.Room().Height-260)))
	d.Body.Add(v)
	d.Unsaved = func() bool {
		return moved || slices.ContainsFunc(list, func(r *lessonRow) bool { return r.shown.Checked == slices.Contains(now.Hidden, r.id) })
	}
	use := func(l job.Lesson) {
		d.Close()
		err := h.Session.DoAt(at, "ui-step-lesson", func(j job.Job) (job.Job, error) { return job.SetLesson(j, l) })
		if err != nil && err != session.ErrStale {
			h.Trouble(err)
		}
	}
	d.SetButtons(dialogs.Button(say("ui-cancel"), d.Cancel),
		dialogs.Button(say("class-steps-plain"), func() { use(job.Lesson{}) }),
		dialogs.Button(say("class-steps-keep"), func() { use(lessonOf(list, s, now)) }))
	d.Show(nil)
}

// lessonRow is one step: whether it is shown, its place, and its words.
type lessonRow struct {
	id      string
	shown   *controls.Check
	caption *controls.Entry
	up      *controls.Press
	object  fyne.CanvasObject
}

func newLessonRow(id, sentence string, l job.Lesson) *lessonRow {
	r := &lessonRow{id: id, shown: controls.NewCheck("", nil), caption: controls.NewEntry(l.Captions[id])}
	r.shown.SetChecked(!slices.Contains(l.Hidden, id))
	r.caption.SetPlaceHolder(sentence)
	r.up = controls.NewIconPress("up", say("class-steps-up"), nil)
	r.object = controls.NewDock(nil, nil, r.shown, r.up, r.caption)
	return r
}

// lessonOf is what rows say. What a lesson says of steps that the job does not have
// stays.
func lessonOf(list []*lessonRow, s *show.Show, before job.Lesson) job.Lesson {
	known := func(id string) bool {
		return slices.ContainsFunc(s.Steps, func(x show.Step) bool { return x.ID == id })
	}
	l := job.Lesson{Captions: map[string]string{}}
	for _, id := range before.Hidden {
		if !known(id) {
			l.Hidden = append(l.Hidden, id)
		}
	}
	for id, text := range before.Captions {
		if !known(id) {
			l.Captions[id] = text
		}
	}
	same := true
	for i, r := range list {
		if !r.shown.Checked {
			l.Hidden = append(l.Hidden, r.id)
		}
		l.Captions[r.id] = r.caption.Text
		l.Order = append(l.Order, r.id)
		same = same && s.Steps[i].ID == r.id
	}
	if same {
		l.Order = nil
	}
	return l
}
