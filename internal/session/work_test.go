package session

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
)

// long does work that lasts as long as said.
func (b *bench) long(d time.Duration) *Task {
	return run(b.Session, message.Message{ID: "long"}, func(ctx context.Context) (int, error) {
		select {
		case <-ctx.Done():
			return 0, ctx.Err()
		case <-time.After(d):
			return 0, nil
		}
	}, func(int, error) {})
}

func TestTask_IsShownOnlyWhereItIsWaitedFor(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.long(showAfter - 1)
		b.pass(10 * showAfter)
		if b.changes != 0 || b.Task() != nil || b.Busy() {
			t.Errorf("short work: told %b", b.changes)
		}
		task := b.long(2 * showAfter)
		b.pass(showAfter - 1)
		if b.Task() != nil {
			t.Error("shown too soon")
		}
		b.pass(2)
		if b.Task() != task || b.changes != WorkChanged {
			t.Errorf("long work: told %b", b.changes)
		}
		b.changes = 0
		b.pass(2 * showAfter)
		if b.Task() != nil || b.changes != WorkChanged {
			t.Errorf("work that has ended: told %b", b.changes)
		}
		b.changes = 0
		b.long(2 * showAfter).quiet = true
		b.pass(4 * showAfter)
		if b.changes != 0 {
			t.Errorf("quiet work: told %b", b.changes)
		}
	})
}

// How much is done is told where the work is shown, only ever rises, and says
// nothing once the work has ended.
func TestTask_TellsHowMuchIsDone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		task := b.long(2 * showAfter)
		done := func(share float64) int {
			task.progress(b.Session, share)
			b.pass(1)
			return task.Percent
		}
		if got := done(0.1); got != 10 || b.changes != 0 {
			t.Errorf("%d %%, told %b", got, b.changes)
		}
		b.pass(showAfter)
		b.changes = 0
		if got := done(0.255); got != 25 || b.changes != WorkChanged {
			t.Errorf("%d %%, told %b", got, b.changes)
		}
		b.changes = 0
		if got := done(0.2); got != 25 || b.changes != 0 {
			t.Errorf("%d %%, told %b", got, b.changes)
		}
		b.pass(2 * showAfter)
		if got := done(1); got != 25 {
			t.Errorf("%d %% of what has ended", got)
		}
	})
}

func TestSession_APreviewGivenUpBeforeThePlanCameLeavesTheJobs(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.knockOut()
	top := b.Job().LayerIDs()[2]
	move := func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{top}, 60, 0) }
	if err := b.Do("move", move); err != nil {
		t.Fatal(err)
	}
	b.try(move)
	b.drop()
	b.changes = 0
	b.drop() // there is none
	if b.changes != 0 {
		t.Errorf("told %b", b.changes)
	}
	if got, want := b.extent().Width(), job.BoundsOf(b.Job(), b.Job().LayerIDs()).Width(); !near(got, want) {
		t.Errorf("the plan is %g mm wide, the job %g", got, want)
	}
	b.try(move)
	b.settle()
	b.changes = 0
	b.drop()
	if got, want := b.extent().Width(), job.BoundsOf(b.Job(), b.Job().LayerIDs()).Width(); !near(got, want) || b.changes != PlanChanged|ShownChanged {
		t.Errorf("the plan is %g mm wide, the job %g; told %b", got, want, b.changes)
	}
}

// However many edits come in a row, one plan is worked out at a time, and the one
// that stays is that of the last.
func TestSession_WorksOutOnePlanAtATime(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.knockOut()
	top := b.Job().LayerIDs()[2]
	for range 5 {
		if err := b.Do("move", func(j job.Job) (job.Job, error) { return job.MoveLayers(j, []job.LayerID{top}, 20, 0) }); err != nil {
			t.Fatal(err)
		}
		fits := 0
		for _, task := range b.tasks {
			if task.What.ID == "ui-task-fit" {
				fits++
			}
		}
		if fits != 1 {
			t.Errorf("%d plans are being worked out", fits)
		}
	}
	if got, want := b.extent().Width(), job.BoundsOf(b.Job(), b.Job().LayerIDs()).Width(); !near(got, want) {
		t.Errorf("the plan is %g mm wide, the job %g", got, want)
	}
}

// What has just begun is let through, so that the area follows a drag; what nobody
// has waited for in a long time is given up.
func TestSession_AnOlderPlanIsGivenUpOnceItTakesLong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.demo("pair")
		if err := b.Do("move", b.wider()); err != nil {
			t.Fatal(err)
		}
		older := b.fitter.running
		if err := b.Do("rename", rename("one")); err != nil {
			t.Fatal(err)
		}
		if older.stopped {
			t.Error("given up at once")
		}
		<-time.After(2 * staleAfter)
		if err := b.Do("rename", rename("two")); err != nil {
			t.Fatal(err)
		}
		if !older.stopped {
			t.Error("goes on though nobody waits for it")
		}
		b.settle()
	})
}

// Whoever stops the pieces from being worked out is told so, with what goes on, and not that
// they still are; what waited for them is not done, and what asks for them later works them out.
func TestSession_AStoppedPlanIsSaidAndWorkedOutOnceAskedFor(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.demo("pair")
		hold := make(chan struct{})
		b.HoldPlan(hold)
		for _, change := range []string{"", "move"} { // the first plan, and a later one
			if change == "" {
				b.Use(b.Job(), "")
			} else if err := b.Do(change, b.wider()); err != nil {
				t.Fatal(err)
			}
			waited := false
			b.Ready(func() { waited = true })
			b.fitter.running.Stop()
			b.settle()
			v := b.State().Verdict()
			if v.Message.ID != fitStopped || v.Next != FitStep || v.State != fit.Trouble || !b.FitStopped() {
				t.Errorf("%q: stopped, it says %+v", change, v)
			}
			if waited || b.Waiting() {
				t.Errorf("%q: done: %v, still waits: %v", change, waited, b.Waiting())
			}
		}
		close(hold)
		b.Ready(func() {
			if _, exact := b.Plan(); !exact {
				t.Error("asked for, there is no plan")
			}
			hold = nil
		})
		b.settle()
		if v := b.State().Verdict(); hold != nil || v.Next == FitStep {
			t.Errorf("asked for: done: %v, says %+v", hold == nil, v)
		}
		b.HoldPlan(nil)
		if err := b.Do("move", b.wider()); err != nil {
			t.Fatal(err)
		}
		b.fitter.running.Stop()
		b.settle()
		b.FitAgain()
		b.settle()
		if _, exact := b.Plan(); !exact || b.FitStopped() {
			t.Error("begun again, there is no plan")
		}
	})
}

// A document that is closed takes its background work along.
func TestClose_LeavesNothingBehind(t *testing.T) {
	b := newBench(t)
	b.svg(hairline)
	b.knockOut()
	b.MendAll()
	b.Select(b.Job().LayerIDs())
	b.changes = 0
	b.Close()
	if all := OpenedChanged | JobChanged | SelectionChanged | PlanChanged; b.changes&all != all {
		t.Errorf("told %b", b.changes)
	}
	b.settle()
	plan, exact := b.Plan()
	if plan != nil || exact || b.Opened() || len(b.Selection()) != 0 || b.File() != "" || b.Origin() != "" || b.planError != nil {
		t.Errorf("plan %v, selected %v, of %q", plan, b.Selection(), b.Origin())
	}
	b.errs = nil // that work was stopped may be told
	b.svg(triangle)
	if plan, exact := b.Plan(); plan == nil || !exact {
		t.Error("the next document has no plan")
	}
}
