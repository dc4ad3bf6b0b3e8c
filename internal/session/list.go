package session

import (
	"context"
	"path/filepath"

	"abut/geometry/parallel"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/workshop"
)

// ReadList reads a list in the background and hands it over on the session's goroutine.
// The returned function gives it up.
func (s *Session) ReadList(path string, done func(*job.List, error)) (stop func()) {
	return Each(s, []string{path}, func(_ context.Context, path string) (*job.List, error) {
		l, err := drawer.OpenList(path)
		if err != nil {
			return nil, err
		}
		return workshop.ListFrom(l, filepath.Base(path)), nil
	}, func(_ string, l *job.List, err error) { done(l, err) })
}

// SetList has the design filled in for each row of a list, nil for none, as one step.
func (s *Session) SetList(l *job.List) {
	label := "ui-step-list"
	if l == nil {
		label = "ui-step-unlisted"
	}
	s.trouble(s.Do(label, func(j job.Job) (job.Job, error) { return job.SetList(j, l) }))
}

// LookRows looks in the background at what would come of each row of a list, side by side,
// and hands each over, with its number from 0, on the session's goroutine as soon as it is
// known; the longer side of its picture has so many pixels. Nobody waits for it. The
// returned function gives up what is left.
func (s *Session) LookRows(l *job.List, longerPx int, ready func(int, workshop.RowLook)) (stop func()) {
	j := s.Job()
	j.Settings.List = nil
	return Each(s, []*job.List{l}, func(ctx context.Context, l *job.List) (struct{}, error) {
		return struct{}{}, parallel.Do(ctx, len(l.Rows), func(i int) {
			look, err := guarded(ctx, func(ctx context.Context) (workshop.RowLook, error) {
				return workshop.LookRow(ctx, j, l, i, longerPx), nil
			})
			if err != nil {
				look.Err = err
			}
			s.deliver(func() {
				if ctx.Err() == nil {
					ready(i, look)
				}
			})
		})
	}, func(*job.List, struct{}, error) {})
}

// written is what was exported, and what earlier runs left beside it.
type written struct {
	manifest *workshop.Manifest
	stale    []string
}

// writeRows writes the files of a job with a list, as CutList does.
func writeRows(ctx context.Context, j job.Job, dir string, o workshop.WriteOptions) (written, error) {
	rows, err := workshop.CutList(ctx, workshop.Source{Saved: &j}, workshop.ListOf(j.Settings.List), false, workshop.Options{Folder: dir, WriteOptions: o})
	if err != nil {
		return written{}, err
	}
	w := written{stale: workshop.Stale(dir, rows)}
	for _, r := range rows {
		if r.Manifest != nil {
			w.manifest = r.Manifest
			break
		}
	}
	return w, nil
}

// ExportedTo is the folder that holds the document's files as it stands, empty for none.
func (s *Session) ExportedTo() string {
	if s.exported != s.version {
		return ""
	}
	return s.exportedTo
}

// Stale are the names of files and folders to cut from that earlier exports left in the folder of
// the last one; see workshop.Stale.
func (s *Session) Stale() []string { return s.stale }
