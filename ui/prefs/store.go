// Package prefs keeps what was chosen once and for all: the look, units, widths of
// panels, the user's own blanks. All windows share one store; the toolkit's file
// pickers keep what they remember there, too.
package prefs

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"fyne.io/fyne/v2"

	"abut/internal/message"
	"abut/internal/whole"
)

// Store is a table of values by their names, kept in a file. It can be used from
// several goroutines.
type Store struct {
	// OnTrouble is told what could not be kept, on a goroutine of its own; nil for
	// nobody.
	OnTrouble func(error)

	path      string
	mu        sync.Mutex
	values    map[string]any
	listeners []func()
	// writing: a goroutine puts the table on disk; stale: it changed since that
	// began.
	writing, stale bool
	written        sync.Cond
}

var _ fyne.Preferences = (*Store)(nil)

// Error says what a store cannot do.
type Error struct {
	message.Message
	// Aside is where a damaged file was put, so that it is not lost; empty when
	// nothing was put anywhere.
	Aside string
	// Err is the cause.
	Err error
}

func (e *Error) Error() string { return e.ID + ": " + e.Err.Error() }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Open returns the store that a file keeps, an empty one where there is none yet.
// With an empty path it lasts as long as the program. Where the file cannot be
// read, an *Error says so; then, too, there is a store that can be used, empty and
// to be kept in that file: what was there is beside it under another name.
func Open(path string) (*Store, error) {
	s := &Store{path: path, values: map[string]any{}}
	s.written.L = &s.mu
	if path == "" {
		return s, nil
	}
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return s, nil
	}
	if err == nil {
		values := map[string]any{}
		if err = json.Unmarshal(data, &values); err == nil && values != nil {
			s.values = values
			return s, nil
		}
		if err == nil {
			err = errors.New("no table")
		}
	}
	aside := path + ".damaged"
	if moved := os.Rename(path, aside); moved != nil {
		return s, &Error{Message: message.Of("prefs-unreadable", "file", path, "detail", whole.Cause(err)), Err: err}
	}
	return s, &Error{Message: message.Of("prefs-damaged", "file", aside), Aside: aside, Err: err}
}

// Wait returns once all that was set is on disk, or could not be put there.
func (s *Store) Wait() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for s.writing {
		s.written.Wait()
	}
}

// write puts the table on disk until nothing has changed meanwhile. What is set in
// quick succession is written once or twice.
func (s *Store) write() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for s.stale {
		s.stale = false
		data, err := json.MarshalIndent(s.values, "", "\t")
		s.mu.Unlock()
		if err == nil {
			if err = os.MkdirAll(filepath.Dir(s.path), 0o700); err == nil {
				err = whole.WriteFile(s.path, func(w io.Writer) error { _, err := w.Write(data); return err })
			}
		}
		if err != nil && s.OnTrouble != nil {
			s.OnTrouble(&Error{Message: message.Of("prefs-not-kept", "file", s.path, "detail", whole.Cause(err)), Err: err})
		}
		s.mu.Lock()
	}
	s.writing = false
	s.written.Broadcast()
}

// set changes the table, has it written, and tells those who listen.
func (s *Store) set(change func(map[string]any)) {
	s.mu.Lock()
	change(s.values)
	if s.path != "" {
		s.stale = true
		if !s.writing {
			s.writing = true
			go s.write()
		}
	}
	listeners := slices.Clone(s.listeners)
	s.mu.Unlock()
	for _, f := range listeners {
		f()
	}
}

func put[T any](s *Store, name string, v T) { s.set(func(m map[string]any) { m[name] = v }) }

// get returns a value as it was set, or as the file has it.
func get[T any](s *Store, name string, fallback T) T {
	s.mu.Lock()
	defer s.mu.Unlock()
	v, ok := s.values[name]
	if !ok {
		return fallback
	}
	if same, is := v.(T); is {
		return same
	}
	// The file has one kind of number, and lists of anything.
	var out T
	if data, err := json.Marshal(v); err == nil && string(data) != "null" && json.Unmarshal(data, &out) == nil {
		return out
	}
	return fallback
}

// AddChangeListener has f called after each change, on the goroutine of whoever
// made it.
func (s *Store) AddChangeListener(f func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.listeners = append(s.listeners, f)
}

// ChangeListeners returns who listens.
func (s *Store) ChangeListeners() []func() {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.listeners)
}

// RemoveValue forgets a value.
func (s *Store) RemoveValue(name string) { s.set(func(m map[string]any) { delete(m, name) }) }
