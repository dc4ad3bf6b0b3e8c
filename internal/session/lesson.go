package session

import (
	"bytes"
	"context"

	"abut/internal/fit"
	"abut/internal/handout"
	"abut/internal/message"
	"abut/internal/show"
	"abut/internal/workshop"
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

// ReadyLesson makes a lesson that comes along, of its own picture; it needs no document.
func (s *Session) ReadyLesson(r show.Ready, svg []byte, done func(*show.Show)) {
	run(s, message.Message{ID: "ui-task-class"}, func(ctx context.Context) (*show.Show, error) {
		j, err := workshop.OpenSVG(ctx, r.ID, bytes.NewReader(svg))
		if err != nil {
			return nil, err
		}
		made, err := show.Make(ctx, new(fit.Cache), j)
		if err != nil {
			return nil, err
		}
		return r.Of(made), nil
	}, func(made *show.Show, err error) {
		switch {
		case err == nil:
			done(made)
		case !fit.IsCancelled(err):
			s.trouble(err)
		}
	})
}

// Handout writes a lesson's files into a folder in the background. done gets the outcome
// on the session's goroutine. The returned function gives it up: nothing is written then.
func (s *Session) Handout(made handout.Lesson, dir string, o handout.Options, done func(error)) (stop func()) {
	return finish(s, message.Message{ID: "ui-task-export"}, func(ctx context.Context) (struct{}, error) {
		return struct{}{}, made.Write(ctx, dir, o)
	}, func(_ struct{}, err error) { done(err) }).Stop
}
