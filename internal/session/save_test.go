package session

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/workshop"
)

func (b *bench) save(path string) (err error) {
	b.Save(path, false, func(e error) { err = e })
	b.settle()
	return err
}

// kept waits until the work is kept.
func (b *bench) kept() {
	for b.auto.busy || b.Busy() {
		(<-b.queue)()
	}
}

func TestSave_OpensAsItWas(t *testing.T) {
	b := newBench(t)
	b.demo("rich")
	if b.Changed() {
		t.Error("untouched art counts as changed")
	}
	if err := b.Do("ui-step-size", job.KnockOutAll); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "harbour.abut")
	if err := b.save(path); err != nil || b.Changed() || b.File() != path || b.Name() != "harbour" {
		t.Fatalf("%v, changed %v, file %s, name %s", err, b.Changed(), b.File(), b.Name())
	}
	want := b.Job()
	b.demo("pair")
	if b.File() != "" {
		t.Error("other art has the file of the last")
	}
	if err := b.save(path); !workshop.Is(err, ErrExists) {
		t.Errorf("another document was saved over: %v", err)
	}
	b.Open(path)
	b.settle()
	if len(b.errs) > 0 || !reflect.DeepEqual(b.Job(), want) || b.Changed() {
		t.Errorf("%v; changed %v", b.errs, b.Changed())
	}
	b.Undo()
	if err := b.Do("ui-step-size", func(j job.Job) (job.Job, error) { return job.SetKnocks(j, j.LayerIDs(), false) }); err != nil {
		t.Fatal(err)
	}
	if err := b.save(path); err != nil {
		t.Error("a document may not be saved to its own file: ", err)
	}
}

func TestSave_FailedLeavesTheOldFile(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	if err := b.save(filepath.Join(t.TempDir(), "no", "such", "folder.abut")); !workshop.Is(err, "save-failed") {
		t.Error(err)
	}
}

// What a killed process leaves behind is offered, opens with every edit, and is
// gone once it is saved.
func TestAutosave_OffersTheWorkOfAKilledProcess(t *testing.T) {
	dir := t.TempDir()
	killed := newBench(t)
	killed.KeepIn(dir)
	killed.demo("pair")
	if err := killed.Do("ui-step-size", job.KnockOutAll); err != nil {
		t.Fatal(err)
	}
	killed.KeepNow()
	killed.kept()
	find := func(b *bench) (out []Lost) {
		b.FindLost(func(l []Lost) { out = l })
		b.settle()
		return out
	}
	next := newBench(t)
	next.KeepIn(dir)
	if l := find(next); len(l) != 0 {
		t.Fatal("the work of a living process is offered")
	}
	killed.auto.dies(t)
	lost := find(next)
	if len(lost) != 1 || lost[0].Name != "Little boat" {
		t.Fatalf("offered: %+v", lost)
	}
	next.Recover(lost[0])
	next.settle()
	if !reflect.DeepEqual(next.Job(), killed.Job()) || !next.Changed() {
		t.Error("what came back is not what was lost, or counts as saved")
	}
	if l := find(next); len(l) != 0 {
		t.Error("what is open is offered again")
	}
	if err := next.save(filepath.Join(t.TempDir(), "boat.abut")); err != nil {
		t.Fatal(err)
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("saved, and still kept: %v", left)
	}
	next.rename("other")
	next.Undo()
	if next.Changed() {
		t.Error("nothing was done since it was saved, and it counts as changed")
	}
}

func TestAutosave_IsForgottenWhenTheDocumentIsLeft(t *testing.T) {
	dir := t.TempDir()
	b := newBench(t)
	b.KeepIn(dir)
	b.demo("pair")
	if err := b.Do("ui-step-size", job.KnockOutAll); err != nil {
		t.Fatal(err)
	}
	b.KeepNow()
	b.Close() // while it is being written
	b.kept()
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("left and still kept: %v", left)
	}
}

// An export that is given up leaves no folder and says so, whether it is being
// written or waits for what was asked for before.
func TestExport_GivenUpLeavesNothing(t *testing.T) {
	for name, before := range map[string]func(*bench){
		"while it is written": func(*bench) {},
		"while it waits":      func(b *bench) { b.Resize(120, 0) },
	} {
		b := newBench(t)
		b.demo("pair")
		b.knockOut()
		before(b)
		dir := filepath.Join(t.TempDir(), "files")
		told := 0
		b.Export(dir, workshop.WriteOptions{}, func(m *workshop.Manifest, err error) {
			told++
			if m != nil || !fit.IsCancelled(err) {
				t.Errorf("%s: %v, %v", name, m, err)
			}
		})()
		b.settle()
		if _, err := os.Stat(dir); told != 1 || !errors.Is(err, os.ErrNotExist) || !b.Changed() {
			t.Errorf("%s: told %d times, the folder: %v", name, told, err)
		}
	}
}

