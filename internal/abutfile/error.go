package abutfile

import (
	"abut/internal/message"
)

// Error says why a file cannot be used. Its message's id is one of the
// constants below.
type Error struct {
	message.Message
	// Err is the cause, nil when there is none beyond the message.
	Err error
}

// Ids of Error.
const (
	// NotAJob: not one of our files, or cut short.
	NotAJob = "abut-not-a-job"
	// TooNew: a later version of the program wrote it.
	TooNew = "abut-too-new"
	// TooLarge: larger than anything that could be worked on.
	TooLarge = "abut-too-large"
	// Damaged: one of our files with something in it that cannot be.
	Damaged = "abut-damaged"
)

func (e *Error) Error() string {
	if e.Err != nil {
		return e.ID + ": " + e.Err.Error()
	}
	return e.ID
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

func fail(id string, err error) *Error { return &Error{Message: message.Message{ID: id}, Err: err} }
