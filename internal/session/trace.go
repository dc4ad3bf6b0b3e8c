package session

import (
	"bytes"
	"context"
	"image"
	"reflect"
	"slices"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/trace"
	"abut/internal/words"
	"abut/internal/workshop"
)

// Tracer tries out ways in which the picture of pixels of an item is traced. What
// was asked for last is what comes.
type Tracer struct {
	// OnResult is told what came, or why nothing did.
	OnResult func(*trace.Result, error)
	// OnCut is told after each result what would be cut of it, or why nothing can be.
	OnCut func(sheets, pieces int, err error)

	s    *Session
	item job.Item
	at   At
	pic  *trace.Picture
	// known is what opening the picture made of it, nil once that is told.
	known *workshop.TracedPicture
	task  *Task
	// counting works out what would be cut of the result.
	counting *Task
	// wanted is what was asked for last, had what the last result is of.
	wanted, had job.Tracing
	result      *trace.Result
}

// Tracer returns one for an item, nil for one that is no picture of pixels.
func (s *Session) Tracer(id job.ItemID) *Tracer {
	for _, it := range s.Job().Items {
		if it.ID == id && it.Pixels != nil {
			t := &Tracer{s: s, item: it, at: s.At(), wanted: it.Pixels.Tracing, had: it.Pixels.Tracing}
			if t.known = s.opener.Take(it.Pixels); t.known != nil {
				t.pic = t.known.Picture
			}
			return t
		}
	}
	return nil
}

// ForgetTraced gives up what opening a picture of pixels left for who asks about its colours at
// once: it is as large as the picture, and whoever asks later waits as long as opening took.
func (s *Session) ForgetTraced() { s.opener.Forget() }

// Traced returns the items that were traced, those of the selection if it has any.
func (s *Session) Traced() (out []job.ItemID) {
	var chosen []job.ItemID
	for _, it := range s.Job().Items {
		if it.Pixels == nil {
			continue
		}
		out = append(out, it.ID)
		for _, id := range s.selection {
			if _, of, ok := s.Job().Layer(id); ok && of.ID == it.ID {
				chosen = append(chosen, it.ID)
				break
			}
		}
	}
	if len(chosen) > 0 {
		return chosen
	}
	return out
}

// Image is the picture, nil until it is read.
func (t *Tracer) Image() image.Image {
	if t.pic == nil {
		return nil
	}
	return t.pic.Image()
}

// Wanted is what was asked for last.
func (t *Tracer) Wanted() job.Tracing { return t.wanted }

// Ask traces the picture in the background; what was under way is given up.
func (t *Tracer) Ask(how job.Tracing) {
	t.Stop()
	t.wanted = how
	var task *Task
	pic, file, known := t.pic, t.item.Pixels.File, t.known
	t.known = nil
	type done struct {
		pic    *trace.Picture
		result *trace.Result
	}
	task = run(t.s, message.Message{ID: "ui-task-trace"}, func(ctx context.Context) (done, error) {
		if known != nil && reflect.DeepEqual(known.Tracing, how) {
			return done{pic, known.Result}, nil
		}
		if pic == nil {
			var err error
			if pic, err = trace.Read(ctx, bytes.NewReader(file)); err != nil {
				return done{}, err
			}
		}
		r, err := pic.Trace(ctx, trace.Options{Tracing: how, ColourName: words.Colour, Progress: func(share float64) {
			t.s.deliver(func() { task.progress(t.s, share) })
		}})
		return done{pic, r}, err
	}, func(d done, err error) {
		if t.task != task {
			return
		}
		t.task = nil
		if d.pic != nil {
			t.pic = d.pic
		}
		if err == nil {
			t.result, t.had = d.result, how
		}
		if t.OnResult != nil {
			t.OnResult(d.result, err)
		}
		if err == nil && t.OnCut != nil {
			t.count()
		}
	})
	t.task = task
}

// count works out how many pieces are cut of the last result, of how many sheets: shapes that touch at a corner part,
// and hairlines go to their neighbours, so they are others than the shapes that were traced.
func (t *Tracer) count() {
	j, err := t.retraced(t.s.Job())
	if err != nil {
		return
	}
	var task *Task
	task = run(t.s, message.Message{ID: "ui-task-fit"}, func(ctx context.Context) (*fit.Plan, error) {
		j.Items = slices.DeleteFunc(slices.Clone(j.Items), func(it job.Item) bool { return it.ID != t.item.ID })
		j, err := job.KnockOutAll(j)
		if err != nil {
			return nil, err
		}
		return fit.Compute(ctx, j)
	}, func(p *fit.Plan, err error) {
		if t.counting != task {
			return
		}
		t.counting = nil
		if err != nil {
			t.OnCut(0, 0, err)
			return
		}
		t.OnCut(len(p.Separations), p.NumPieces(), nil)
	})
	task.quiet = true
	t.counting = task
}

// Busy reports whether something is still to come.
func (t *Tracer) Busy() bool { return t.task != nil }

// Stop gives up what is under way: the result before it stays.
func (t *Tracer) Stop() {
	if t.task != nil {
		t.task.Stop()
		t.task = nil
		t.wanted = t.had
	}
	if t.counting != nil {
		t.counting.Stop()
		t.counting = nil
	}
}

// Use puts the last result in the place of the item's layers, as one step.
func (t *Tracer) Use() {
	if t.result == nil {
		return
	}
	t.s.trouble(t.s.DoAt(t.at, "ui-step-trace", t.retraced))
}

// retraced puts the last result in the place of the item's layers.
func (t *Tracer) retraced(j job.Job) (job.Job, error) {
	r := t.result
	return job.Retrace(j, t.item.ID, job.Drawing{Layers: r.Layers, Canvas: r.Canvas, Warnings: r.Warnings, Tracing: t.had})
}