// A file that something else has written since it was opened is not saved over without a word.
func TestSave_WhatSomethingElseChangedIsNotReplaced(t *testing.T) {
	path := filepath.Join(t.TempDir(), "harbour.abut")
	b, other := newBench(t), newBench(t)
	b.demo("rich")
	if err := b.save(path); err != nil {
		t.Fatal(err)
	}
	other.Open(path)
	other.settle()
	for i, x := range []*bench{b, other} {
		if err := x.Do("ui-step-size", func(j job.Job) (job.Job, error) { return job.SetClearance(j, 0.1*float64(i+1)) }); err != nil {
			t.Fatal(err)
		}
	}
	if err := other.save(path); err != nil {
		t.Fatal(err)
	}
	theirs, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.save(path); !workshop.Is(err, ErrChanged) || !b.Changed() {
		t.Errorf("%v, changed %v", err, b.Changed())
	}
	if now, err := os.ReadFile(path); err != nil || string(now) != string(theirs) {
		t.Error("what was saved elsewhere is gone", err)
	}
	b.Save(path, true, func(e error) { err = e })
	b.settle()
	if err != nil || b.Changed() {
		t.Error("not even when it is asked for: ", err)
	}
	// Twice at once, and where the file went away.
	for range 2 {
		b.Save(path, false, func(e error) { err = errors.Join(err, e) })
	}
	b.settle()
	if err != nil {
		t.Error("its own saving counts as somebody else's: ", err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := b.save(path); err != nil {
		t.Error(err)
	}
}

// A file that was only touched, or put back as it was, is nobody's change.
func TestSave_AFileThatHoldsTheSameIsReplaced(t *testing.T) {
	path := filepath.Join(t.TempDir(), "harbour.abut")
	b, other := newBench(t), newBench(t)
	b.demo("rich")
	if err := b.save(path); err != nil {
		t.Fatal(err)
	}
	other.Open(path)
	other.settle()
	touch := func() {
		t.Helper()
		if err := os.Chtimes(path, time.Time{}, time.Now().Add(time.Hour)); err != nil {
			t.Fatal(err)
		}
	}
	for what, x := range map[string]*bench{"saved here": b, "opened here": other} {
		touch()
		if err := x.inTheWay(path); err != nil {
			t.Errorf("%s and touched: %v", what, err)
		}
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data[len(data)/2] ^= 1 // as many bytes
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	touch()
	for what, x := range map[string]*bench{"saved here": b, "opened here": other} {
		if err := x.inTheWay(path); !workshop.Is(err, ErrChanged) {
			t.Errorf("%s and changed: %v", what, err)
		}
	}
}

// Work that was rescued is not saved over a file that was saved after it.
func TestSave_RescuedWorkDoesNotReplaceALaterFile(t *testing.T) {
	dir, path := t.TempDir(), filepath.Join(t.TempDir(), "harbour.abut")
	killed := newBench(t)
	killed.demo("pair")
	if err := killed.save(path); err != nil {
		t.Fatal(err)
	}
	killed.KeepIn(dir)
	if err := killed.Do("ui-step-size", job.KnockOutAll); err != nil {
		t.Fatal(err)
	}
	killed.KeepNow()
	killed.kept()
	killed.auto.dies(t)
	for _, later := range []bool{false, true} {
		b := newBench(t)
		b.KeepIn(dir)
		var lost []Lost
		b.FindLost(func(l []Lost) { lost = l })
		b.settle()
		if len(lost) != 1 {
			t.Fatal(lost)
		}
		if later {
			at := lost[0].Time.Add(time.Minute)
			if err := os.Chtimes(path, at, at); err != nil {
				t.Fatal(err)
			}
		}
		b.Recover(lost[0])
		b.settle()
		if held := b.inTheWay(path); later != workshop.Is(held, ErrChanged) || !later && held != nil {
			t.Errorf("later %v: %v", later, held)
		}
		b.auto.dies(t)
	}
}
