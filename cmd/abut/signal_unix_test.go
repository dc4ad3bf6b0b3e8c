//go:build unix

package main

import (
	"bytes"
	"errors"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"abut/internal/tree"
	"abut/internal/workshop"
)

const asProgram = "ABUT_TEST_AS_PROGRAM"

// TestMain is the program itself when a test has started it as that.
func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	os.Exit(m.Run())
}

// hangs is far longer than any of these tests takes: it only ends what hangs.
const hangs = 20 * time.Minute

// program returns the program with a command line, not started yet.
func program(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	c := exec.Command(os.Args[0], args...)
	c.Env = append(os.Environ(), asProgram+"=1", "LC_ALL=C")
	return c
}

// end waits for the program and kills it when it hangs.
func end(t *testing.T, c *exec.Cmd) *os.ProcessState {
	t.Helper()
	guard := time.AfterFunc(hangs, func() { _ = c.Process.Kill() })
	defer guard.Stop()
	var exit *exec.ExitError
	if err := c.Wait(); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return c.ProcessState
}

func TestMain_ASignalStopsTheProgramAndLeavesNothing(t *testing.T) {
	body := `<svg xmlns="http://www.w3.org/2000/svg" ` + sized + `>` + stack(50) + `</svg>`
	for name, text := range map[string]string{"while it waits for its picture": body[:200], "at work": body} {
		sent := syscall.SIGTERM
		if name == "at work" {
			sent = syscall.SIGINT
		}
		dir := t.TempDir()
		pipe, out := filepath.Join(dir, "art.svg"), filepath.Join(dir, "above", "out")
		if err := syscall.Mkfifo(pipe, 0o600); err != nil {
			t.Skip(err)
		}
		c := program(t, "cut", pipe, "-o", out, "--mend")
		var stderr bytes.Buffer
		c.Stderr = &stderr
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		w, err := os.OpenFile(pipe, os.O_WRONLY, 0) // which waits until the program reads
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, text); err != nil {
			t.Error(err)
		}
		if len(text) == len(body) {
			w.Close()
		}
		if err := c.Process.Signal(sent); err != nil {
			t.Error(err)
		}
		state := end(t, c)
		w.Close()
		if state.ExitCode() != exitStopped || !strings.Contains(stderr.String(), "abut: Stopped") {
			t.Errorf("%s: %v\n%s", name, state, &stderr)
		}
		if got := listing(t, dir); len(got) != 2 {
			t.Errorf("%s: left behind: %v", name, got)
		}
	}
}

// A program that cannot stop, since nobody reads what it has to say, is ended by
// the second signal.
func TestMain_ASecondSignalEndsTheProgramAtOnce(t *testing.T) {
	grid := many(1600, func(int) string { return palette[0] })
	file := art(t, sized, grid+`<g transform="translate(.5 .5)">`+strings.ReplaceAll(grid, palette[0], palette[1])+`</g>`)
	c := program(t, "check", file, "--json")
	stdout, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	// The first bytes are there, and all of them are more than a pipe holds.
	if _, err := io.ReadFull(stdout, make([]byte, 1)); err != nil {
		t.Fatal(err)
	}
	ended := make(chan *os.ProcessState)
	go func() {
		state, _ := c.Process.Wait()
		ended <- state
	}()
	again := time.NewTicker(10 * time.Millisecond)
	defer again.Stop()
	guard := time.AfterFunc(hangs, func() { _ = c.Process.Kill() })
	defer guard.Stop()
	for {
		select {
		case state := <-ended:
			if ws, ok := state.Sys().(syscall.WaitStatus); !ok || !ws.Signaled() || ws.Signal() != syscall.SIGTERM {
				t.Errorf("it ended with %v", state)
			}
			return
		case <-again.C:
			_ = c.Process.Signal(syscall.SIGTERM)
		}
	}
}

