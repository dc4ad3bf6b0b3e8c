// Package session is what a window works on: the open job with its history and
// selection, the plan that follows from it, and the work that goes on in the
// background. It knows no window: what happened is told through OnChange, and
// background work hands its results over through a function that runs them
// where the session lives.
//
// Everything here belongs to one goroutine, the window's; only background work
// runs elsewhere, on snapshots.
package session

import (
	"context"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/history"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
	"abut/internal/workshop"
)

// Change says what is new; several may come together.
type Change uint8

const (
	// JobChanged: another job is open, or the open one was edited.
	JobChanged Change = 1 << iota
	// OpenedChanged: another document is open, or none.
	OpenedChanged
	// SelectionChanged: other layers are selected.
	SelectionChanged
	// PlanChanged: a plan arrived, exact for the job or the preview at hand.
	PlanChanged
	// WorkChanged: work that takes long enough to be shown began or ended.
	WorkChanged
	// SavedChanged: the document was saved, or has another file.
	SavedChanged
	// WeakChanged: more is known about weak spots, or about what the clearance
	// leaves.
	WeakChanged
)

// Session is an open document, or none. Make one with New.
type Session struct {
	// OnChange is told what changed.
	OnChange func(Change)
	// OnTrouble is told what went wrong in the background, in a form that
	// workshop.Error and words can put into sentences.
	OnTrouble func(error)

	// Units are those of documents that are new.
	Units job.Units
	// CutterMM and SheetMM are what they are to be cut with and from, 0 for the
	// defaults.
	CutterMM float64
	SheetMM  [2]float64

	deliver func(func())

	history   *history.History[job.Job, []job.LayerID]
	selection []job.LayerID
	path      string
	preview   *job.Job

	plan *fit.Plan
	// planExact: the plan belongs to the job or preview at hand, not to the one
	// before it.
	planExact bool
	// planError says why there is no plan for the job at hand.
	planError error
	// committed is the last exact plan of a job that is no preview.
	committed *fit.Plan

	// version counts the states that the document went through; exported is the
	// one that was last written to files.
	version, exported int
	// saved is the one that file holds; recovered: the document was left behind
	// by a process that was killed, and no file holds it.
	saved     int
	file      string
	recovered bool
	auto      autosave

	// drawer are the user's own sheets when no file keeps them.
	drawer     []drawer.Sheet
	drawerFile string

	fitter fitter
	weak   weakness
	tasks  []*Task
}

// New returns a session without a document. deliver runs a function on the
// goroutine that the session belongs to, later.
func New(deliver func(func())) *Session {
	s := &Session{deliver: deliver}
	s.fitter.s = s
	s.weak.s = s
	s.auto.s = s
	return s
}

func (s *Session) changed(c Change) {
	if s.OnChange != nil {
		s.OnChange(c)
	}
}

func (s *Session) trouble(err error) {
	if s.OnTrouble != nil && err != nil {
		s.OnTrouble(err)
	}
}

// Opened reports whether a document is open.
func (s *Session) Opened() bool { return s.history != nil }

// Job returns the job as it stands, previews not counted.
func (s *Session) Job() job.Job {
	if s.history == nil {
		return job.Job{}
	}
	return s.history.Value()
}

// Name returns the document's name, for the title.
func (s *Session) Name() string {
	if s.file != "" {
		return strings.TrimSuffix(filepath.Base(s.file), filepath.Ext(s.file))
	}
	if j := s.Job(); len(j.Items) > 0 {
		return j.Items[0].Name
	}
	return ""
}

// Sized reports whether the art's file says how large it is.
func (s *Session) Sized() bool { return workshop.Sized(s.Job()) }

// Plan returns what follows from the job or the preview, and whether it is
// exact for it; until the background has caught up it is the one before.
func (s *Session) Plan() (plan *fit.Plan, exact bool) { return s.plan, s.planExact }

// PlanError returns why no plan could be made for the job at hand, nil while
// there is one or it is still being worked out.
func (s *Session) PlanError() error { return s.planError }

// Open reads a file in the background and makes it the open document. A file
// that cannot be used leaves the open one as it is.
func (s *Session) Open(path string) {
	s.open(path, func(ctx context.Context) (job.Job, error) { return read(ctx, path) })
}

// OpenSVG is Open for a picture that is no file on disk.
func (s *Session) OpenSVG(name string, r io.Reader) {
	s.open("", func(ctx context.Context) (job.Job, error) { return workshop.OpenSVG(ctx, name, r) })
}

