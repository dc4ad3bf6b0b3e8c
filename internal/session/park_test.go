package session

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"abut/internal/job"
	"abut/internal/message"
)

// park parks the session and runs what is handed over until that is done.
func (b *bench) park() {
	b.t.Helper()
	parked := false
	b.Park(func() { parked = true })
	for !parked {
		(<-b.queue)()
	}
	for _, t := range b.tasks {
		if t.writes {
			b.t.Error("parked, and something is being written")
		}
	}
	if b.auto.busy {
		b.t.Error("parked, and work is being kept")
	}
}

// named waits for the work that a session left and returns what its first layer
// is called there.
func (b *bench) named(dir string) string {
	b.t.Helper()
	kept := files(b.t, dir)
	if len(kept) != 1 {
		b.t.Fatalf("kept %v", kept)
	}
	d, err := readDocument(kept[0])
	if err != nil {
		b.t.Fatal(err)
	}
	return d.Job.Items[0].Layers[0].Name
}

func parking(t *testing.T) (*bench, string) {
	t.Helper()
	dir := t.TempDir()
	b := newBench(t)
	b.KeepIn(dir)
	b.svg(triangle)
	return b, dir
}

func TestPark_KeepsTheLastStep(t *testing.T) {
	b, dir := parking(t)
	b.rename("one")
	b.KeepNow()
	b.rename("two") // while the first is being written
	b.park()
	if got := b.named(dir); got != "two" {
		t.Errorf("kept %q", got)
	}
}

// What is typed counts, at once or once it is worked out.
func TestPark_KeepsWhatIsTyped(t *testing.T) {
	b, dir := parking(t)
	b.Begin("rename", nil).Hold(rename("typed"))
	b.park()
	if got := b.named(dir); got != "typed" {
		t.Errorf("kept %q", got)
	}

	b, dir = parking(t)
	b.Begin("rename", nil).Later("ui-task-text", func(context.Context, job.Job) (Edit, error) { return rename("typeset"), nil }, nil)
	b.park()
	if got := b.named(dir); got != "typeset" {
		t.Errorf("kept %q", got)
	}
}

func TestPark_GivesUpWhatMakesNoSense(t *testing.T) {
	b, dir := parking(t)
	b.rename("one")
	b.Begin("rename", nil).Wrong(errors.New("no number"))
	b.park()
	if got := b.named(dir); got != "one" {
		t.Errorf("kept %q", got)
	}
	b, dir = parking(t)
	b.rename("one")
	b.Begin("rename", nil).Later("ui-task-text", func(context.Context, job.Job) (Edit, error) { return nil, errors.New("no such font") }, nil)
	b.Later("ui-task-text", "rename", func(context.Context, job.Job) (Edit, error) { return rename("two"), nil }, nil)
	b.park()
	if got := b.named(dir); got != "two" {
		t.Errorf("kept %q", got)
	}
}

// Writing that nobody will see is given up and waited for; parked is told after
// what that leads to.
func TestPark_WaitsUntilWritingHasStopped(t *testing.T) {
	b, dir := parking(t)
	b.rename("one")
	told := false
	finish(b.Session, message.Message{ID: "ui-task-export"}, func(ctx context.Context) (int, error) {
		<-ctx.Done()
		return 0, ctx.Err()
	}, func(_ int, err error) { told = err != nil })
	b.park()
	if !told || b.named(dir) != "one" {
		t.Errorf("told %v", told)
	}
}

// Nobody waits for what only looks.
func TestPark_LeavesWhatWritesNothing(t *testing.T) {
	b := newBench(t)
	never := make(chan int)
	t.Cleanup(func() { close(never) })
	run(b.Session, message.Message{ID: "ui-task-fonts"}, func(context.Context) (int, error) { return <-never, nil }, func(int, error) {})
	parked := false
	b.Park(func() { parked = true })
	if !parked {
		t.Error("it is waited for")
	}
}

// What is being saved is saved, and not offered again.
func TestPark_SavesWhatIsBeingSaved(t *testing.T) {
	b, dir := parking(t)
	b.rename("one")
	b.KeepNow()
	b.kept()
	path := filepath.Join(t.TempDir(), "one.abut")
	b.Save(path, false, func(err error) {
		if err != nil {
			t.Error(err)
		}
	})
	b.park()
	if kept := files(t, dir); len(kept) != 0 {
		t.Errorf("kept %v", kept)
	}
	if _, err := os.Stat(path); err != nil {
		t.Error(err)
	}
}

// Without anything to keep, or without a place for it, there is nothing to wait
// for.
func TestPark_NeedsNoDocumentAndNoFolder(t *testing.T) {
	newBench(t).park()
	b := newBench(t)
	b.svg(triangle)
	b.rename("one")
	b.park()
	b, _ = parking(t)
	b.KeepIn(filepath.Join(t.TempDir(), "file"))
	if err := os.WriteFile(b.auto.dir, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	b.rename("one")
	b.park()
	if len(b.errs) != 1 {
		t.Errorf("told %v", b.errs)
	}
}
