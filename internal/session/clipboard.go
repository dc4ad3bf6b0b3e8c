package session

import (
	"context"
	"math"
	"strings"

	"abut/geometry"
	"abut/internal/exchange"
	"abut/internal/job"
	"abut/internal/message"
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
	history := s.history
	run(s, message.Message{ID: "ui-task-paste"}, func(ctx context.Context) (job.Job, error) {
		if own, ok := exchange.Read(text); ok {
			return own, nil
		}
		return workshop.OpenSVG(ctx, name, strings.NewReader(text))
	}, func(other job.Job, err error) {
		switch {
		case err != nil:
			s.trouble(err)
		case s.history == nil:
			s.Use(s.fresh(other), "")
		case s.history == history:
			var made []job.LayerID
			err := s.Do("ui-step-paste", func(j job.Job) (out job.Job, err error) {
				d := landing(j, other, seen)
				out, made, err = job.Paste(j, other, d.X, d.Y)
				return out, err
			})
			s.trouble(err)
			if err == nil {
				s.Select(made)
			}
		}
	})
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
