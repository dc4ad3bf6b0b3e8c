package session

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/workshop"
)

const triangle = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10"><path id="flag" d="M0 0H20V10Z"/></svg>`

// file writes a picture, or anything, to a file of its own.
func (b *bench) file(name, text string) string {
	b.t.Helper()
	path := filepath.Join(b.t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		b.t.Fatal(err)
	}
	return path
}

func rename(to string) Edit {
	return func(j job.Job) (job.Job, error) { return job.Rename(j, j.Items[0].Layers[0].ID, to) }
}

func TestSession_WithoutADocumentNothingHappens(t *testing.T) {
	b := newBench(t)
	b.KeepIn(t.TempDir())
	nothing := func(j job.Job) (job.Job, error) { return j, nil }
	for name, do := range map[string]func(){
		"do":    func() { _ = b.Do("label", nothing) },
		"nudge": func() { _ = b.Nudge("key", "label", nothing) },
		"draft": func() { d := b.Begin("label", nil); d.Show(nothing); _ = d.Keep() },
		"later": func() {
			b.Later("task", "label", func(context.Context, job.Job) (Edit, error) { return nothing, nil }, nil)
		},
		"lettering": func() { b.Begin("label", nil).Work("task", Lettering(1, nil, nil), nil); b.Draft().Drop() },
		"undo":      b.Undo, "redo": b.Redo,
		"go to":     func() { b.GoTo(3) },
		"resize":    func() { b.Resize(10, 0) },
		"fill":      func() { b.FillBlank(job.Blank{WidthMM: 10, HeightMM: 10}) },
		"merge":     func() { b.Merge([]job.LayerID{1, 2}) },
		"split":     func() { b.Split(1) },
		"outline":   func() { b.Outline(1) },
		"mend all":  b.MendAll,
		"keep":      func() { b.Keep(fit.WeakSpot{}) },
		"keep all":  b.KeepAll,
		"look":      b.LookAgain,
		"stop":      b.StopLooking,
		"add":       func() { b.Add(nil, nil) },
		"keep work": b.KeepNow,
		"save": func() {
			b.Save(filepath.Join(t.TempDir(), "a.abut"), false, func(error) { t.Error("saved what is not there") })
		},
		"export": func() {
			b.Export(t.TempDir(), workshop.WriteOptions{}, func(*workshop.Manifest, error) { t.Error("exported what is not there") })
		},
	} {
		do()
		if b.Busy() || b.Opened() || b.CanUndo() || b.CanRedo() || b.Changed() || len(b.errs) > 0 {
			t.Errorf("%s: busy %v, opened %v, told %v", name, b.Busy(), b.Opened(), b.errs)
		}
	}
	ended := false
	b.Options(fit.WeakSpot{}, func(MendOption) { t.Error("an option") }, func() { ended = true })()
	labels, done := b.Steps()
	if !ended || labels != nil || done != 0 || b.UndoLabel() != "" || b.RedoLabel() != "" || b.Name() != "" || b.Cut() != nil {
		t.Errorf("ended %v, steps %v, %d; name %q", ended, labels, done, b.Name())
	}
	b.Close() // closes nothing, and says so
	if b.changes&OpenedChanged == 0 {
		t.Error("told nobody")
	}
}

