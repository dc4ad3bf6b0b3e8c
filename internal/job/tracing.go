package job

import "abut/internal/colour"

// Tracing says how a picture of pixels became the layers of an item. The zero value
// is what a picture becomes when nobody chose anything.
type Tracing struct {
	// Colours is how many there may be at most; 0 means as many as are found.
	Colours int `json:",omitempty"`
	// Detail is how small what is kept may be: 0 usual, each step above it keeps what
	// is four times smaller, each step below drops it.
	Detail int `json:",omitempty"`
	// BareGround leaves the ground bare, Bare these colours; Joined count as others.
	BareGround bool         `json:",omitempty"`
	Bare       []colour.RGB `json:",omitempty"`
	Joined     []Joined     `json:",omitempty"`
	// Sheet cuts off what lies beyond the sheet of paper that a scan shows, and turns
	// it upright.
	Sheet bool `json:",omitempty"`
}

// Joined is a colour of a traced picture that counts as another of its colours.
type Joined struct{ From, To colour.RGB }

// Pixels is the picture of pixels that an item was traced from, kept so that it can
// be traced anew. It is read-only.
type Pixels struct {
	// File is the picture's file as it was opened.
	File    []byte
	Tracing Tracing
}