// Whichever comes first, the folder holds the files of one run, all of them, and
// the other says that it wrote nothing.
func TestMain_TwoExportsAtOnceIntoOneFolderDoNotMix(t *testing.T) {
	dir := t.TempDir()
	narrow, wide := filepath.Join(dir, "narrow"), filepath.Join(dir, "wide")
	file := art(t, sized, overlapping)
	must(t, "cut", file, "-o", narrow, "--width", "50mm")
	must(t, "cut", file, "-o", wide, "--width", "90mm")
	for round := range 10 {
		out := filepath.Join(dir, "out")
		flags := []string{"cut", file, "-o", out, "--overwrite", "--width"}
		if round%2 == 0 { // a new folder, else the one of the round before
			if err := os.RemoveAll(out); err != nil {
				t.Fatal(err)
			}
		}
		runs := []*exec.Cmd{program(t, append(flags, "50mm")...), program(t, append(flags, "90mm")...)}
		says := make([]bytes.Buffer, len(runs))
		for i, c := range runs {
			c.Stderr = &says[i]
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
		}
		wrote := 0
		for i, c := range runs {
			state := end(t, c)
			if state.Success() {
				wrote++
			} else if !strings.Contains(says[i].String(), "othing was changed") {
				t.Errorf("round %d: %v %s", round, state, &says[i])
			}
		}
		if got := listing(t, out); wrote == 0 || len(got) != len(listing(t, narrow)) {
			t.Errorf("round %d: %d wrote, and there is %v", round, wrote, got)
		}
		like := narrow
		if readManifest(t, out).WidthMM == 90 {
			like = wide
		}
		for _, s := range readManifest(t, like).Separations {
			want, _ := os.ReadFile(filepath.Join(like, s.File))
			if got, err := os.ReadFile(filepath.Join(out, s.File)); err != nil || !bytes.Equal(got, want) {
				t.Errorf("round %d: %s is of another run than job.json (%v)", round, s.File, err)
			}
		}
	}
	if got := listing(t, dir); slices.ContainsFunc(got, func(p string) bool { return strings.HasPrefix(filepath.Base(p), ".") && p != "." }) {
		t.Errorf("left behind: %v", got)
	}
}

// Killed while it writes many files of many formats over those of an earlier run: the
// next run finds its folder as it was, and nothing else is left.
func TestMain_AKilledRunWithManyFormatsIsUndone(t *testing.T) {
	file := art(t, sized, many(60, func(i int) string { return palette[i%len(palette)] }))
	killed := 0
	for range 3 {
		dir := t.TempDir()
		out := filepath.Join(dir, "out")
		must(t, "cut", file, "-o", out)
		before := tree.Of(t, dir)
		there := len(before)
		c := program(t, "cut", file, "-o", out, "--overwrite", "--formats", workshop.FormatNames(workshop.Formats()), "--weeding-lines")
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		ended := make(chan *os.ProcessState)
		go func() { ended <- end(t, c) }()
		var state *os.ProcessState
		for state == nil {
			select {
			case state = <-ended:
			default:
				if entries, err := os.ReadDir(dir); err == nil && len(entries) > 1 || len(listingNow(dir)) > there {
					_ = c.Process.Kill() // it may have ended by now
					state = <-ended
				}
			}
		}
		if !state.Exited() {
			killed++
		}
		must(t, "cut", file, "-o", out, "--overwrite")
		if after := tree.Of(t, dir); !maps.Equal(before, after) {
			t.Errorf("%v\nwas %v", slices.Sorted(maps.Keys(after)), slices.Sorted(maps.Keys(before)))
		}
	}
	if killed == 0 {
		t.Error("every run had ended before it was killed")
	}
}

// listingNow is what is in a folder while others change it.
func listingNow(dir string) (names []string) {
	_ = filepath.WalkDir(dir, func(p string, _ os.DirEntry, err error) error {
		if err == nil {
			names = append(names, p)
		}
		return nil
	})
	return names
}
