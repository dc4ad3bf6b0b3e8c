package session

import (
	"bytes"
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"abut/assets"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/settle"
	"abut/internal/workshop"
)

// bench is a session with the goroutine that it belongs to: the test's own.
type bench struct {
	*Session
	t       *testing.T
	queue   chan func()
	changes Change
	errs    []error
}

// KeepNow keeps the work at once, as it is kept some seconds after every change.
func (b *bench) KeepNow() { b.auto.now() }

func newBench(t *testing.T) *bench {
	b := &bench{t: t, queue: make(chan func(), 100)}
	b.Session = New(func(f func()) { b.queue <- f })
	b.OnChange = func(c Change) { b.changes |= c }
	b.OnTrouble = func(err error) { b.errs = append(b.errs, err) }
	return b
}

// settle runs what background work hands over until nothing is going on.
func (b *bench) settle() {
	b.t.Helper()
	settle.All(b.t, b.queue, b.Busy)
}

// try shows a change that is no step yet, drop gives it up.
func (b *bench) try(edit Edit) {
	if b.Draft() == nil {
		b.Begin("draft", nil)
	}
	b.Draft().Show(edit)
}

func (b *bench) drop() {
	if d := b.Draft(); d != nil {
		d.Drop()
	}
}

func (b *bench) demo(id string) {
	b.t.Helper()
	for _, d := range assets.Demos() {
		if d.ID == id {
			b.OpenSVG(d.Name, bytes.NewReader(d.SVG))
			b.settle()
			if len(b.errs) > 0 || !b.Opened() {
				b.t.Fatal("opening: ", b.errs)
			}
			return
		}
	}
	b.t.Fatal("no demo ", id)
}

func (b *bench) stackedMM2() float64 {
	b.t.Helper()
	plan, exact := b.Plan()
	if plan == nil || !exact {
		b.t.Fatal("no exact plan")
	}
	return plan.Stacked.AreaMM2
}

func TestSession_OpenKnockOutUndoExport(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	if all := OpenedChanged | JobChanged | SelectionChanged | PlanChanged | SavedChanged; b.changes&all != all {
		t.Errorf("told %b", b.changes)
	}
	stacked := b.stackedMM2()
	if stacked <= 0 {
		t.Fatal("two shapes over one do not stack")
	}
	dir := filepath.Join(t.TempDir(), "files")
	var refused error
	b.Export(dir, workshop.WriteOptions{}, func(_ *workshop.Manifest, err error) { refused = err })
	b.settle()
	if !workshop.Is(refused, workshop.ErrStacked) {
		t.Errorf("stacked art was not refused: %v", refused)
	}
	if _, err := os.Stat(dir); !errors.Is(err, os.ErrNotExist) {
		t.Error("a refused export leaves a folder")
	}

	if err := b.Do("ui-step-size", job.KnockOutAll); err != nil {
		t.Fatal(err)
	}
	if _, exact := b.Plan(); exact {
		t.Error("the plan claims to be exact before it was worked out")
	}
	b.settle()
	if got := b.stackedMM2(); got != 0 {
		t.Errorf("%g mm² stack after knocking out", got)
	}
	b.Undo()
	b.settle()
	if got := b.stackedMM2(); got != stacked {
		t.Errorf("undo gives %g mm² stacked, want %g", got, stacked)
	}
	b.Redo()
	var m *workshop.Manifest
	var err error
	b.Export(dir, workshop.WriteOptions{}, func(got *workshop.Manifest, e error) { m, err = got, e }) // before the plan is there
	b.settle()
	if err != nil || m == nil || len(m.Separations) != 3 {
		t.Fatalf("export: %v, %+v", err, m)
	}
	for _, s := range m.Separations {
		if _, err := os.Stat(filepath.Join(dir, s.File)); err != nil {
			t.Error(err)
		}
	}
}

func TestSession_PreviewIsNoStepAndCancelCostsNothing(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	before := b.stackedMM2()
	top := b.Job().Items[0].Layers[2].ID
	b.Select([]job.LayerID{top})
	for i := range 20 {
		d := float64(i * 3)
		b.try(func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{top}, d, d) })
	}
	b.settle()
	if got := b.stackedMM2(); got >= before {
		t.Errorf("while the hull is dragged away %g mm² stack, before %g", got, before)
	}
	if b.CanUndo() {
		t.Error("a preview is a step")
	}
	b.drop()
	b.settle()
	if got := b.stackedMM2(); got != before || b.CanUndo() {
		t.Errorf("after cancelling %g mm² stack, want %g", got, before)
	}
}

func TestSession_NudgesMergeAndUndoBringsTheSelectionBack(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	ids := []job.LayerID{b.Job().Items[0].Layers[1].ID}
	b.Select(ids)
	for range 5 {
		if err := b.Nudge("right", "ui-step-size", func(j job.Job) (job.Job, error) { return job.MoveLayers(j, ids, 0.1, 0) }); err != nil {
			t.Fatal(err)
		}
	}
	b.Select(nil)
	b.Undo()
	if b.CanUndo() {
		t.Error("five nudges in a row are more than one step")
	}
	if !slices.Equal(b.Selection(), ids) {
		t.Errorf("selected after undo: %v", b.Selection())
	}
	b.settle()
}

