package session

import (
	"context"
	"math"
	"strings"

	"abut/geometry"
	"abut/internal/exchange"
	"abut/internal/job"
	"abut/internal/workshop"
)

// ErrDrawsNothing is Copied's error for layers without a picture.
var ErrDrawsNothing = exchange.ErrEmpty

// Copied returns the layers as SVG text, for the clipboard.
func (s *Session) Copied(ids []job.LayerID) (string, error) {
	j := s.Job()
	return exchange.Write(j, s.plan.Outlined(j), ids)
}

// pasteMM is how far what is pasted lies from what it was copied of.
const pasteMM = 5

// Paste puts what an SVG text holds on top, as one step, and selects it: our own
// layers as they were, anything else as a picture of its own. It lies where it
// was when that is in sight, a little aside where the same lies there already,
// else in the middle of what is seen. Without a document it becomes one. name is
// what a picture is called.
func (s *Session) Paste(text, name string, seen geometry.Rect) {
	read := func(ctx context.Context) (job.Job, error) {
		if own, ok := exchange.Read(text); ok {
			return own, nil
		}
		return workshop.OpenSVG(ctx, name, strings.NewReader(text))
	}
	if s.history == nil {
		arrive(s, name, read, func(j job.Job) { s.Use(s.fresh(j), "") })
		return
	}
	s.bring("ui-task-paste", "ui-step-paste", read, func(j, other job.Job) (job.Job, []job.LayerID, error) {
		d := landing(j, other, seen)
		return job.Paste(j, other, d.X, d.Y)
	})
}

// bring reads pictures in the background and adds them as one step, as said; what
// is new is selected.
func (s *Session) bring(task, label string, read func(context.Context) (job.Job, error), add func(j, other job.Job) (job.Job, []job.LayerID, error)) {
	s.Bring(task, label, func(ctx context.Context) (func(job.Job) (job.Job, []job.LayerID, error), error) {
		other, err := read(ctx)
		return func(j job.Job) (job.Job, []job.LayerID, error) { return add(j, other) }, err
	}, func() {})
}

// Bring makes something new in the background, whatever the job is by then, and
// adds it as one step; what is new is selected, and landed told.
func (s *Session) Bring(task, label string, work func(context.Context) (func(job.Job) (job.Job, []job.LayerID, error), error), landed func()) {
	var made []job.LayerID
	s.later(coming{task: task, label: label, once: true, work: func(ctx context.Context, _ job.Job) (Edit, error) {
		add, err := work(ctx)
		return func(j job.Job) (out job.Job, err error) {
			out, made, err = add(j)
			return out, err
		}, err
	}, landed: func(err error) {
		if err == nil {
			s.Select(made)
			landed()
		}
	}})
}

// landing is how far what is pasted is moved.
func landing(j, other job.Job, seen geometry.Rect) geometry.Point {
	r := job.BoundsOf(other, other.LayerIDs())
	if r.Empty() {
		return geometry.Point{}
	}
	if !seen.Empty() && !seen.Contains(r.Centre()) {
		return seen.Centre().Sub(r.Centre())
	}
	var d geometry.Point
	there := map[geometry.Point]bool{}
	for _, it := range j.Items {
		for _, l := range it.Layers {
			there[cell(job.Bounds(j, l.ID).Min)] = true
		}
	}
	first := job.Bounds(other, other.LayerIDs()[0]).Min
	for there[cell(first.Add(d))] {
		d = d.Add(geometry.Pt(pasteMM, pasteMM))
	}
	return d
}

// cell makes places alike that differ by less than can be seen.
func cell(p geometry.Point) geometry.Point {
	return geometry.Pt(math.Round(100*p.X), math.Round(100*p.Y))
}
