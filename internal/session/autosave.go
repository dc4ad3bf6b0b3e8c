package session

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"abut/internal/abutfile"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/whole"
	"abut/internal/workshop"
)

// KeptAfter is how long after an edit the work is kept: soon enough that
// nobody minds the loss, seldom enough that a drag is not felt to stutter.
const KeptAfter = 2 * time.Second

// againAfter is how long after it could not be kept that is tried again, since a full
// disk may have room by then though nothing more is edited.
const againAfter = 30 * time.Second

// Typed are the texts that are typed in a dialog.
type Typed = abutfile.Typed

// autosave keeps the open document in the state folder, so that a process that
// is killed loses nothing. A document has one slot there: a file, and a lock
// beside it that says that its process lives.
type autosave struct {
	s *Session
	// dir is the folder; empty keeps nothing.
	dir  string
	slot string
	lock *whole.Lock
	// due: a save is planned; busy: one is being written.
	// failed: the last one could not be.
	due, busy, failed bool
	timer             *time.Timer
	// wrote is the state that was to be kept last; making: with a change that is no step yet.
	wrote  At
	making bool
	// typing is told what is typed that belongs to no change yet, rescued what was typed when the
	// process that left the document behind was killed and was not taken back since.
	typing  func() []Typed
	rescued []Typed
}

// KeepTyped has what is typed in dialogs be kept along with the work. typing, which is called on
// the session's goroutine, returns that.
func (s *Session) KeepTyped(typing func() []Typed) { s.auto.typing = typing }

// Typed says that something was typed of what KeepTyped is told, or given up: it is kept once it
// rests.
func (s *Session) Typed() {
	if s.history != nil {
		s.auto.wrote = At{}
		s.auto.shown()
	}
}

// TakeTyped returns the texts that were typed somewhere when the process was killed that left the
// open document behind, once.
func (s *Session) TakeTyped(in string) []string {
	a := &s.auto
	i := slices.IndexFunc(a.rescued, func(t Typed) bool { return t.In == in })
	if i < 0 {
		return nil
	}
	texts := a.rescued[i].Texts
	a.rescued = slices.Delete(slices.Clone(a.rescued), i, i+1)
	s.Typed()
	return texts
}

// typed is what is typed now, with what was before and nobody has asked for yet.
func (a *autosave) typed() (all []Typed) {
	if a.typing != nil {
		all = a.typing()
	}
	return append(all, a.rescued...)
}

// KeepIn makes the session keep unsaved work in a folder.
func (s *Session) KeepIn(dir string) { s.auto.dir = dir }

// touch plans a save.
func (a *autosave) touch() {
	if a.dir == "" || a.due {
		return
	}
	a.plan(KeptAfter)
	a.due = true
}

// shown is told that a change that is being made is seen: it is kept once it rests, since
// something large that is dragged would stutter.
func (a *autosave) shown() {
	if a.dir != "" && !a.due {
		a.plan(KeptAfter)
	}
}

// plan has the work kept after some time.
func (a *autosave) plan(after time.Duration) {
	if a.timer != nil {
		a.timer.Stop()
	}
	a.timer = time.AfterFunc(after, func() { a.s.deliver(a.now) })
}

// hidden is told that a change that was being made is no longer seen.
func (a *autosave) hidden() {
	if a.making {
		a.making, a.wrote = false, At{}
		a.touch()
	}
}

// now keeps the work at once: as it will be once what is typed counts, since words of a text are
// typed for long before they are a step.
func (a *autosave) now() {
	s := a.s
	if a.timer != nil {
		a.timer.Stop()
	}
	a.due = false
	if a.dir == "" || s.history == nil {
		return
	}
	typed, making := a.typed(), s.preview != nil || s.draft.counts()
	if !s.Changed() && !making && len(typed) == 0 { // what was done is taken back
		a.drop()
		return
	}
	if a.busy {
		a.touch()
		return
	}
	a.wrote, a.making = s.At(), making
	if a.slot == "" {
		if err := a.take(); err != nil {
			a.tell(err)
			return
		}
	}
	a.busy = true
	doc, slot, lock := abutfile.Document{Job: s.Shown(), Of: s.Origin(), Pictures: s.pictures(""), Typed: typed}, a.slot, a.lock
	made := func() job.Job { return doc.Job }
	if s.preview == nil && making {
		made = s.draft.outcome(doc.Job)
	}
	go func() {
		doc.Job = made()
		err := writeWhole(slot, doc)
		s.deliver(func() {
			a.busy = false
			a.tell(err)
			if a.slot != slot { // the document was saved or left meanwhile
				discard(slot, lock)
			}
			s.park()
		})
	}()
}

// discard removes what was kept, and then the lock: whoever looks for lost work
// finds nothing without one.
func discard(slot string, lock *whole.Lock) {
	_ = os.Remove(slot)
	lock.Release()
}

// Origin returns the file that the document came from or is saved in, empty
// when there is none.
func (s *Session) Origin() string {
	if s.file != "" {
		return s.file
	}
	return s.path
}

// tell says that the work cannot be kept, once until it can be again: it was
// promised.
func (a *autosave) tell(err error) {
	if err != nil && !a.failed {
		a.s.trouble(&workshop.Error{Message: message.Of("keep-failed", "folder", a.dir, "detail", whole.Cause(err)), Err: err})
	}
	a.failed = err != nil
	if a.failed && !a.due && len(a.s.parked) == 0 {
		a.plan(againAfter)
	}
}

