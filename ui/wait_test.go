package ui

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"abut/assets"
)

// waits is what TestMain measured in the real window, empty where there was
// none.
var waits struct {
	still, drag, zoom []time.Duration
	trouble           error
}

// TestMain opens the real window on a display of its own when ABUT_WAITS is
// set to the window's size, as 1440x900: the toolkit wants the main goroutine
// for it.
func TestMain(m *testing.M) {
	if size := os.Getenv("ABUT_WAITS"); size != "" {
		waits.trouble = measureWaits(size)
	}
	os.Exit(m.Run())
}

// measureWaits opens a window of a size in pixels; from 2,000 across on it is
// one of two pixels a unit.
func measureWaits(size string) error {
	var wide, high int
	if _, err := fmt.Sscanf(size, "%dx%d", &wide, &high); err != nil {
		return fmt.Errorf("ABUT_WAITS=%s: want a size as 1440x900", size)
	}
	scale := 1
	if wide >= 2000 {
		scale = 2
	}
	r, w, err := os.Pipe()
	if err != nil {
		return err
	}
	x := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", fmt.Sprintf("%dx%dx24", wide, high), "-nolisten", "tcp")
	x.ExtraFiles = []*os.File{w}
	if err := x.Start(); err != nil {
		return err
	}
	defer func() { _ = x.Process.Kill(); _ = x.Wait() }()
	number, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "abut")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	if err := os.MkdirAll(filepath.Join(dir, "fyne"), 0o700); err != nil {
		return err
	}
	for k, v := range map[string]string{"DISPLAY": ":" + strings.TrimSpace(number), "HOME": dir, "XDG_CONFIG_HOME": dir, "XDG_STATE_HOME": dir, "XDG_DATA_HOME": dir, "FYNE_SCALE": fmt.Sprint(scale)} {
		if err := os.Setenv(k, v); err != nil {
			return err
		}
	}
	file := filepath.Join(dir, "rich.svg")
	for _, d := range assets.Demos() {
		if d.ID == "rich" {
			if err := os.WriteFile(file, d.SVG, 0o600); err != nil {
				return err
			}
		}
	}
	go drive(wide, high, scale)
	if status := Main(file, ""); status != 0 {
		return fmt.Errorf("status %d", status)
	}
	return nil
}

// drive drags with a pointer, then turns the wheel with Ctrl held, and asks the
// event thread all the while.
func drive(wide, high, scale int) {
	tool := func(args ...string) { _ = exec.Command("xdotool", args...).Run() }
	time.Sleep(4 * time.Second)
	fyne.DoAndWait(func() {
		for _, w := range fyne.CurrentApp().Driver().AllWindows() {
			w.Resize(fyne.NewSize(float32(wide/scale), float32(high/scale)))
		}
	})
	time.Sleep(time.Second)
	// The sea of the picture: a large layer.
	x, y := wide/2, high*2/3
	tool("mousemove", fmt.Sprint(x), fmt.Sprint(y))
	sample := func(d time.Duration) (out []time.Duration) {
		for end := time.Now().Add(d); time.Now().Before(end); time.Sleep(2 * time.Millisecond) {
			start := time.Now()
			fyne.DoAndWait(func() {})
			out = append(out, time.Since(start))
		}
		return out
	}
	waits.still = sample(2 * time.Second)
	during := func(moves []string) (out []time.Duration) {
		done := make(chan bool)
		go func() {
			// One process for all of it, at a pointer's usual pace: starting one a
			// move would be what is measured.
			tool(moves...)
			close(done)
		}()
		for {
			out = append(out, sample(200*time.Millisecond)...)
			select {
			case <-done:
				return out
			default:
			}
		}
	}
	tool("mousedown", "1")
	var moves []string
	for i := range 300 {
		moves = append(moves, "mousemove", fmt.Sprint(x-60+i%120), fmt.Sprint(y-i%40), "sleep", "0.012")
	}
	waits.drag = during(moves)
	tool("mouseup", "1")
	time.Sleep(time.Second)
	tool("keydown", "ctrl")
	moves = nil
	for i := range 40 {
		notch := "4"
		if i%10 >= 5 {
			notch = "5"
		}
		moves = append(moves, "click", notch, "sleep", "0.08")
	}
	waits.zoom = during(moves)
	tool("keyup", "ctrl")
	time.Sleep(time.Second)
	fyne.Do(func() { fyne.CurrentApp().Quit() })
}

func p95(d []time.Duration) time.Duration {
	s := slices.Clone(d)
	slices.Sort(s)
	return s[len(s)*95/100]
}

// At rest the event thread answers at once. What a drag costs depends on how
// frames get to the screen: without a graphics card that is a software renderer's
// work, on the same thread, so it is reported and only a stall fails.
func TestWaits(t *testing.T) {
	if os.Getenv("ABUT_WAITS") == "" {
		t.Skip("opens the real window; set ABUT_WAITS")
	}
	if waits.trouble != nil || len(waits.still) < 50 || len(waits.drag) < 50 || len(waits.zoom) < 50 {
		t.Fatal(waits.trouble, len(waits.still), len(waits.drag), len(waits.zoom))
	}
	for _, x := range []struct {
		when  string
		waits []time.Duration
	}{{"at rest", waits.still}, {"while dragging", waits.drag}, {"while zooming", waits.zoom}} {
		t.Logf("%s p95 %v, longest %v (%d)", x.when, p95(x.waits), slices.Max(x.waits), len(x.waits))
	}
	if p95(waits.still) > 16*time.Millisecond || slices.Max(waits.drag) > 2*time.Second {
		t.Error("the event thread is kept busy")
	}
}
