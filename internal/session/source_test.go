package session

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"abut/internal/job"
	"abut/internal/workshop"
)

const (
	nest      = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" width="100mm" height="100mm"><rect id="Nest" width="80" height="40" fill="#a06020"/><circle id="Egg" cx="40" cy="20" r="9" fill="#30a0d0"/></svg>`
	twoInNest = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" width="100mm" height="100mm"><rect id="Nest" width="80" height="40" fill="#a06020"/>
<circle id="Egg" cx="20" cy="20" r="9" fill="#30a0d0"/><circle id="Chick" cx="60" cy="20" r="9" fill="#f0d020"/></svg>`
)

// drawn writes a file as a program does some time later.
func (b *bench) drawn(path, text string) {
	b.t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		b.t.Fatal(err)
	}
	drawnAt = drawnAt.Add(time.Second)
	if err := os.Chtimes(path, drawnAt, drawnAt); err != nil {
		b.t.Fatal(err)
	}
}

var drawnAt = time.Now()

// outdated looks for changes, and returns the files that were told.
func (b *bench) outdated() string {
	b.t.Helper()
	var files []string
	b.LookForChanges(func(o Outdated) {
		files = append(files, o.File)
		b.Seen(o)
	})
	b.settle()
	return strings.Join(files, " ")
}

func TestLookForChanges_TellsOfEachChangeOnce(t *testing.T) {
	b := newBench(t)
	if got := b.outdated(); got != "" {
		t.Errorf("nothing is open, and told of %q", got)
	}
	path := b.file("nest.svg", nest)
	b.Open(path)
	b.settle()
	other := b.file("egg.svg", nest)
	b.Add([]string{other}, nil)
	b.settle()
	for _, c := range []struct {
		what string
		do   func()
		want string
	}{
		{"untouched", func() {}, ""},
		{"saved without a change", func() { b.drawn(path, nest) }, ""},
		{"changed", func() { b.drawn(path, twoInNest) }, "nest.svg"},
		{"told already", func() {}, ""},
		{"changed again", func() { b.drawn(path, twoInNest+" ") }, "nest.svg"},
		{"changed back", func() { b.drawn(path, nest) }, ""},
		{"one that was added", func() { b.drawn(other, twoInNest) }, "egg.svg"},
		{"gone", func() { _, _ = os.Remove(path), os.Remove(other) }, ""},
		{"a folder", func() { _ = os.Mkdir(path, 0o700) }, ""},
	} {
		c.do()
		if got := b.outdated(); got != c.want {
			t.Errorf("%s: told of %q, want %q", c.what, got, c.want)
		}
	}
}

func TestRenew_IsOneStepThatKeepsWhatWasDecided(t *testing.T) {
	b := newBench(t)
	path := b.file("nest.svg", nest)
	b.Open(path)
	b.settle()
	b.Resize(40, 0)
	b.settle()
	if err := b.Do("knock", job.KnockOutAll); err != nil {
		t.Fatal(err)
	}
	before := b.Job()
	b.drawn(path, twoInNest)
	var told []job.Redrawn
	renew := func() {
		b.Renew(1, func(file string, r job.Redrawn) {
			if file != "nest.svg" {
				t.Errorf("told of %q", file)
			}
			r.Base = job.Item{}
			told = append(told, r)
		})
		b.settle()
	}
	renew()
	it := b.Job().Items[0]
	if len(b.errs) > 0 || len(told) != 1 || told[0].Changed != 1 || told[0].New != 1 || told[0].Gone+told[0].Yours != 0 {
		t.Fatalf("%v, told %+v", b.errs, told)
	}
	if len(it.Layers) != 3 || it.Placement != before.Items[0].Placement || b.stackedMM2() != 0 || b.outdated() != "" {
		t.Errorf("%d layers at %v, %v mm² stack", len(it.Layers), it.Placement, b.stackedMM2())
	}
	b.Undo()
	if got := b.Job(); len(got.Items[0].Layers) != 2 || got.Items[0].Placement != before.Items[0].Placement {
		t.Errorf("undone: %d layers", len(got.Items[0].Layers))
	}
	b.Redo()
	renew()
	if len(told) != 2 || told[1].Changed+told[1].New+told[1].Gone+told[1].Yours != 0 {
		t.Errorf("nothing changed since, and told %+v", told)
	}
}

// A file that is half written is trouble; the picture stays, and can be taken later.
func TestRenew_LeavesThePictureWhereItCannotBeRead(t *testing.T) {
	b := newBench(t)
	path := b.file("nest.svg", nest)
	b.Open(path)
	b.settle()
	b.drawn(path, nest[:150])
	if got := b.outdated(); got != "nest.svg" {
		t.Errorf("told of %q", got)
	}
	b.Renew(1, func(string, job.Redrawn) { t.Error("told that it was taken") })
	b.settle()
	if len(b.errs) != 1 || b.Changed() || b.CanUndo() {
		t.Errorf("told %v, changed %v", b.errs, b.Changed())
	}
	b.drawn(path, twoInNest)
	b.errs = nil
	b.Renew(1, func(string, job.Redrawn) {})
	b.settle()
	if len(b.errs) > 0 || len(b.Job().Items[0].Layers) != 3 {
		t.Errorf("told %v, %d layers", b.errs, len(b.Job().Items[0].Layers))
	}
}

// A job whose picture's file is not there has any taken in its place, which is looked at from then on.
func TestReplacePicture_OfAJob(t *testing.T) {
	b := newBench(t)
	b.Open(b.file("nest.svg", nest))
	b.settle()
	saved := filepath.Join(t.TempDir(), "nest.abut")
	if err := b.save(saved); err != nil {
		t.Fatal(err)
	}
	b = newBench(t)
	b.Open(saved)
	b.settle()
	if b.HasSource(1) || b.outdated() != "" {
		t.Error("the picture has a file")
	}
	path := b.file("other.svg", twoInNest)
	b.ReplacePicture(1, path, func(string, job.Redrawn) {})
	b.settle()
	if len(b.errs) > 0 || len(b.Job().Items[0].Layers) != 3 || b.File() != saved || b.Job().Items[0].Source != "other.svg" {
		t.Errorf("told %v, %d layers, saved in %q", b.errs, len(b.Job().Items[0].Layers), b.File())
	}
	b.drawn(path, nest)
	if got := b.outdated(); got != "other.svg" {
		t.Errorf("told of %q", got)
	}
	b.ReplacePicture(1, filepath.Join(t.TempDir(), "none.svg"), func(string, job.Redrawn) {})
	b.settle()
	if len(b.errs) != 1 || !workshop.Is(b.errs[0], "file-missing") {
		t.Errorf("told %v", b.errs)
	}
}
