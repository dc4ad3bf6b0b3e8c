package session

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/job"
	"abut/internal/workshop"
)

// Add reads files in the background and adds their pictures, beside each other
// when there are several, as one step: about a place on the board or, without
// one, in the middle of the blank, or beside what is there already. Without a document
// they become a new one, untouched. All of them or none.
func (s *Session) Add(paths []string, at *geometry.Point) {
	if len(paths) == 0 {
		return
	}
	if !s.Opened() && len(paths) == 1 {
		s.Open(paths[0])
		return
	}
	all := func(ctx context.Context) (job.Job, error) {
		var all job.Job
		for i, path := range paths {
			j, err := named(filepath.Base(path), func(ctx context.Context) (job.Job, error) { return read(ctx, &s.opener, path) })(ctx)
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
	}
	if !s.Opened() {
		arrive(s, filepath.Base(paths[0]), all, func(j job.Job) {
			if !IsDocument(paths[0]) {
				j = s.fresh(j)
			}
			s.Use(j, "")
			s.path = paths[0]
		})
		return
	}
	s.add(all, len(paths) == 1, at)
}

// ErrNoPicture is the trouble of AddPicture where there is none.
var ErrNoPicture = errors.New("there is no picture")

// AddPicture is Add for a picture that is in no file: get is asked for the bytes of
// one in the background, none for no picture.
func (s *Session) AddPicture(name string, get func(context.Context) ([]byte, error)) {
	read := func(ctx context.Context) (job.Job, error) {
		file, err := get(ctx)
		switch {
		case err != nil:
			return job.Job{}, err
		case len(file) == 0:
			return job.Job{}, ErrNoPicture
		}
		return s.opener.OpenPicture(ctx, name, bytes.NewReader(file), job.Tracing{})
	}
	if !s.Opened() {
		arrive(s, name, read, func(j job.Job) { s.Use(s.fresh(j), "") })
		return
	}
	s.add(read, true, nil)
}

// add adds what is read; of one picture of pixels OnTraced is told.
func (s *Session) add(all func(context.Context) (job.Job, error), one bool, at *geometry.Point) {
	before := map[job.ItemID]bool{}
	for _, it := range s.Job().Items {
		before[it.ID] = true
	}
	add := func(j, all job.Job) (job.Job, []job.LayerID) {
		switch b := j.Settings.BlankShape; {
		case at != nil:
			return job.AddAt(j, all, *at)
		case b != nil && !job.BoundsOf(j, j.LayerIDs()).Contains(b.At):
			return job.AddAt(j, all, b.At)
		}
		return job.AddBeside(j, all)
	}
	s.Bring("ui-task-add", "ui-step-add", func(ctx context.Context) (func(job.Job) (job.Job, []job.LayerID, error), error) {
		pictures, err := all(ctx)
		return func(j job.Job) (job.Job, []job.LayerID, error) {
			out, made := add(j, pictures)
			return out, made, nil
		}, err
	}, func() {
		if !one || s.OnTraced == nil {
			return
		}
		for _, it := range s.Job().Items {
			if !before[it.ID] && it.Pixels != nil {
				s.OnTraced(it.ID)
			}
		}
	})
}

// Read reads a job file or a picture.
func Read(ctx context.Context, path string) (job.Job, error) {
	return read(ctx, new(workshop.Opener), path)
}

func read(ctx context.Context, o *workshop.Opener, path string) (job.Job, error) {
	if IsDocument(path) {
		d, err := readAside(ctx, path)
		return d.Job, err
	}
	return o.Open(ctx, path)
}

// readAside reads a job file until the context ends.
func readAside(ctx context.Context, path string) (document, error) {
	return parallel.Aside(ctx, func() (document, error) { return readDocument(path) })
}
