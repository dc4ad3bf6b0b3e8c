package job

import (
	"fmt"

	"abut/internal/message"
)

// EditError says why an edit was refused; the job stays as it was.
type EditError struct {
	message.Message
	// Layer is what the edit stumbled over, 0 when it was no layer.
	Layer LayerID
}

// Ids of errors that others find out about, too.
const (
	// NoSuchLayer: the layer is not in the job, perhaps deleted meanwhile.
	NoSuchLayer = "edit-no-such-layer"
	// BadText: lettering with numbers out of reason; EmptyText: one that draws
	// nothing.
	BadText   = "edit-bad-text"
	EmptyText = "edit-empty-text"
)

func (e *EditError) Error() string {
	if e.Layer != 0 {
		return fmt.Sprintf("%s (layer %d)", e.ID, e.Layer)
	}
	return e.ID
}

// refuse returns the error with an id and, in pairs, what fills its sentence.
func refuse(id string, args ...string) *EditError {
	return &EditError{Message: message.Of(id, args...)}
}

// refuseLayer returns the error with an id about a layer.
func refuseLayer(id string, l LayerID, name string) *EditError {
	return &EditError{Message: message.Of(id, "layer", name), Layer: l}
}

// between reports whether all values are numbers from least to most.
func between(least, most float64, values ...float64) bool {
	for _, v := range values {
		if !(v >= least && v <= most) {
			return false
		}
	}
	return true
}
