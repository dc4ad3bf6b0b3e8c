package workshop

import (
	"context"
	"errors"

	"abut/internal/message"
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

// ErrStacked is the id of the error for colours that lie over each other: nothing
// was written.
const ErrStacked = "refused-stacked"

// ErrStopped is the id of the error for work whose context ended.
const ErrStopped = "stopped"

func fail(id string, err error, pairs ...any) *Error {
	return &Error{Message: words.Pairs(id, pairs...), Err: err}
}

// MessageOf returns what any error says to people: its own message or that of
// its cause, or that it was stopped, or that something went wrong inside.
func MessageOf(err error) message.Message {
	m, ok := message.In(err)
	switch {
	case ok:
		return m
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return message.Message{ID: ErrStopped}
	}
	return message.Of("went-wrong", "detail", err.Error())
}

// Explain puts an error into a sentence and, where there is one, what can be
// done about it.
func Explain(err error) (text, remedy string) {
	w, m := words.Chosen(), MessageOf(err)
	return w.Message(m), w.Remedy(m)
}

// Is reports whether err says what has this id.
func Is(err error, id string) bool { return err != nil && MessageOf(err).ID == id }
