package job

import (
	"abut/geometry"
	"abut/internal/message"
)

// Warning is something that the user should know about: what was flattened,
// guessed or left out, and where. Its id has two sentences in words: the
// warning itself and, under ID + ".remedy", what can be done about it.
type Warning struct {
	message.Message
	// Line and Element say where in the source file, when known.
	Line    int
	Element string
	// At is the place on the board, when there is one.
	At *geometry.Point
	// Layers are those that it is about, when something can be chosen for them.
	Layers []LayerID `json:",omitempty"`
}
