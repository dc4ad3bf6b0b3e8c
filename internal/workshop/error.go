// Package workshop is what the window and the command line share: opening art,
// sizing it, fitting it, and writing everything that a job needs, all of it or
// nothing.
package workshop

import (
	"context"
	"errors"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/svgimport"
	"abut/internal/words"
)

// Error says why something could not be done. Its message's id has a sentence
// in words and, with words.RemedySuffix, one on what to do about it.
type Error struct {
	message.Message
	// Err is the cause, nil when there is none beyond the message.
	Err error
}

// Error returns the sentence in English.
func (e *Error) Error() string { return words.English().Message(e.Message) }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// IDs of errors that callers act on.
const (
	// ErrStacked: colours lie over each other, so nothing was written.
	ErrStacked = "refused-stacked"
	// ErrBeyond: the art with its frame is larger than blank, sheet or cutter, so
	// nothing was written.
	ErrBeyond = "refused-beyond"
	// ErrTargetExists: the folder is there and was not to be overwritten.
	ErrTargetExists = "target-exists"
)

// Is reports whether err is, or wraps, an Error with this id.
func Is(err error, id string) bool {
	var e *Error
	return errors.As(err, &e) && e.ID == id
}

func fail(id string, err error, pairs ...any) *Error {
	return &Error{Message: words.Pairs(id, pairs...), Err: err}
}

// explain gives the errors of inner packages the shape of Error; one that has
// it already, and nil, stay as they are.
func explain(err error) error {
	var (
		ours    *Error
		reading *svgimport.Error
		fitting *fit.Error
		editing *job.EditError
	)
	switch {
	case err == nil || errors.As(err, &ours):
		return err
	case errors.As(err, &reading):
		return &Error{Message: reading.Message, Err: err}
	case errors.As(err, &fitting):
		return &Error{Message: fitting.Message, Err: err}
	case errors.As(err, &editing):
		return &Error{Message: editing.Message, Err: err}
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return fail("stopped", err)
	}
	return fail("went-wrong", err, "detail", err.Error())
}

// Explain puts an error into a sentence and, where there is one, what can be
// done about it.
func Explain(err error) (text, remedy string) {
	w, m := words.Chosen(), Said(err)
	return w.Message(m), w.Remedy(m)
}

// Said returns the message of an error.
func Said(err error) (m message.Message) {
	var shop *Error
	var edit *job.EditError
	var fitting *fit.Error
	switch {
	case errors.As(err, &shop):
		m = shop.Message
	case errors.As(err, &edit):
		m = edit.Message
	case errors.As(err, &fitting):
		m = fitting.Message
	default:
		m = message.Message{ID: "ui-fault", Args: map[string]string{"detail": err.Error()}}
	}
	return m
}
