package board

import (
	"testing"
	"time"
)

// Slow frames leave most of the event thread's time to others, but no pause
// makes pictures late, and quick frames are not held up.
func TestPause(t *testing.T) {
	for _, took := range []time.Duration{0, time.Millisecond, 5 * time.Millisecond, 12 * time.Millisecond, slowest, time.Second} {
		p := pause(took)
		if p < 0 || p > (share-1)*took {
			t.Errorf("a frame of %v is followed by a pause of %v", took, p)
		}
		if took <= slowest && took+p > slowest {
			t.Errorf("a frame of %v and its pause take %v together", took, took+p)
		}
	}
	if p := pause(5 * time.Millisecond); p != 15*time.Millisecond {
		t.Errorf("a frame of 5 ms is followed by a pause of %v", p)
	}
	if p := pause(time.Second); p != 0 {
		t.Errorf("a frame of a second is followed by a pause of %v", p)
	}
}