func (s *Session) open(path string, read func(context.Context) (job.Job, error)) {
	name := filepath.Base(path)
	run(s, message.Message{ID: "ui-task-open", Args: map[string]string{"file": name}}, read, func(j job.Job, err error) {
		if err != nil {
			s.trouble(err)
			return
		}
		if !IsDocument(path) {
			j = s.fresh(j)
		}
		s.Use(j, path)
	})
}

// fresh returns a job that no document held yet with the units, cutter and
// sheets of new ones.
func (s *Session) fresh(j job.Job) job.Job {
	j.Settings.Units = s.Units
	j.Settings.CutterMM, j.Settings.SheetWidthMM, j.Settings.SheetHeightMM = s.CutterMM, s.SheetMM[0], s.SheetMM[1]
	return j
}

// Use makes a job the open document, with an empty history. path is the file
// that it is from, empty without one.
func (s *Session) Use(j job.Job, path string) {
	s.fitter.stop()
	s.weak.forget()
	s.stopVoid()
	s.auto.drop()
	s.file, s.saved, s.recovered = "", 0, false
	if IsDocument(path) {
		s.file = path
	}
	s.history = history.New[job.Job, []job.LayerID](j)
	s.selection, s.preview, s.path = nil, nil, path
	s.plan, s.committed, s.planExact, s.planError = nil, nil, false, nil
	s.version, s.exported = 0, 0
	s.fitter.cache = new(fit.Cache)
	s.fit(j)
	s.changed(JobChanged | OpenedChanged | SelectionChanged | PlanChanged | SavedChanged)
}

// Close leaves no document open, and what was kept of it is forgotten.
func (s *Session) Close() {
	s.fitter.stop()
	s.weak.forget()
	s.stopVoid()
	s.auto.drop()
	s.file, s.path, s.recovered = "", "", false
	s.history, s.selection, s.preview, s.plan, s.committed = nil, nil, nil, nil, nil
	s.planExact, s.planError = false, nil
	s.changed(JobChanged | OpenedChanged | SelectionChanged | PlanChanged)
}

// Edit is a change of a job.
type Edit func(job.Job) (job.Job, error)

// Do makes an edit one step of the history. label is a sentence's id, for the
// undo command.
func (s *Session) Do(label string, edit Edit) error {
	return s.step(edit, func(j job.Job) { s.history.Do(label, j, slices.Clone(s.selection)) })
}

// Nudge is Do for one of many small edits: those with the same key that follow
// each other closely become one step.
func (s *Session) Nudge(key, label string, edit Edit) error {
	return s.step(edit, func(j job.Job) { s.history.Nudge(key, label, j, slices.Clone(s.selection)) })
}

func (s *Session) step(edit Edit, keep func(job.Job)) error {
	if s.history == nil {
		return nil
	}
	j, err := edit(s.history.Value())
	if err != nil {
		s.CancelPreview()
		return err
	}
	s.preview = nil
	keep(j)
	s.edited()
	return nil
}

// edited follows a step in either direction.
func (s *Session) edited() {
	j := s.history.Value()
	keep := s.selection[:0:0]
	for _, id := range s.selection {
		if _, _, ok := j.Layer(id); ok {
			keep = append(keep, id)
		}
	}
	c := JobChanged
	if len(keep) != len(s.selection) {
		c |= SelectionChanged
	}
	s.selection = keep
	s.committed = nil
	s.version++
	s.stopVoid()
	s.planExact, s.planError = false, nil
	s.fit(j)
	s.auto.touch()
	s.changed(c | SavedChanged)
}

// Preview shows what an edit would lead to, without a step: the plan follows it
// in the background. The next Preview replaces it, Do commits.
func (s *Session) Preview(edit Edit) {
	if s.history == nil {
		return
	}
	j, err := edit(s.history.Value())
	if err != nil {
		return
	}
	s.preview = &j
	s.planExact = false
	s.fit(j)
}

// CancelPreview goes back to the job as it stands.
func (s *Session) CancelPreview() {
	if s.preview == nil {
		return
	}
	s.preview = nil
	if s.committed != nil {
		s.fitter.stop()
		s.plan, s.planExact, s.planError = s.committed, true, nil
		s.weak.look()
		s.changed(PlanChanged)
		return
	}
	s.planExact = false
	s.fit(s.Job())
}

// Unwritten reports whether there is work that neither the document's file nor
// an export holds.
func (s *Session) Unwritten() bool {
	return (s.CanUndo() || s.recovered) && s.version != s.exported && s.version != s.saved
}

// Undo takes the last step back and selects what it was done to.
func (s *Session) Undo() { s.travel(func() (job.Job, []job.LayerID, bool) { return s.history.Undo() }) }

// Redo brings the step back that Undo took.
func (s *Session) Redo() { s.travel(func() (job.Job, []job.LayerID, bool) { return s.history.Redo() }) }

