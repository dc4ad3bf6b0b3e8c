package window

import (
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
	name := w.session.Name()
	lesson := w.session.Job().Settings.Lesson
	w.session.Lesson(func(s *show.Show) {
		s = s.Arranged(lesson)
		if w.class != nil || len(s.Steps) == 0 {
			return
		}
		w.class = class.Open(s, class.Options{
			Title: name, Dark: theme.Current() == &theme.Dark, Calm: w.ask.Calm(), Deliver: w.options.Deliver,
			OnClosed: func() { w.class = nil },
		})
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
