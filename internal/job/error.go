package job

import (
	"abut/internal/message"
	"fmt"
)

// EditError says why an edit was refused. Its message's id is one of the
// constants below; the job stays as it was.
type EditError struct {
	message.Message
	// Layer or Item is what the edit stumbled over, 0 when neither.
	Layer LayerID
	Item  ItemID
}

// Ids of EditError.
const (
	// NoSuchLayer and NoSuchItem: the id is not in the job, perhaps deleted
	// meanwhile.
	NoSuchLayer = "edit-no-such-layer"
	NoSuchItem  = "edit-no-such-item"
	// NoSuchSheet: a colour was to go to a sheet that the job does not have.
	NoSuchSheet = "edit-no-such-sheet"
	// LayerLocked: moving, reordering or deleting a locked layer.
	LayerLocked = "edit-layer-locked"
	// BadTransform: the map is not finite or cannot be undone, so the art would
	// collapse.
	BadTransform = "edit-bad-transform"
	// BadSize: a size that is not a positive length, or art that has none.
	BadSize = "edit-bad-size"
	// BadMargin: a frame margin that is negative or no number.
	BadMargin = "edit-bad-margin"
	// BadCorner: a rounding of the frame that is negative or no number.
	BadCorner = "edit-bad-corner"
	// BadCutter and BadSheetSize: a width of cut or a sheet out of reason.
	BadCutter    = "edit-bad-cutter"
	BadSheetSize = "edit-bad-sheet-size"
	// BadBlank: a blank without a size, or with a safe area that leaves nothing.
	BadBlank = "edit-bad-blank"
	// BadWidth: a narrowest width, speck size or clearance out of reason.
	BadWidth = "edit-bad-width"
	// BadBands: a number of bands out of reason.
	BadBands = "edit-bad-bands"
	// EmptyName: a name of nothing but spaces.
	EmptyName = "edit-empty-name"
	// BadPrimitive, BadText and BadSurround: numbers out of reason; EmptyText:
	// lettering that draws nothing.
	BadPrimitive = "edit-bad-primitive"
	BadText      = "edit-bad-text"
	EmptyText    = "edit-empty-text"
	BadSurround  = "edit-bad-surround"
	// MergeApart: layers of several items cannot become one; MergeFew: there
	// are not two; NoParts: a layer that is in one part already; ManyParts: one
	// in more than MaxParts.
	MergeApart = "edit-merge-apart"
	MergeFew   = "edit-merge-few"
	NoParts    = "edit-no-parts"
	ManyParts  = "edit-many-parts"
)

func (e *EditError) Error() string {
	s := e.ID
	if e.Layer != 0 {
		s += fmt.Sprintf(" (layer %d)", e.Layer)
	}
	if e.Item != 0 {
		s += fmt.Sprintf(" (item %d)", e.Item)
	}
	return s
}

func refuse(id string) *EditError { return &EditError{Message: message.Message{ID: id}} }

func refuseLayer(id string, l LayerID, name string) *EditError {
	return &EditError{Message: message.Message{ID: id, Args: map[string]string{"layer": name}}, Layer: l}
}
