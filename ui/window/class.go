package window

import (
	"abut/assets"
	"abut/internal/show"
	"abut/ui/class"
	"abut/ui/theme"
)

// showClass shows the lesson of what is open, on the whole screen. One that goes on
// comes to the front.
func (w *Window) showClass() {
	if w.class != nil {
		w.class.Raise()
		return
	}
	name, lesson := w.session.Name(), w.session.Job().Settings.Lesson
	w.session.Lesson(func(s *show.Show) { w.openClass(name, s.Arranged(lesson)) })
}

// showReady shows a lesson that comes along, whatever is open.
func (w *Window) showReady(r show.Ready, d assets.Demo) {
	if w.class != nil {
		w.class.Raise()
		return
	}
	w.session.ReadyLesson(r, d.SVG, func(s *show.Show) { w.openClass(say("demo-"+d.ID), s) })
}

func (w *Window) openClass(title string, s *show.Show) {
	if w.class != nil || len(s.Steps) == 0 {
		return
	}
	w.class = class.Open(s, class.Options{
		Title: title, Dark: theme.Current() == &theme.Dark, Calm: w.ask.Calm(), Deliver: w.options.Deliver,
		OnClosed: func() { w.class = nil }, Shown: w.options.Shown,
	})
}

// arrangeClass asks which steps the lesson has, in which order, and what they say.
func (w *Window) arrangeClass() { w.session.Lesson(w.ask.Lesson) }

// takeHome asks where the lesson's files go.
func (w *Window) takeHome() { w.session.Lesson(w.ask.Handout) }

// endClass ends the class that goes on, if one does.
func (w *Window) endClass() {
	if w.class != nil {
		w.class.Close()
	}
}
