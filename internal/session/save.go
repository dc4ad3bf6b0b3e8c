package session

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"abut/geometry/parallel"
	"abut/internal/abutfile"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/system"
	"abut/internal/whole"
	"abut/internal/workshop"
)

// ErrExists is the id of the error where Save was not to replace a file and there is one.
const ErrExists = "save-exists"

// ErrChanged is the id of the error where the document's own file is not what it was when it was
// opened or saved here.
const ErrChanged = "save-changed"

// stamp tells whether a file still holds what it held.
type stamp struct {
	written time.Time
	bytes   int64
	sum     string
}

// stampOf is the stamp of a file whose sum (SHA-256) is known, that of none where there is no file.
func stampOf(path string, sum hash.Hash) stamp {
	if info, err := os.Stat(path); err == nil {
		return stamp{info.ModTime(), info.Size(), string(sum.Sum(nil))}
	}
	return stamp{}
}

// of reports whether a file holds what it held. One that was only written anew, or put back,
// does; it is read to know that.
func (k stamp) of(path string) bool {
	info, err := os.Stat(path)
	if err != nil || info.Size() != k.bytes {
		return false
	}
	if info.ModTime().Equal(k.written) {
		return true
	}
	sum := sha256.New()
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	_, err = io.Copy(sum, f)
	return err == nil && string(sum.Sum(nil)) == k.sum
}

// File returns the file that the document is saved in, empty when it never was.
func (s *Session) File() string { return s.file }

// Changed reports whether there is anything that the document's file, or the picture that it
// came from, does not hold yet. What was exported is to be cut, not to go on from: it holds no
// size that could be changed, and no mend that could be taken back.
func (s *Session) Changed() bool {
	return s.Opened() && s.history.State() != s.saved
}

// SaveTarget returns where the document is saved unless the user says
// otherwise: its own file, or a new one beside the art, or in the home folder.
func (s *Session) SaveTarget(home string) string {
	if s.file != "" {
		return s.file
	}
	return s.beside(home, "job", abutfile.Extension)
}

// beside returns a path beside the art, or in the home folder for art that is no file:
// called like the document, or instead where it has no name, and with more after that.
func (s *Session) beside(home, instead, more string) string {
	dir := home
	if s.path != "" {
		dir = filepath.Dir(s.path)
	}
	return filepath.Join(dir, system.FileName(s.Name(), instead)+more)
}

// Save saves the document to a file in the background, once all that was asked
// for is done: all of it or nothing.
// Unless replace is set, a file of that name that is not the document's own is
// left as it is and the error is ErrExists, and so is its own when something else has changed
// it: ErrChanged. done gets the outcome on the session's goroutine.
func (s *Session) Save(path string, replace bool, done func(error)) {
	if !s.Opened() {
		return
	}
	if err := s.inTheWay(path); err != nil && !replace {
		done(err)
		return
	}
	s.Finish(func() { s.save(path, done) })
}

// inTheWay says what saving would replace that nobody has seen here, nil for nothing.
func (s *Session) inTheWay(path string) error {
	there := func() bool { _, err := os.Lstat(path); return err == nil }
	switch {
	case path != s.file && there():
		return &workshop.Error{Message: message.Message{ID: ErrExists}}
	case path == s.file && s.saving == 0 && there() && !s.held.of(path):
		return &workshop.Error{Message: message.Of(ErrChanged, "file", filepath.Base(path))}
	}
	return nil
}

func (s *Session) save(path string, done func(error)) {
	j, at, state, pictures := s.Job(), s.At(), s.history.State(), s.pictures(filepath.Dir(path))
	s.saving++
	t := finish(s, message.Message{ID: "ui-task-save"}, func(ctx context.Context) (held stamp, err error) {
		sum := sha256.New()
		data, err := parallel.Aside(ctx, func() ([]byte, error) {
			var b bytes.Buffer
			err := abutfile.Write(&b, abutfile.Document{Job: j, Pictures: pictures})
			return b.Bytes(), err
		})
		if err == nil {
			err = whole.WriteFile(path, func(w io.Writer) error { _, err := io.MultiWriter(w, sum).Write(data); return err })
		}
		return stampOf(path, sum), err
	}, func(held stamp, err error) {
		s.saving--
		if err == nil && at.document == s.document {
			s.file, s.held, s.saved = path, held, state
			s.recovered = false
			if !s.Changed() {
				s.auto.drop()
			}
			s.changed(SavedChanged)
		}
		if err != nil {
			err = saveError(err)
		}
		done(err)
	})
	t.lasting = true
}

func saveError(err error) error {
	if _, said := message.In(err); said || fit.IsCancelled(err) {
		return err
	}
	return &workshop.Error{Message: message.Of("save-failed", "detail", whole.Cause(err)), Err: err}
}

// writeWhole writes a document, all of it or nothing.
func writeWhole(path string, d abutfile.Document) error {
	return whole.WriteFile(path, func(w io.Writer) error { return abutfile.Write(w, d) })
}

// document is a job file that was read, with the stamp of what it held.
type document struct {
	abutfile.Document
	held stamp
	// sources and away are as in the session, once they were looked for.
	sources map[job.ItemID]*source
	away    map[job.ItemID]abutfile.Picture
}

// readDocument reads a job file.
func readDocument(path string) (document, error) {
	f, err := os.Open(path)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return document{}, &workshop.Error{Message: message.Of("file-missing", "path", path), Err: err}
		}
		return document{}, &workshop.Error{Message: message.Of("file-unreadable", "path", path, "detail", err.Error()), Err: err}
	}
	defer f.Close()
	sum := sha256.New()
	all := io.TeeReader(f, sum)
	d, err := abutfile.Read(all)
	if err == nil {
		_, err = io.Copy(io.Discard, all) // what is behind the job, if anything
	}
	return document{Document: d, held: stampOf(f.Name(), sum)}, err
}

// IsDocument reports whether a file's name says that it is a job file.
func IsDocument(path string) bool {
	return strings.EqualFold(filepath.Ext(path), abutfile.Extension)
}
