package show

import "abut/internal/message"

// Step is one step of a lesson: a sentence, and a drawing that moves.
type Step struct {
	// ID names it for as long as the picture is the same: 'picture', 'knock-2'.
	ID string
	// Sentence is what the class reads, Notes what the teacher may say.
	Sentence, Notes message.Message
	// Seconds is how long its drawing moves, 0 when it stands still.
	Seconds float64
	// Telling is the time of its drawing that says most where nothing moves, as on paper.
	Telling float64
	// Ask says that the class is asked something before the step is shown.
	Ask Ask

	draw func(*drawing)
}

// Ask is a question to the class.
type Ask uint8

const (
	// NoQuestion asks nothing.
	NoQuestion Ask = iota
	// WhichStack asks to point at places that stack.
	WhichStack
	// WhatIf lets a sheet be dragged, to see where it would stack.
	WhatIf
)

// Scene returns the step's drawing at time t, 0 to 1, for a stage of the given width;
// it is PictureHeight high. Equal arguments give equal scenes, and shapes are shared
// between those of one step.
func (s *Step) Scene(room *Room, wide, t float64) Scene {
	d := &drawing{Room: room, wide: wide, t: t}
	s.draw(d)
	return d.Scene
}