func TestSession_BadFileLeavesTheOpenOne(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	bad := filepath.Join(t.TempDir(), "bad.svg")
	if err := os.WriteFile(bad, []byte("no picture"), 0o600); err != nil {
		t.Fatal(err)
	}
	b.Open(bad)
	b.settle()
	b.Open(bad + "-missing")
	b.settle()
	if len(b.errs) != 2 {
		t.Errorf("told %v", b.errs)
	}
	if b.Name() != "Little boat" {
		t.Errorf("open is %q", b.Name())
	}
}

func TestSession_ResizeIsExactAndOneStep(t *testing.T) {
	b := newBench(t)
	b.demo("nested")
	b.Resize(120, 0)
	b.settle()
	plan, _ := b.Plan()
	if w := plan.Extent.Width(); w < 119.999 || w > 120.001 {
		t.Errorf("the art is %g mm wide", w)
	}
	b.Undo()
	if b.CanUndo() {
		t.Error("more than one step")
	}
	b.Resize(-1, 0)
	b.settle()
	var edit *job.EditError
	if len(b.errs) != 1 || !errors.As(b.errs[0], &edit) || edit.ID != "edit-bad-size" {
		t.Errorf("a negative size: %v", b.errs)
	}
}

// The window's way of sizing: what surrounds several pictures is part of the width
// that is asked for.
func TestSession_ResizeCountsASurroundOfSeveralPictures(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	if err := b.Do("ui-step-surround", func(j job.Job) (job.Job, error) {
		j, _ = job.AddBeside(j, j)
		j, _, err := job.AddSurround(j, j.LayerIDs(), job.Surround{WidthMM: 10}, "band", b.Job().Items[0].Layers[0].Colour)
		return j, err
	}); err != nil {
		t.Fatal(err)
	}
	b.Resize(440, 0)
	b.settle()
	if plan, exact := b.Plan(); !exact || math.Abs(plan.Extent.Width()-440) > 0.005 {
		t.Errorf("asked for 440 mm, it is %g", plan.Extent.Width())
	}
}

// What is done while the art is being measured is not lost, and the size is that of
// the art as it is then; another document is left alone.
func TestSession_ResizeIsOfTheArtAsItIs(t *testing.T) {
	b := newBench(t)
	b.demo("nested")
	b.Resize(120, 0)
	if err := b.Do("ui-step-move", func(j job.Job) (job.Job, error) {
		return job.MoveLayers(j, j.LayerIDs()[:1], 500, 0)
	}); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if plan, _ := b.Plan(); math.Abs(plan.Extent.Width()-120) > 0.001 || b.history.Steps() != 2 {
		t.Errorf("%g mm wide after %d steps", plan.Extent.Width(), b.history.Steps())
	}
	b.FillBlank(job.Blank{Name: "tile", WidthMM: 50, HeightMM: 50})
	b.Use(job.Job{Items: b.Job().Items}, "")
	b.settle()
	if b.CanUndo() || b.Job().Settings.BlankShape != nil {
		t.Error("a document has the blank that was chosen for another")
	}
}

func TestSession_FaultInTheBackgroundIsAnError(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	var got error
	run(b.Session, message.Message{}, func(context.Context) (int, error) { panic("a shelf fell down") }, func(_ int, err error) { got = err })
	b.settle()
	if !workshop.Is(got, "ui-fault") || !b.Opened() {
		t.Errorf("got %v", got)
	}
}

func TestSession_LongWorkIsShownAndCanBeStopped(t *testing.T) {
	b := newBench(t)
	var got error
	run(b.Session, message.Message{ID: "ui-task-fit"}, func(ctx context.Context) (int, error) {
		<-ctx.Done()
		return 0, ctx.Err()
	}, func(_ int, err error) { got = err })
	if b.Task() != nil {
		t.Error("work is shown at once")
	}
	for b.Task() == nil {
		(<-b.queue)()
	}
	if b.changes&WorkChanged == 0 {
		t.Error("nobody was told")
	}
	b.Task().Stop()
	b.settle()
	if !fit.IsCancelled(got) || b.Task() != nil {
		t.Errorf("after stopping: %v, %v", got, b.Task())
	}
}

func TestSession_SaysWhyThereIsNoPlanAndUndoMendsIt(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	if err := b.Do("ui-step-size", func(j job.Job) (job.Job, error) {
		return job.Resize(j, job.Pages(j), 9e7, 0)
	}); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if err := b.planError; !workshop.Is(err, "art-out-of-range") {
		t.Errorf("art of ninety kilometres: %v", err)
	}
	if _, exact := b.Plan(); exact {
		t.Error("the plan before passes for exact")
	}
	b.Undo()
	b.settle()
	if b.planError != nil || b.stackedMM2() <= 0 {
		t.Errorf("after undo: %v", b.planError)
	}
}

// While it is held there is no plan, and then there is; a plan that nobody lets go comes all the same.
func TestHoldPlan_HasThePlanWait(t *testing.T) {
	b := newBench(t)
	seen := make(chan struct{})
	b.HoldPlan(seen)
	b.OpenSVG("art", strings.NewReader(triangle))
	for !b.Opened() {
		(<-b.queue)()
	}
	select {
	case f := <-b.queue:
		f()
		if p, _ := b.Plan(); p != nil {
			t.Fatal("there is a plan while it is held")
		}
	case <-time.After(50 * time.Millisecond):
	}
	close(seen)
	b.settle()
	if p, exact := b.Plan(); p == nil || !exact {
		t.Error("let go, there is none")
	}
	late := newBench(t)
	late.HoldPlan(make(chan struct{}))
	late.svg(triangle)
	if p, exact := late.Plan(); p == nil || !exact {
		t.Error("never let go, there is none")
	}
}
