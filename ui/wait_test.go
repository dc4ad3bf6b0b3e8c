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
	still, drag []time.Duration
	trouble     error
}

// TestMain opens the real window on a display of its own when ABUT_WAITS is
// set: the toolkit wants the main goroutine for it.
func TestMain(m *testing.M) {
	if os.Getenv("ABUT_WAITS") != "" {
		waits.trouble = measureWaits()
	}
	os.Exit(m.Run())
}

func measureWaits() error {
	r, w, err := os.Pipe()
	if err != nil {
		return err
	}
	x := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1440x900x24", "-nolisten", "tcp")
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
	defer os.RemoveAll(dir)
	if err := os.MkdirAll(filepath.Join(dir, "fyne"), 0o700); err != nil {
		return err
	}
	for k, v := range map[string]string{"DISPLAY": ":" + strings.TrimSpace(number), "HOME": dir, "XDG_CONFIG_HOME": dir, "XDG_STATE_HOME": dir, "FYNE_SCALE": "1"} {
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
	go drive()
	if status := Main(file, ""); status != 0 {
		return fmt.Errorf("status %d", status)
	}
	return nil
}

// drive drags with a pointer and asks the event thread all the while.
func drive() {
	tool := func(args ...string) { _ = exec.Command("xdotool", args...).Run() }
	time.Sleep(4 * time.Second)
	fyne.DoAndWait(func() {
		for _, w := range fyne.CurrentApp().Driver().AllWindows() {
			w.Resize(fyne.NewSize(1440, 900))
		}
	})
	time.Sleep(time.Second)
	tool("mousemove", "720", "600") // the sea of the picture: a large layer
	sample := func(d time.Duration) (out []time.Duration) {
		for end := time.Now().Add(d); time.Now().Before(end); time.Sleep(2 * time.Millisecond) {
			start := time.Now()
			fyne.DoAndWait(func() {})
			out = append(out, time.Since(start))
		}
		return out
	}
	waits.still = sample(2 * time.Second)
	tool("mousedown", "1")
	done := make(chan bool)
	go func() {
		// One process for the whole drag, at a pointer's usual pace: starting one a
		// move would be what is measured.
		var moves []string
		for i := range 300 {
			moves = append(moves, "mousemove", fmt.Sprint(660+i%120), fmt.Sprint(600-i%40), "sleep", "0.012")
		}
		tool(moves...)
		close(done)
	}()
	for stop := false; !stop; {
		waits.drag = append(waits.drag, sample(200*time.Millisecond)...)
		select {
		case <-done:
			stop = true
		default:
		}
	}
	tool("mouseup", "1")
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
	if waits.trouble != nil || len(waits.still) < 50 || len(waits.drag) < 50 {
		t.Fatal(waits.trouble, len(waits.still), len(waits.drag))
	}
	still, drag := p95(waits.still), p95(waits.drag)
	t.Logf("at rest p95 %v, longest %v (%d); while dragging p95 %v, longest %v (%d)",
		still, slices.Max(waits.still), len(waits.still), drag, slices.Max(waits.drag), len(waits.drag))
	if still > 16*time.Millisecond || slices.Max(waits.drag) > 2*time.Second {
		t.Error("the event thread is kept busy")
	}
}
