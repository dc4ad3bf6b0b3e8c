package session

import (
	"context"

	"abut/internal/fit"
	"abut/internal/message"
	"abut/internal/show"
)

// Lesson makes the lesson of the open document in the background; done gets it on the
// session's goroutine, unless something else is open by then or it was stopped.
// Nothing in the document changes.
func (s *Session) Lesson(done func(*show.Show)) {
	j, cache, document := s.Job(), s.fitter.cache.Fork(), s.document
	run(s, message.Message{ID: "ui-task-class"}, func(ctx context.Context) (*show.Show, error) {
		return show.Make(ctx, cache, j)
	}, func(made *show.Show, err error) {
		switch {
		case document != s.document || s.history == nil:
		case err == nil:
			done(made)
		case !fit.IsCancelled(err):
			s.trouble(err)
		}
	})
}