func (s *Session) travel(move func() (job.Job, []job.LayerID, bool)) {
	if s.history == nil {
		return
	}
	s.preview = nil
	_, selection, ok := move()
	if !ok {
		return
	}
	s.selection = slices.Clone(selection)
	s.edited()
	s.changed(SelectionChanged)
}

// CanUndo reports whether a step can be taken back.
func (s *Session) CanUndo() bool { return s.history != nil && s.history.CanUndo() }

// CanRedo reports whether a step can be brought back.
func (s *Session) CanRedo() bool { return s.history != nil && s.history.CanRedo() }

// UndoLabel returns the label of the step that Undo takes back: the id of the
// sentence that it was done with.
func (s *Session) UndoLabel() string {
	if !s.CanUndo() {
		return ""
	}
	return s.history.UndoLabel()
}

// RedoLabel returns the label of the step that Redo brings back.
func (s *Session) RedoLabel() string {
	if !s.CanRedo() {
		return ""
	}
	return s.history.RedoLabel()
}

// Steps returns the labels of all steps, the first one first, and how many of
// them are done; the rest can be brought back.
func (s *Session) Steps() (labels []string, done int) {
	if s.history == nil {
		return nil, 0
	}
	return s.history.Labels(), s.history.Steps()
}

// GoTo undoes or redoes until n steps are done.
func (s *Session) GoTo(n int) {
	if s.history == nil || n == s.history.Steps() {
		return
	}
	s.travel(func() (j job.Job, ids []job.LayerID, ok bool) {
		for s.history.Steps() > n && s.history.CanUndo() {
			j, ids, ok = s.history.Undo()
		}
		for s.history.Steps() < n && s.history.CanRedo() {
			j, ids, ok = s.history.Redo()
		}
		return j, ids, ok
	})
}

// Selection returns the selected layers.
func (s *Session) Selection() []job.LayerID { return slices.Clone(s.selection) }

// Select selects layers; it is no step of the history.
func (s *Session) Select(ids []job.LayerID) {
	if !slices.Equal(ids, s.selection) {
		s.selection = slices.Clone(ids)
		s.changed(SelectionChanged)
	}
}

// Resize makes the art as wide or as high as said, in millimetres; the other is
// 0. Several pictures keep their places to each other.
func (s *Session) Resize(widthMM, heightMM float64) {
	s.scale("ui-step-size", func(ctx context.Context, j job.Job) (job.Job, error) {
		return workshop.Size(ctx, j, widthMM, heightMM)
	})
}

// scale makes scaling a step. The art's exact extent takes its time, so it is
// worked out in the background, and again if the job has changed meanwhile.
func (s *Session) scale(label string, by func(context.Context, job.Job) (job.Job, error)) {
	if s.history == nil || len(s.Job().Items) == 0 {
		return
	}
	j, history, version := s.Job(), s.history, s.version
	run(s, message.Message{ID: "ui-task-size"}, func(ctx context.Context) (job.Job, error) { return by(ctx, j) }, func(out job.Job, err error) {
		switch {
		case s.history != history:
		case err == nil && s.version != version:
			s.scale(label, by)
		default:
			if err == nil {
				err = s.Do(label, func(job.Job) (job.Job, error) { return out, nil })
			}
			s.trouble(err)
		}
	})
}

// ExportFolder returns where the files go unless the user says otherwise: a new
// folder beside the art, or in the home folder for art that is no file.
func (s *Session) ExportFolder(home string) string {
	dir := home
	if s.path != "" {
		dir = filepath.Dir(s.path)
	}
	name := strings.TrimSpace(s.Name())
	if name == "" {
		name = "art"
	}
	return filepath.Join(dir, name+" "+words.Chosen().Say("ui-export-folder-suffix", nil))
}

// Export writes the job's files into a folder in the background. done gets the
// outcome on the session's goroutine.
func (s *Session) Export(dir string, o workshop.WriteOptions, done func(*workshop.Manifest, error)) {
	if s.history == nil {
		return
	}
	j, plan, cache := s.Job(), s.plan, s.fitter.cache
	if !s.planExact || s.preview != nil {
		plan = nil
	}
	version := s.version
	o.Cache = new(fit.Cache) // the window's own is for the job as it stands
	run(s, message.Message{ID: "ui-task-export"}, func(ctx context.Context) (*workshop.Manifest, error) {
		if plan == nil {
			var err error
			if plan, err = workshop.FitCached(ctx, cache, j); err != nil {
				return nil, err
			}
		}
		return workshop.Write(ctx, j, plan, dir, o)
	}, func(m *workshop.Manifest, err error) {
		if err == nil {
			s.exported = version
		}
		done(m, err)
	})
}