func TestSession_FilesLieBesideTheArtUnderItsName(t *testing.T) {
	b := newBench(t)
	home := filepath.Join("somewhere", "home")
	path := b.file("flag.svg", triangle)
	dir := filepath.Dir(path)
	b.Open(path)
	b.settle()
	folder := b.ExportFolder(home)
	if b.SaveTarget(home) != filepath.Join(dir, "flag.abut") || filepath.Dir(folder) != dir || !strings.HasPrefix(filepath.Base(folder), "flag ") {
		t.Errorf("%s, %s", b.SaveTarget(home), folder)
	}
	// What is made of one picture for several blanks lies apart.
	for _, blank := range []string{"Round coaster", "Mug 1/2"} {
		if err := b.Do("blank", func(j job.Job) (job.Job, error) {
			return job.SetBlankShape(j, &job.Blank{Name: blank, WidthMM: 90, HeightMM: 90})
		}); err != nil {
			t.Fatal(err)
		}
		if got, want := b.ExportFolder(home), folder+", "+strings.Replace(blank, "/", "-", 1); got != want {
			t.Errorf("%s goes to %s, want %s", blank, got, want)
		}
		b.Undo()
	}
	// Saved elsewhere, it is saved there again, and is called so.
	own := filepath.Join(t.TempDir(), "pennant.abut")
	if err := b.save(own); err != nil {
		t.Fatal(err)
	}
	if b.SaveTarget(home) != own || b.Name() != "pennant" || filepath.Base(b.ExportFolder(home)) != strings.Replace(filepath.Base(folder), "flag", "pennant", 1) {
		t.Errorf("%s, %q, %s", b.SaveTarget(home), b.Name(), b.ExportFolder(home))
	}
	// Several pictures are beside the first.
	b.Close()
	other := b.file("buoy.svg", triangle)
	b.Add([]string{other, path}, nil)
	b.settle()
	if got := b.SaveTarget(home); got != filepath.Join(filepath.Dir(other), "buoy.abut") {
		t.Errorf("two pictures are saved to %s", got)
	}
	// What is no file has the home folder and, without a name, one that says
	// what it is.
	for name, want := range map[string][2]string{
		"Tide clock":          {"Tide clock", "Tide clock"},
		" A/B\\C:D*E?\"<>|\t": {"A-B-C-D-E-----", "A-B-C-D-E-----"},
		"  ":                  {"job", "art"},
		"../../nul.":          {"-..-nul", "-..-nul"},
		"nul":                 {"nul-", "nul-"},
	} {
		j := b.Job()
		j.Items = slices.Clone(j.Items)
		j.Items[0].Name = name
		b.Use(j, "")
		b.settle()
		if got := b.SaveTarget(home); got != filepath.Join(home, want[0]+".abut") {
			t.Errorf("%q is saved to %s", name, got)
		}
		if got := b.ExportFolder(home); !strings.HasPrefix(got, filepath.Join(home, want[1])+" ") {
			t.Errorf("%q is exported to %s", name, got)
		}
		if got := b.LessonFolder(home); got != filepath.Join(home, want[1]+" lesson") {
			t.Errorf("a lesson of %q goes to %s", name, got)
		}
	}
}

func TestSession_StepsCanBeGoneTo(t *testing.T) {
	b := newBench(t)
	b.svg(triangle)
	for _, name := range []string{"one", "two", "three"} {
		if err := b.Do(name, rename(name)); err != nil {
			t.Fatal(err)
		}
	}
	name := func() string { return b.Job().Items[0].Layers[0].Name }
	for _, to := range []struct {
		n          int
		name       string
		undo, redo string
	}{{1, "one", "one", "two"}, {3, "three", "three", ""}, {0, "flag", "", "one"}, {2, "two", "two", "three"}, {9, "three", "three", ""}, {-1, "flag", "", "one"}} {
		b.GoTo(to.n)
		labels, done := b.Steps()
		if name() != to.name || b.UndoLabel() != to.undo || b.RedoLabel() != to.redo || len(labels) != 3 || done != min(max(to.n, 0), 3) {
			t.Errorf("gone to %d: %q, undo %q, redo %q, %d of %v", to.n, name(), b.UndoLabel(), b.RedoLabel(), done, labels)
		}
	}
	b.changes = 0
	b.GoTo(0)
	if b.changes != 0 {
		t.Errorf("going where one is tells %b", b.changes)
	}
	b.Redo()
	b.Redo()
	if name() != "two" {
		t.Errorf("twice redone: %q", name())
	}
	b.settle()
}

