package session

import (
	"context"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/lettering"
	"abut/internal/message"
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

// Lettering is the work that sets the text of a layer as change has it. notes,
// which may be nil, gets what is not as it was asked for; it is for whoever is
// told the outcome.
func Lettering(id job.LayerID, change func(*job.Text), notes *[]message.Message) Work {
	return func(ctx context.Context, j job.Job) (Edit, error) {
		l, _, _ := j.Layer(id)
		t, is := l.Content.(job.Text)
		if !is {
			return nil, ErrStale
		}
		change(&t)
		t, list, err := lettering.Set(ctx, t)
		if notes != nil {
			*notes = list
		}
		return func(j job.Job) (job.Job, error) { return job.SetText(j, id, t) }, err
	}
}

// Families finds out in the background which fonts there are.
func (s *Session) Families(use func([]string, error)) {
	run(s, message.Message{ID: "ui-task-fonts"}, lettering.Families, use)
}

// Sample sets the name of a font in that font, 1 mm large with its baseline at 0;
// nothing where the font has no letters for it.
func Sample(ctx context.Context, family string) ([]job.Shape, error) {
	t, notes, err := lettering.Set(ctx, job.Text{Text: family, Family: family, Weight: 400, SizeMM: 1})
	if err != nil || len(notes) > 0 {
		return nil, err
	}
	return t.Shapes, nil
}

// Merge makes layers of one item one, as a step, and selects it; the outlines of
// surrounds among them are worked out in the background first.
func (s *Session) Merge(ids []job.LayerID) {
	var made job.LayerID
	s.Later("ui-task-merge", "ui-step-merge", func(ctx context.Context, j job.Job) (Edit, error) {
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
		return func(j job.Job) (out job.Job, err error) {
			out, made, err = job.Merge(j, ids, given)
			return out, err
		}, nil
	}, func(err error) {
		if err == nil {
			s.Select([]job.LayerID{made})
		}
	})
}

// Split makes every connected part of a layer one of its own, as a step, and
// selects them.
func (s *Session) Split(id job.LayerID) {
	var made []job.LayerID
	s.Later("ui-task-split", "ui-step-split", func(ctx context.Context, j job.Job) (Edit, error) {
		parts, err := fit.Parts(ctx, j, id)
		return func(j job.Job) (out job.Job, err error) {
			out, made, err = job.Split(j, id, parts)
			return out, err
		}, err
	}, func(err error) {
		if err == nil {
			s.Select(made)
		}
	})
}

// Outline turns what a layer draws into outlines for good, as a step.
func (s *Session) Outline(id job.LayerID) {
	s.Later("ui-task-outline", "ui-step-outline", func(ctx context.Context, j job.Job) (Edit, error) {
		shapes, err := fit.SurroundShapes(ctx, j, id)
		return func(j job.Job) (job.Job, error) { return job.ToOutlines(j, id, shapes) }, err
	}, nil)
}
