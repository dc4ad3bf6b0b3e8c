package own

import (
	"errors"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
	"abut/internal/message"
)

// Error says why no plan could be made, in a message for people.
type Error struct {
	message.Message
	// Layer is the layer that the trouble lies in, 0 when it is not known.
	Layer job.LayerID
	// At is the place on the board, when there is one.
	At  *geometry.Point
	Err error
}

func (e *Error) Error() string { return e.ID + ": " + e.Err.Error() }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Explain turns the planar map's errors into messages; a cancelled context's
// error stays as it is.
func Explain(err error, placed []Placed) error {
	var crowded *planar.ComplexityError
	var far *planar.RangeError
	switch {
	case errors.As(err, &crowded):
		at := crowded.At
		return &Error{Message: message.Message{ID: "art-too-complex", Values: map[string]any{"x": message.MM(at.X), "y": message.MM(at.Y)}}, At: &at, Err: err}
	case errors.As(err, &far):
		e := &Error{Message: message.Message{ID: "art-out-of-range", Args: map[string]string{"layer": ""}}, Err: err}
		if far.Layer >= 0 && far.Layer < len(placed) {
			l := placed[far.Layer].Layer
			e.Layer, e.Args["layer"] = l.ID, l.Name
		}
		return e
	}
	return err
}