func TestSession_SelectionFollowsWhatIsThere(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	layers := b.Job().LayerIDs()
	b.changes = 0
	b.Select(layers[1:])
	if b.changes != SelectionChanged {
		t.Errorf("told %b", b.changes)
	}
	b.changes = 0
	b.Select(slices.Clone(layers[1:]))
	if b.changes != 0 {
		t.Errorf("selecting the same again tells %b", b.changes)
	}
	// What is deleted is no longer selected; what stays is.
	if err := b.Do("delete", func(j job.Job) (job.Job, error) { return job.DeleteLayers(j, layers[2:]) }); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(b.Selection(), layers[1:2]) || b.changes&SelectionChanged == 0 {
		t.Errorf("selected %v, told %b", b.Selection(), b.changes)
	}
	b.changes = 0
	if err := b.Do("rename", rename("other")); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(b.Selection(), layers[1:2]) || b.changes&SelectionChanged != 0 {
		t.Errorf("an edit of another layer: selected %v, told %b", b.Selection(), b.changes)
	}
	b.settle()
}

// An edit that is refused is no step.
func TestSession_ARefusedEditChangesNothing(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	before := b.stackedMM2()
	no := errors.New("no")
	if err := b.Do("refused", func(j job.Job) (job.Job, error) { return job.Job{}, no }); !errors.Is(err, no) {
		t.Error(err)
	}
	b.settle()
	if b.CanUndo() || b.Changed() || b.stackedMM2() != before || b.preview != nil {
		t.Errorf("a step: %v, changed: %v, %g mm² stack", b.CanUndo(), b.Changed(), b.stackedMM2())
	}
}

// An export is to be cut: whoever wants to go on another day needs the job.
func TestSession_CountsAsChangedWhatItsFileDoesNotHold(t *testing.T) {
	b := newBench(t)
	told := func(what string, changed bool) {
		t.Helper()
		if b.Changed() != changed {
			t.Errorf("%s: changed %v", what, b.Changed())
		}
	}
	edit := func(name string) {
		t.Helper()
		if err := b.Do(name, rename(name)); err != nil {
			t.Fatal(err)
		}
	}
	export := func(dir string) (err error) {
		b.Export(dir, workshop.WriteOptions{}, func(_ *workshop.Manifest, e error) { err = e })
		b.settle()
		return err
	}
	b.svg(triangle)
	told("opened", false)
	if err := export(filepath.Join(t.TempDir(), "files")); err != nil {
		t.Fatal(err)
	}
	told("exported as it was opened", false)
	edit("one")
	told("edited", true)
	b.Undo()
	told("taken back", false)
	b.Redo()
	told("done again", true)
	if err := export(filepath.Join(t.TempDir(), "more")); err != nil {
		t.Fatal(err)
	}
	told("exported", true)
	path := filepath.Join(t.TempDir(), "flag.abut")
	if err := b.save(path); err != nil {
		t.Fatal(err)
	}
	told("saved", false)
	b.Undo()
	told("undone since", true)
	b.Redo()
	told("and done again", false)
	b.Undo()
	edit("two")
	told("something else in its place", true)
	if err := b.save(filepath.Join(t.TempDir(), "no", "folder.abut")); err == nil {
		t.Fatal("saved where there is no folder")
	}
	told("a save that failed", true)
	b.settle()
}

// While it is saved, the document may be edited: that edit is not saved, and
// while it is exported, not exported.
func TestSession_EditsDuringASaveAreUnsaved(t *testing.T) {
	b := newBench(t)
	b.KeepIn(t.TempDir())
	b.svg(triangle)
	if err := b.Do("one", rename("one")); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "flag.abut")
	b.Save(path, false, func(err error) {
		if err != nil {
			t.Error(err)
		}
	})
	if err := b.Do("two", rename("two")); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if !b.Changed() || b.File() != path {
		t.Errorf("changed %v, file %q", b.Changed(), b.File())
	}
	b.KeepNow()
	b.kept()
	if b.auto.slot == "" {
		t.Error("the edit is not kept")
	}
	b.Export(filepath.Join(t.TempDir(), "files"), workshop.WriteOptions{}, func(_ *workshop.Manifest, err error) {
		if err != nil {
			t.Error(err)
		}
	})
	if err := b.Do("three", rename("three")); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if b.State().Exported {
		t.Error("an edit during an export counts as exported")
	}
}

