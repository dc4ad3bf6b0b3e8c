package session

import (
	"context"
	"path/filepath"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// Add reads files in the background and adds their pictures, beside each other
// when there are several, as one step: about a place on the board or, without
// one, in the middle of the blank, or beside what is there. Without a document
// they become a new one, untouched. All of them or none.
func (s *Session) Add(paths []string, at *geometry.Point) {
	if len(paths) == 0 {
		return
	}
	if !s.Opened() && len(paths) == 1 {
		s.Open(paths[0])
		return
	}
	history := s.history
	run(s, message.Message{ID: "ui-task-open", Args: map[string]string{"file": filepath.Base(paths[0])}}, func(ctx context.Context) (job.Job, error) {
		var all job.Job
		for i, path := range paths {
			j, err := read(ctx, path)
			if err != nil {
				return all, err
			}
			if i == 0 {
				all = j
			} else {
				all, _ = job.AddBeside(all, j)
			}
		}
		return all, nil
	}, func(all job.Job, err error) {
		switch {
		case err != nil:
			s.trouble(err)
		case s.history == nil:
			if !IsDocument(paths[0]) {
				all = s.fresh(all)
			}
			s.Use(all, "")
			s.path = paths[0]
		case s.history == history:
			var made []job.LayerID
			err := s.Do("ui-step-add", func(j job.Job) (out job.Job, _ error) {
				switch b := j.Settings.BlankShape; {
				case at != nil:
					out, made = job.AddAt(j, all, *at)
				case b != nil:
					out, made = job.AddAt(j, all, b.At)
				default:
					out, made = job.AddBeside(j, all)
				}
				return out, nil
			})
			s.trouble(err)
			s.Select(made)
		}
	})
}

// read reads a job file or a picture.
func read(ctx context.Context, path string) (job.Job, error) {
	if IsDocument(path) {
		d, err := readDocument(path)
		return d.Job, err
	}
	return workshop.Open(ctx, path)
}
