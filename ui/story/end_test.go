package story

import (
	"image"
	"os"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"
)

// TestEnds: a signal, and the cross of the only window, end the program each
// time, and it says nothing. ABUT_ENDINGS is how often it is tried, 3 times when it
// is not set.
func TestEnds(t *testing.T) {
	s := open(t)
	times := 3
	if n, err := strconv.Atoi(os.Getenv("ABUT_ENDINGS")); err == nil {
		times = n
	}
	for _, way := range []struct {
		name string
		end  func()
	}{
		{"a signal", func() { s.signal(syscall.SIGTERM) }},
		{"the window's cross", s.closeWindow},
	} {
		var longest time.Duration
		for range times {
			if s.program.ProcessState != nil {
				s.start()
			}
			way.end()
			asked := time.Now()
			if err := s.end(); err != nil {
				t.Errorf("after %s: %v", way.name, err)
			}
			longest = max(longest, time.Since(asked))
			if s.said() != "" {
				t.Errorf("after %s it says %q", way.name, s.said())
			}
		}
		t.Logf("figures: %d times gone after %s, %.3f s at most", times, way.name, longest.Seconds())
	}
}

// TestSignal: what was done and is saved nowhere when a signal ends the program
// is offered at the next start, however soon that came.

func TestSignal(t *testing.T) {
	s := open(t)
	boat, _ := largest(s.still(""), sea, 0)
	s.click(middle(boat))
	s.until("red", func(img image.Image) bool { return count(img, red) > 500 })
	s.key("ctrl+k")
	s.until("no red", func(img image.Image) bool { return count(img, red) == 0 })
	s.signal(syscall.SIGTERM)
	if err := s.end(); err != nil {
		t.Error(err)
	}
	if list, _ := filepath.Glob(filepath.Join(s.home, "state", "abut", "work", "*.abut")); len(list) != 1 {
		t.Errorf("kept %v", list)
	}
	s.start()
	s.until("the work offered", offered)
}

func (s *screen) signal(sig os.Signal) {
	s.t.Helper()
	if err := s.program.Process.Signal(sig); err != nil {
		s.t.Fatal(err)
	}
}