// A save that ends when another document is open is not about that one.
func TestSession_ASaveBelongsToItsDocument(t *testing.T) {
	b := newBench(t)
	b.svg(triangle)
	if err := b.Do("one", rename("one")); err != nil {
		t.Fatal(err)
	}
	b.Save(filepath.Join(t.TempDir(), "flag.abut"), false, func(error) {})
	b.Use(b.Job(), "")
	if err := b.Do("two", rename("two")); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if b.File() != "" || !b.Changed() {
		t.Errorf("file %q, changed %v", b.File(), b.Changed())
	}
}

func TestSession_OpensADocumentWithItsOwnSettings(t *testing.T) {
	a := newBench(t)
	a.svg(triangle)
	if err := a.Do("units", func(j job.Job) (job.Job, error) { j.Settings.Units = job.Inches; return j, nil }); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "FLAG.ABUT")
	if err := a.save(path); err != nil {
		t.Fatal(err)
	}
	for name, open := range map[string]func(b *bench){
		"open": func(b *bench) { b.Open(path) },
		"add":  func(b *bench) { b.Add([]string{path}, nil) },
		"several": func(b *bench) {
			b.Add([]string{path, b.file("a.svg", triangle)}, nil)
		},
	} {
		b := newBench(t)
		b.CutterMM = 210 // is for new ones
		open(b)
		b.settle()
		s := b.Job().Settings
		if len(b.errs) > 0 || s.Units != job.Inches || s.CutterMM != 0 {
			t.Errorf("%s: %v, %+v", name, b.errs, s)
		}
		if own := name != "several"; (b.File() == path) != own {
			t.Errorf("%s: the file is %q", name, b.File())
		}
	}
}

func TestSession_SaysWhyAFileCannotBeOpened(t *testing.T) {
	b := newBench(t)
	for path, id := range map[string]string{
		filepath.Join(t.TempDir(), "none.abut"):              "file-missing",
		t.TempDir() + ".abut/":                               "file-missing",
		b.file("bad.abut", "no job"):                         "abut-not-a-job",
		b.file("new.abut", `{"Schema":"abut","Version":99}`): "abut-too-new",
	} {
		b.errs = nil
		b.Open(path)
		b.settle()
		if len(b.errs) != 1 || !workshop.Is(b.errs[0], id) || b.Opened() {
			t.Errorf("%s: %v, want %s", path, b.errs, id)
		}
		var of *OpenError
		if !errors.As(b.errs[0], &of) || of.File != filepath.Base(path) {
			t.Errorf("%s: %+v does not name the file", path, of)
		}
	}
	folder := filepath.Join(t.TempDir(), "folder.abut")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	b.errs = nil
	b.Open(folder)
	b.settle()
	if len(b.errs) != 1 || b.Opened() {
		t.Errorf("a folder: %v", b.errs)
	}
}

func TestSession_KnowsWhetherTheArtSaysItsSize(t *testing.T) {
	for svg, want := range map[string]bool{triangle: true, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9V9Z"/></svg>`: false} {
		b := newBench(t)
		b.svg(svg)
		if b.Sized() != want {
			t.Errorf("%s: sized %v", svg, b.Sized())
		}
	}
}

func TestUseEmpty_IsADocumentWithABlankAndNothingOnIt(t *testing.T) {
	b := newBench(t)
	b.Units = job.Inches
	if err := b.UseEmpty(job.Blank{Name: "Mug", WidthMM: 200, HeightMM: 90}, &colour.RGB{R: 30}); err != nil {
		t.Fatal(err)
	}
	b.settle()
	s := b.Job().Settings
	if !b.Opened() || len(b.Job().Items) != 0 || s.BlankShape == nil || s.BlankShape.Name != "Mug" || s.BlankColour() != (colour.RGB{R: 30}) || s.Units != job.Inches {
		t.Errorf("%+v", b.Job())
	}
	var edit *job.EditError
	if err := b.UseEmpty(job.Blank{WidthMM: -1}, nil); !errors.As(err, &edit) || edit.ID != "edit-bad-blank" || b.Job().Settings.BlankShape.Name != "Mug" {
		t.Errorf("a blank that cannot be: %v", err)
	}
}

