package session

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/workshop"
)

// Add reads files in the background and adds their pictures, beside each other
// when there are several, as one step: about a place on the board or, without
// one, in the middle of the blank, or beside what is there already. Without a document
// they become a new one, untouched. Of several those that cannot be read are told as
// trouble, and the others come in.
func (s *Session) Add(paths []string, at *geometry.Point) {
	if len(paths) == 0 {
		return
	}
	if !s.Opened() && len(paths) == 1 {
		s.Open(paths[0])
		return
	}
	var b brought
	all := func(ctx context.Context) (job.Job, error) {
		var err error
		b, err = s.bringAll(ctx, paths)
		return b.job, err
	}
	if !s.Opened() {
		arrive(s, filepath.Base(paths[0]), all, func(j job.Job) {
			if !IsDocument(b.first) {
				j = s.fresh(j)
			}
			s.Use(j, "")
			s.path = b.first
			s.cameFrom(s.Job().Items, b.from)
			s.trouble(b.failed.err())
		})
		return
	}
	s.add(all, len(paths) == 1, at, func(items []job.Item) {
		s.cameFrom(items, b.from)
		s.trouble(b.failed.err())
	})
}

// brought is what several files hold, beside each other.
type brought struct {
	job job.Job
	// first is the first file that could be read, from says where the items are from.
	first string
	from  []origin
	// failed are the files that could not be read.
	failed OpenErrors
}

// bringAll reads files. It fails where none of them can be read.
func (s *Session) bringAll(ctx context.Context, paths []string) (brought, error) {
	var b brought
	for _, path := range paths {
		j, own, err := read(ctx, &s.opener, path)
		switch {
		case fit.IsCancelled(err):
			return brought{}, err
		case err != nil:
			b.failed = append(b.failed, &OpenError{File: filepath.Base(path), Err: err})
			continue
		}
		b.from = append(b.from, own)
		for range len(j.Items) - 1 {
			b.from = append(b.from, origin{}) // a job's
		}
		if b.first == "" {
			b.first, b.job = path, j
		} else {
			b.job, _ = job.AddBeside(b.job, j)
		}
	}
	if b.first == "" {
		return brought{}, b.failed.err()
	}
	return b, nil
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
	s.add(read, true, nil, func([]job.Item) {})
}

// add adds what is read; came is told of the items that came in, and of one picture of pixels
// OnTraced is.
func (s *Session) add(all func(context.Context) (job.Job, error), one bool, at *geometry.Point, came func([]job.Item)) {
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
		var fresh []job.Item
		for _, it := range s.Job().Items {
			if !before[it.ID] {
				fresh = append(fresh, it)
			}
		}
		came(fresh)
		for _, it := range fresh {
			if one && s.OnTraced != nil && it.Pixels != nil {
				s.OnTraced(it.ID)
			}
		}
		if !one {
			s.ForgetTraced()
		}
	})
}

// Read reads a job file or a picture.
func Read(ctx context.Context, path string) (job.Job, error) {
	j, _, err := read(ctx, new(workshop.Opener), path)
	return j, err
}

// read is Read, and tells where a picture is from.
func read(ctx context.Context, o *workshop.Opener, path string) (job.Job, origin, error) {
	if IsDocument(path) {
		d, err := readAside(ctx, path)
		return d.Job, origin{}, err
	}
	return readPicture(ctx, o, path, job.Tracing{})
}

// readAside reads a job file until the context ends.
func readAside(ctx context.Context, path string) (document, error) {
	return parallel.Aside(ctx, func() (document, error) { return readDocument(path) })
}

// readLocated is readAside, and looks for the files that the pictures are from.
func readLocated(ctx context.Context, path string) (document, error) {
	return parallel.Aside(ctx, func() (document, error) {
		d, err := readDocument(path)
		if err == nil {
			d.locate(filepath.Dir(path), false)
		}
		return d, err
	})
}
