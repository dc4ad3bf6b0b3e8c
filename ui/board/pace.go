package board

import "time"

// pace keeps pictures from coming faster than the screen takes them. Frames are
// drawn on the event thread, and without a graphics card one takes much of the
// time until the next is due. So a picture is begun only when the frame with the
// one before is done: none is painted that nobody sees, and painting does not
// compete with drawing.
type pace struct {
	// drawn is told that a frame is done.
	drawn chan struct{}
}

// noFrame is after what time a picture is taken for one that no frame shows: the
// window is minimised, say.
const noFrame = 100 * time.Millisecond

func newPace() pace { return pace{drawn: make(chan struct{}, 1)} }

// drawing is called by the event thread as it draws a frame with a picture;
// deliver runs a function there once it is done.
func (p *pace) drawing(deliver func(func())) {
	deliver(func() {
		select {
		case p.drawn <- struct{}{}:
		default:
		}
	})
}

// expect is called by the event thread before it asks for a frame.
func (p *pace) expect() {
	select {
	case <-p.drawn:
	default:
	}
}

// wait returns when the frame that was asked for is done.
func (p *pace) wait() {
	select {
	case <-p.drawn:
	case <-time.After(noFrame):
	}
}