func TestResize_ScalesSeveralPicturesTogether(t *testing.T) {
	b := newBench(t)
	b.svg(triangle)
	if err := b.Do("twice", func(j job.Job) (job.Job, error) {
		j, _ = job.AddBeside(j, j)
		return j, nil
	}); err != nil {
		t.Fatal(err)
	}
	before := b.extent()
	b.Resize(0, 30)
	after := b.extent()
	if !near(after.Height(), 30) || !near(after.Width(), 3*before.Width()) || after.Min != before.Min {
		t.Errorf("%v, before %v", after, before)
	}
	if b.UndoLabel() != "ui-step-size" {
		t.Errorf("undo %q", b.UndoLabel())
	}
	b.Resize(-1, 0)
	b.settle()
	if len(b.errs) != 1 {
		t.Errorf("told %v", b.errs)
	}
}

func TestAdd_PutsPicturesWhereTheyBelong(t *testing.T) {
	flags := func(b *bench) []string { return []string{b.file("a.svg", triangle), b.file("b.svg", triangle)} }
	at := geometry.Pt(300, 200)
	blank := job.Blank{Name: "Bag", WidthMM: 400, HeightMM: 400, At: geometry.Pt(70, -30)}
	for name, c := range map[string]struct {
		blank *job.Blank
		at    *geometry.Point
		want  geometry.Point // the middle of what came
	}{
		"at a place":               {nil, &at, at},
		"at a place on a blank":    {&blank, &at, at},
		"in the middle of a blank": {&blank, nil, blank.At},
		"beside what is there":     {nil, nil, geometry.Pt(90+10+25, 5)},
	} {
		b := newBench(t)
		b.demo("pair") // a page of 90 × 90 mm from the origin
		if err := b.Do("blank", func(j job.Job) (job.Job, error) { return job.SetBlankShape(j, c.blank) }); err != nil {
			t.Fatal(err)
		}
		b.Add(flags(b), c.at)
		b.settle()
		j := b.Job()
		made := b.Selection()
		if len(b.errs) > 0 || len(j.Items) != 3 || len(made) != 2 || b.UndoLabel() != "ui-step-add" {
			t.Fatalf("%s: told %v, %d pictures, selected %v", name, b.errs, len(j.Items), made)
		}
		// Two pages of 20 × 10 with 10 between them.
		if r := job.BoundsOf(j, made); !near(r.Width(), 50) || r.Centre().Sub(c.want).Len() > 0.01 {
			t.Errorf("%s: they lie in %v", name, r)
		}
	}
}

// What belongs to a document that is no longer open comes too late.
func TestSession_WhatWasBegunForAnotherDocumentIsDropped(t *testing.T) {
	for name, begin := range map[string]func(b *bench){
		"add":     func(b *bench) { b.Add([]string{b.file("a.svg", triangle)}, nil) },
		"paste":   func(b *bench) { b.Paste(triangle, "pasted", geometry.EmptyRect()) },
		"merge":   func(b *bench) { b.Merge(b.Job().LayerIDs()) },
		"split":   func(b *bench) { b.Split(b.Job().LayerIDs()[1]) },
		"outline": func(b *bench) { b.Outline(b.Job().LayerIDs()[1]) },
		"mend":    func(b *bench) { b.MendAll() },
	} {
		b := newBench(t)
		b.demo("pair")
		begin(b)
		b.Use(b.Job(), "") // the like of it, even
		b.settle()
		b.errs = slices.DeleteFunc(b.errs, func(err error) bool { return workshop.Is(err, "stopped") })
		if labels, _ := b.Steps(); len(labels) > 0 || len(b.errs) > 0 {
			t.Errorf("%s: steps %v, told %v", name, labels, b.errs)
		}
	}
}