// take makes a slot of its own for the document.
func (a *autosave) take() error {
	if err := os.MkdirAll(a.dir, 0o700); err != nil {
		return err
	}
	name := filepath.Join(a.dir, fmt.Sprintf("work-%d-%d%s", time.Now().UnixNano(), os.Getpid(), abutfile.Extension))
	lock, err := whole.TakeLock(name + lockSuffix)
	if err != nil {
		return err
	}
	a.slot, a.lock = name, lock
	return nil
}

// drop forgets what was kept: it is saved, or not wanted.
func (a *autosave) drop() {
	if a.timer != nil {
		a.timer.Stop()
	}
	a.due = false
	if a.slot != "" && !a.busy { // else once it is written
		discard(a.slot, a.lock)
	}
	a.slot, a.lock = "", nil
}

// looking is held while a window of this process looks whether a slot has an owner,
// for which it takes the lock for a moment.
var looking sync.Mutex

// claim takes a slot; nil says that a living process has it. One that is but looked
// at just now is free again in a moment.
func claim(slot string) *whole.Lock {
	looking.Lock()
	defer looking.Unlock()
	for range 100 {
		if lock, err := whole.TakeLock(slot + lockSuffix); err == nil {
			return lock
		}
		time.Sleep(5 * time.Millisecond) // another process looks, or has it
	}
	return nil
}

// free reports whether no living process has a slot, or what else a lock is for.
func free(lockName string) bool {
	looking.Lock()
	defer looking.Unlock()
	lock, err := whole.TakeLock(lockName)
	if err == nil {
		lock.Release()
	}
	return err == nil
}

const lockSuffix = ".lock"

// Lost is work that a process left behind when it was killed.
type Lost struct {
	// Name is the document's; Of the file that it came from, empty without one.
	Name, Of string
	// Time is when it was kept.
	Time time.Time
	slot string
}

// FindLost looks for work that was left behind, the latest first. done gets it
// on the session's goroutine.
func (s *Session) FindLost(done func([]Lost)) {
	dir := s.auto.dir
	if dir == "" {
		done(nil)
		return
	}
	run(s, message.Message{ID: "ui-task-lost"}, func(context.Context) ([]Lost, error) { return findLost(dir), nil },
		func(l []Lost, _ error) { done(l) })
}

func findLost(dir string) []Lost {
	list, _ := os.ReadDir(dir)
	var out []Lost
	for i := len(list) - 1; i >= 0; i-- {
		slot := filepath.Join(dir, list[i].Name())
		if strings.HasSuffix(slot, lockSuffix) {
			if _, err := os.Stat(strings.TrimSuffix(slot, lockSuffix)); err != nil {
				free(slot) // and removed: nothing belongs to it
			}
			continue
		}
		if !IsDocument(slot) {
			continue
		}
		if !free(slot + lockSuffix) {
			continue // its process lives
		}
		d, err := readDocument(slot)
		info, e := list[i].Info()
		if err != nil || e != nil {
			continue
		}
		out = append(out, Lost{Name: lostName(d.Document), Of: d.Of, Time: info.ModTime(), slot: slot})
	}
	slices.SortStableFunc(out, func(a, b Lost) int { return b.Time.Compare(a.Time) })
	return out
}

// lostName is what the window called a document.
func lostName(d abutfile.Document) string {
	if IsDocument(d.Of) {
		return bare(d.Of)
	}
	if len(d.Job.Items) > 0 {
		return d.Job.Items[0].Name
	}
	if b := d.Job.Settings.BlankShape; b != nil {
		return b.Name
	}
	return ""
}

// Recover opens work that was left behind, unless another window has it. It stays
// kept until it is saved.
func (s *Session) Recover(l Lost) {
	arrive(s, l.Name, func(context.Context) (document, error) {
		d, err := readDocument(l.slot)
		// What its own file held when work on it began is not known: what it holds now, unless
		// it was saved since, by whoever went on without this.
		d.held = stamp{}
		if IsDocument(d.Of) {
			if of, e := readDocument(d.Of); e == nil && !of.held.written.After(l.Time) {
				d.held = of.held
			}
		}
		if err == nil && taken(l.slot) {
			err = &workshop.Error{Message: message.Message{ID: "lost-taken", Args: map[string]string{"file": l.Name}}}
		}
		if err == nil {
			folder := ""
			if d.Of != "" {
				folder = filepath.Dir(d.Of)
			}
			d.locate(folder, true)
		}
		return d, err
	}, func(d document) {
		// It has an owner before anybody is told that it is open, and looks for work without one:
		// whoever looks through the folder has its lock for less than a millisecond.
		lock := claim(l.slot)
		s.use(d, d.Of, true)
		if lock != nil {
			s.auto.slot, s.auto.lock = l.slot, lock
		}
		s.auto.rescued = d.Typed
	})
}

// taken reports whether a living process has a slot.
func taken(slot string) bool {
	lock := claim(slot)
	lock.Release()
	return lock == nil
}

// Forget throws work away that was left behind.
func (s *Session) Forget(l Lost) {
	_ = os.Remove(l.slot)
	_ = os.Remove(l.slot + lockSuffix)
}
