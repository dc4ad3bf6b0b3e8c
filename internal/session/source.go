package session

import (
	"context"
	"crypto/sha256"
	"os"
	"path/filepath"

	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// source is the file that a picture of the open document was read from, here or before it was saved.
type source struct {
	path string
	// held is what the file held when it was read, seen what it was last told to hold since.
	held, seen stamp
	// bases are the states of the drawing that were read here, as job.Redraw wants them.
	bases []job.Item
}

// origin is a picture's file as it was read; its path is empty where there is none.
type origin struct {
	path string
	held stamp
}

// readPicture is Opener.OpenAs, and tells what the file held.
func readPicture(ctx context.Context, o *workshop.Opener, path string, how job.Tracing) (job.Job, origin, error) {
	info, err := os.Stat(path) // before it is read: what is written meanwhile is noticed
	if err != nil || !info.Mode().IsRegular() {
		j, err := o.OpenAs(ctx, path, how, nil)
		return j, origin{}, err
	}
	sum := sha256.New()
	j, err := o.OpenAs(ctx, path, how, sum)
	return j, origin{path, stamp{info.ModTime(), info.Size(), string(sum.Sum(nil))}}, err
}

// cameFrom notes which files items are from, which have just come in.
func (s *Session) cameFrom(items []job.Item, from []origin) {
	for k, it := range items {
		if k < len(from) && from[k].path != "" {
			s.sources[it.ID] = &source{path: from[k].path, held: from[k].held, bases: []job.Item{it}}
		}
	}
}

// Outdated is a picture whose file has been changed since it was read.
type Outdated struct {
	Item job.ItemID
	// File is its name without the folder.
	File string
	at   At
	now  stamp
}

// LookForChanges looks in the background whether a program has changed the file of a picture
// since it was read, and hands over the first that nobody was told of. Nobody waits for it.
func (s *Session) LookForChanges(told func(Outdated)) {
	if s.lookingAtFiles {
		return
	}
	var list []looked
	for _, it := range s.Job().Items {
		if src := s.sources[it.ID]; src != nil && len(it.Layers) > 0 {
			list = append(list, looked{it.ID, *src})
		}
	}
	if len(list) == 0 {
		return
	}
	s.lookingAtFiles = true
	at := s.At()
	t := run(s, message.Message{}, func(context.Context) ([]looked, error) { return look(list), nil }, func(now []looked, err error) {
		s.lookingAtFiles = false
		if err != nil || at.document != s.document {
			return
		}
		for _, l := range now {
			src := s.sources[l.id]
			switch {
			case src == nil || src.path != l.path:
			case l.held.sum == src.held.sum:
				src.held = l.held // written anew or put back: it is not read again to know that
			default:
				told(Outdated{l.id, filepath.Base(l.path), at, l.held})
				return
			}
		}
	})
	t.quiet = true
}

// looked is a picture's file with what it holds.
type looked struct {
	id job.ItemID
	source
}

// look returns those files that are not as they were when they were read, or when somebody was
// told of them last, up to the first that holds something else. Its sum is not asked for.
func look(list []looked) (now []looked) {
	for _, l := range list {
		info, err := os.Stat(l.path)
		if err != nil || !info.Mode().IsRegular() {
			continue // it is being replaced, or gone: the job holds all that it had
		}
		is := stamp{written: info.ModTime(), bytes: info.Size()}
		as := func(k stamp) bool { return is.written.Equal(k.written) && is.bytes == k.bytes }
		if as(l.seen) || as(l.held) {
			continue
		}
		same := l.held.of(l.path)
		if same {
			is.sum = l.held.sum
		}
		l.held = is
		if now = append(now, l); !same {
			break
		}
	}
	return now
}

// Seen notes that somebody was told of a change: it is told again once there is another one.
func (s *Session) Seen(o Outdated) {
	if src := s.sources[o.Item]; src != nil && o.at.document == s.document {
		src.seen = o.now
	}
}

// HasSource reports whether it is known which file the picture was read from here.
func (s *Session) HasSource(id job.ItemID) bool { return s.sources[id] != nil }

// Renew reads the file of a picture anew and puts what it holds now in the picture's place, as
// one step; see job.Redraw. done is told what became of it.
func (s *Session) Renew(id job.ItemID, done func(file string, r job.Redrawn)) {
	if src := s.sources[id]; src != nil {
		s.ReplacePicture(id, src.path, done)
	}
}

// ReplacePicture is Renew with any file.
func (s *Session) ReplacePicture(id job.ItemID, path string, done func(file string, r job.Redrawn)) {
	var how job.Tracing
	for _, it := range s.Job().Items {
		if it.ID == id && it.Pixels != nil {
			how = it.Pixels.Tracing
		}
	}
	name := filepath.Base(path)
	var from origin
	var made job.Redrawn
	document := s.document
	read := named(name, func(ctx context.Context) (job.Job, error) {
		j, o, err := readPicture(ctx, new(workshop.Opener), path, how)
		from = o
		return j, err
	})
	s.later(coming{task: "ui-task-renew", label: "ui-step-renew", once: true, work: func(ctx context.Context, _ job.Job) (Edit, error) {
		fresh, err := read(ctx)
		if err != nil {
			return nil, err
		}
		return func(j job.Job) (out job.Job, err error) {
			var bases []job.Item
			if src := s.sources[id]; src != nil {
				bases = src.bases
			}
			out, made, err = job.Redraw(j, id, bases, fresh.Items[0])
			return out, err
		}, nil
	}, landed: func(err error) {
		if err != nil || document != s.document {
			return
		}
		src := s.sources[id]
		if src == nil {
			src = new(source)
			s.sources[id] = src
		}
		src.path, src.held, src.seen = path, from.held, stamp{}
		src.bases = append(src.bases, made.Base)
		delete(s.away, id)
		if from.path == "" {
			delete(s.sources, id)
		}
		done(name, made)
	}})
}
