package board

import "time"

// pace keeps pictures from coming faster than the screen takes them. Frames are
// drawn on the event thread, and without a graphics card one takes much of the
// time until the next is due. So a picture is begun only when the frame with the
// one before is done: none is painted that nobody sees, and painting does not
// compete with drawing. Where frames are slow there is a pause besides, for
// everything else that the event thread has to do.
type pace struct {
	// drawn is told that a frame is done, and how long it took.
	drawn chan time.Duration
}

// noFrame is after what time a picture is taken for one that no frame shows: the
// window is minimised, say.
const noFrame = 100 * time.Millisecond

// Drawing is to take a share of the event thread's time only, but pictures are to
// follow the pointer: a pause ends with slowest after the frame before began, at
// the latest.
const (
	share   = 4
	slowest = 40 * time.Millisecond
)

func newPace() pace { return pace{drawn: make(chan time.Duration, 1)} }

// drawing is called by the event thread as it draws a frame with a picture;
// deliver runs a function there once it is done.
func (p *pace) drawing(deliver func(func())) {
	start := time.Now()
	deliver(func() {
		select {
		case p.drawn <- time.Since(start):
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

// wait returns when the frame that was asked for is done and it is time for the
// next picture.
func (p *pace) wait() {
	select {
	case took := <-p.drawn:
		time.Sleep(pause(took))
	case <-time.After(noFrame):
	}
}

// pause is how long to wait after a frame that took so long.
func pause(took time.Duration) time.Duration {
	return max(0, min(share*took, slowest)-took)
}
