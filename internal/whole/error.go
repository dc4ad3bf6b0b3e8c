package whole

import (
	"context"
	"errors"
	"io/fs"
	"os"

	"abut/internal/message"
	"abut/internal/system"
)

// here is the system whose rules are followed; tests put others in its place.
var here = system.Here()

// Error says why files were not written.
type Error struct {
	message.Message
	// Err is the system's error, nil where there is none.
	Err error
}

func (e *Error) Error() string { return e.ID }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// ErrExists is the id of the error for a folder that is there and was not to be
// overwritten.
const ErrExists = "target-exists"

func fail(id, path string) *Error { return &Error{Message: message.Of(id, "path", path)} }

// explain says what the system has against a path. An Error, nil and the
// context's errors stay as they are.
func explain(path string, err error) error {
	if _, said := message.In(err); said || err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return &Error{message.Of("target-unwritable", "path", path, "detail", Cause(err)), err}
}

// Cause is what the system says, without the operation and path around it.
func Cause(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err.Error()
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err.Error()
	}
	return err.Error()
}
