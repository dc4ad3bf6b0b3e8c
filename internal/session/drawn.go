package session

import (
	"context"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// UseEmpty opens a document with nothing in it but what is to be decorated.
func (s *Session) UseEmpty(b job.Blank, colour *colour.RGB) error {
	j, err := job.SetBlankShape(job.Job{Settings: job.Settings{Units: s.Units}}, &b)
	if err != nil {
		return err
	}
	if j, err = job.SetBlank(j, colour); err != nil {
		return err
	}
	s.Use(j, "")
	return nil
}

// SetText sets a text in the background; use gets it with its outlines and what
// is not as it was asked for.
func (s *Session) SetText(t job.Text, use func(job.Text, []message.Message, error)) {
	type set struct {
		text  job.Text
		notes []message.Message
	}
	run(s, message.Message{ID: "ui-task-text"}, func(ctx context.Context) (set, error) {
		t, notes, err := workshop.SetText(ctx, t)
		return set{t, notes}, err
	}, func(v set, err error) { use(v.text, v.notes, err) })
}

// Families finds out in the background which fonts there are.
func (s *Session) Families(use func([]string, error)) {
	run(s, message.Message{ID: "ui-task-fonts"}, workshop.FontFamilies, use)
}

// Merge makes layers of one item one, as a step; the outlines of surrounds among
// them are worked out in the background first.
func (s *Session) Merge(ids []job.LayerID) {
	j, history := s.Job(), s.history
	if history == nil {
		return
	}
	run(s, message.Message{ID: "ui-task-merge"}, func(ctx context.Context) (map[job.LayerID][]job.Shape, error) {
		given := map[job.LayerID][]job.Shape{}
		for _, id := range ids {
			shapes, err := fit.SurroundShapes(ctx, j, id)
			if err != nil {
				return nil, err
			}
			if shapes != nil {
				given[id] = shapes
			}
		}
		return given, nil
	}, func(given map[job.LayerID][]job.Shape, err error) {
		if s.history != history {
			return
		}
		var made job.LayerID
		if err == nil {
			err = s.Do("ui-step-merge", func(j job.Job) (out job.Job, err error) {
				out, made, err = job.Merge(j, ids, given)
				return out, err
			})
		}
		s.trouble(err)
		if err == nil {
			s.Select([]job.LayerID{made})
		}
	})
}

// Split makes every connected part of a layer one of its own, as a step.
func (s *Session) Split(id job.LayerID) {
	j, history := s.Job(), s.history
	if history == nil {
		return
	}
	run(s, message.Message{ID: "ui-task-split"}, func(ctx context.Context) ([][]job.Shape, error) {
		return fit.Parts(ctx, j, id)
	}, func(parts [][]job.Shape, err error) {
		if s.history != history {
			return
		}
		var made []job.LayerID
		if err == nil {
			err = s.Do("ui-step-split", func(j job.Job) (out job.Job, err error) {
				out, made, err = job.Split(j, id, parts)
				return out, err
			})
		}
		s.trouble(err)
		if err == nil {
			s.Select(made)
		}
	})
}

// Outline turns what a layer draws into outlines for good, as a step.
func (s *Session) Outline(id job.LayerID) {
	j, history := s.Job(), s.history
	if history == nil {
		return
	}
	run(s, message.Message{ID: "ui-task-outline"}, func(ctx context.Context) ([]job.Shape, error) {
		return fit.SurroundShapes(ctx, j, id)
	}, func(shapes []job.Shape, err error) {
		if s.history != history {
			return
		}
		if err == nil {
			err = s.Do("ui-step-outline", func(j job.Job) (job.Job, error) { return job.ToOutlines(j, id, shapes) })
		}
		s.trouble(err)
	})
}
