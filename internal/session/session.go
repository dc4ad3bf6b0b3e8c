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
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"abut/internal/abutfile"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/history"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/system"
	"abut/internal/words"
	"abut/internal/workshop"
)

// Change says what is new; several may come together.
type Change uint8

const (
	// JobChanged says that another job is open, or the open one was edited.
	JobChanged Change = 1 << iota
	// OpenedChanged says that another document is open, or none.
	OpenedChanged
	// SelectionChanged says that other layers are selected.
	SelectionChanged
	// PlanChanged says that a plan arrived, exact for the job or the preview at hand.
	PlanChanged
	// WorkChanged says that work that takes long enough to be shown began or ended.
	WorkChanged
	// SavedChanged says that the document was saved, or has another file.
	SavedChanged
	// WeakChanged says that more is known about weak spots, or about what the clearance
	// leaves.
	WeakChanged
	// ShownChanged says that what is being made is another change, or none.
	ShownChanged
)

// Session is an open document, or none. Make one with New.
type Session struct {
	opener workshop.Opener

	// OnChange is told what changed.
	OnChange func(Change)
	// OnTrouble is told what went wrong; workshop.Explain puts it into sentences.
	OnTrouble func(error)
	// OnArrived is told when a file that was read is to become the open document,
	// and whether that was edited since it was asked for; use makes it so. Without
	// OnArrived it becomes that at once, unless it was edited.
	OnArrived func(name string, edited bool, use func())

	// OnTraced is told of a picture of pixels that was added.
	OnTraced func(job.ItemID)

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
	// draft is the change that is being made, preview the job as it is to be seen
	// meanwhile, nil while that is the job itself.
	draft   *Draft
	preview *job.Job

	plan *fit.Plan
	// planExact: the plan belongs to the job or preview at hand, not to the one
	// before it.
	planExact bool
	// planError says why there is no plan for the job at hand.
	planError error
	// committed is the last exact plan of a job that is no preview.
	committed *fit.Plan

	// document counts the documents that were open, version the states that this
	// one went through; exported is the one that was last written to files.
	document, version, exported int
	// exportedTo is the folder of that, stale what earlier ones left there.
	exportedTo string
	stale      []string
	// sized: whoever works on it said how large it is to be.
	sized bool
	// saved is the history's state that file holds, −1 for none of them, held what that was like when it was last seen here, saving
	// how often it is being written; recovered: the document was left behind by a process that was
	// killed, and no file holds it.
	saved     int
	file      string
	held      stamp
	saving    int
	recovered bool
	auto      autosave
	// sources are the files that pictures were read from, as far as they are there, away those that
	// the job's file names and that are not; lookingAtFiles: it is being looked whether they have changed.
	sources        map[job.ItemID]*source
	away           map[job.ItemID]abutfile.Picture
	lookingAtFiles bool

	// drawer are the user's own sheets when no file keeps them.
	drawer     []drawer.Sheet
	drawerFile string

	fitter fitter
	weak   weakness
	tasks  []*Task
	// coming are the changes that were asked for, landing the work on the first;
	// mending is the work on all mends, opening a file that is being read. waiting
	// waits for coming, finishing for mending, too, and planning for the plan.
	coming                       []coming
	landing, mending, opening    *Task
	waiting, finishing, planning []waiter
	// parked are told once nothing goes on any more, none while nobody asked for
	// that.
	parked []func()
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
		return bare(s.file)
	}
	if j := s.Job(); len(j.Items) > 0 {
		return j.Items[0].Name
	}
	return ""
}

// bare is a file's name without its folder and extension.
func bare(path string) string { return strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)) }

// Sized reports whether it is known how large the art is to be: its file says
// so, or it was worked on before.
func (s *Session) Sized() bool {
	return s.sized || s.file != "" || s.recovered || workshop.Sized(s.Job())
}

// AcceptSize says that the art is as large as it is to be.
func (s *Session) AcceptSize() {
	s.sized = true
	s.changed(SavedChanged)
}

// Plan returns what follows from the job or the preview, and whether it is
// exact for it; until the background has caught up it is the one before.
func (s *Session) Plan() (plan *fit.Plan, exact bool) { return s.plan, s.planExact }

// Open reads a file in the background and makes it the open document. A file
// that cannot be used leaves the open one as it is.
func (s *Session) Open(path string) {
	name := filepath.Base(path)
	if IsDocument(path) {
		arrive(s, name, named(name, func(ctx context.Context) (document, error) { return readLocated(ctx, path) }), func(d document) { s.use(d, path, false) })
		return
	}
	var from origin
	arrive(s, name, named(name, func(ctx context.Context) (job.Job, error) {
		j, o, err := readPicture(ctx, &s.opener, path, job.Tracing{})
		from = o
		return j, err
	}), func(j job.Job) {
		s.Use(s.fresh(j), path)
		s.cameFrom(s.Job().Items, []origin{from})
	})
}

// OpenSVG is Open for a picture that is no file on disk.
func (s *Session) OpenSVG(name string, r io.Reader) {
	read := func(ctx context.Context) (job.Job, error) { return workshop.OpenSVG(ctx, name, r) }
	arrive(s, name, named(name, read), func(j job.Job) { s.Use(s.fresh(j), "") })
}

// OpenError is the trouble of a file that could not be opened.
type OpenError struct {
	// File is its name without the folder.
	File string
	Err  error
}

// Error returns what Err does.
func (e *OpenError) Error() string { return e.Err.Error() }

// Unwrap returns why it could not be opened.
func (e *OpenError) Unwrap() error { return e.Err }

// OpenErrors is the trouble of several files that could not be opened.
type OpenErrors []*OpenError

// Error tells each file on a line of its own.
func (e OpenErrors) Error() string {
	var b strings.Builder
	for _, one := range e {
		fmt.Fprintf(&b, "%s: %v\n", one.File, one.Err)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// err returns the trouble as an error: of one file it is told as that of any other.
func (e OpenErrors) err() error {
	switch len(e) {
	case 0:
		return nil
	case 1:
		return e[0]
	}
	return e
}

// named has what goes wrong with reading a file tell which one it was.
func named[T any](file string, read func(context.Context) (T, error)) func(context.Context) (T, error) {
	return func(ctx context.Context) (T, error) {
		v, err := read(ctx)
		if err != nil && !fit.IsCancelled(err) {
			err = &OpenError{File: file, Err: err}
		}
		return v, err
	}
}

// arrive reads what is to become the open document. What was being read for that
// before is not wanted any more.
func arrive[T any](s *Session, name string, read func(context.Context) (T, error), use func(T)) {
	if s.opening != nil {
		s.opening.Stop()
	}
	at := s.At()
	var t *Task
	t = run(s, message.Message{ID: "ui-task-open", Args: map[string]string{"file": name}}, read, func(v T, err error) {
		if s.opening != t {
			return
		}
		s.opening = nil
		edited := s.Opened() && (at != s.At() || s.draft != nil || len(s.coming) > 0 || s.mending != nil)
		switch {
		case err != nil:
			s.trouble(err)
		case s.OnArrived != nil:
			s.OnArrived(name, edited, func() { use(v) })
		case edited:
			s.trouble(&workshop.Error{Message: message.Message{ID: "open-edited", Args: map[string]string{"file": name}}})
		default:
			use(v)
		}
	})
	s.opening = t
}

// fresh returns a job that no document held yet with the units, cutter and
// sheets of new ones.
func (s *Session) fresh(j job.Job) job.Job {
	j.Settings.Units = s.Units
	j.Settings.CutterMM, j.Settings.SheetWidthMM, j.Settings.SheetHeightMM = s.CutterMM, s.SheetMM[0], s.SheetMM[1]
	return j
}

// Use makes a job the open document, with an empty history. path is the picture
// that it is from, empty without one.
func (s *Session) Use(j job.Job, path string) {
	s.use(document{Document: abutfile.Document{Job: j}}, path, false)
}

// use makes a document the open one. path is the job file that it is from, or what Use says;
// recovered says that no file holds it.
func (s *Session) use(d document, path string, recovered bool) {
	j := d.Job
	s.leave()
	s.file, s.saved, s.recovered = "", 0, recovered
	if IsDocument(path) {
		s.file, s.held = path, d.held
	}
	s.history = history.New[job.Job, []job.LayerID](j)
	s.selection, s.preview, s.path = nil, nil, path
	s.plan, s.committed, s.planExact, s.planError = nil, nil, false, nil
	s.version, s.exported, s.sized = 0, -1, false
	if s.sources, s.away = d.sources, d.away; s.sources == nil {
		s.sources = map[job.ItemID]*source{}
	}
	s.auto.rescued = nil
	if recovered {
		s.saved = -1
	}
	s.fitter.cache = new(fit.Cache)
	s.fit(j)
	s.changed(JobChanged | OpenedChanged | SelectionChanged | PlanChanged | SavedChanged)
}

// leave gives up all that goes on for the open document.
func (s *Session) leave() {
	s.abandon()
	s.fitter.stop()
	s.weak.forget()
	s.stopVoid()
	s.auto.drop()
	s.document++
}

// Close leaves no document open, and what was kept of it is forgotten.
func (s *Session) Close() {
	s.leave()
	s.file, s.path, s.recovered = "", "", false
	s.history, s.selection, s.preview, s.plan, s.committed = nil, nil, nil, nil, nil
	s.planExact, s.planError = false, nil
	s.changed(JobChanged | OpenedChanged | SelectionChanged | PlanChanged)
}

// Resize makes the art as wide or as high as said, in millimetres; the other is
// 0. Several pictures keep their places to each other.
func (s *Session) Resize(widthMM, heightMM float64) {
	s.scale("ui-step-size", func(ctx context.Context, j job.Job) (job.Job, error) {
		return workshop.Size(ctx, j, widthMM, heightMM)
	})
}

// scale makes scaling a step. The art's exact extent takes its time.
func (s *Session) scale(label string, by func(context.Context, job.Job) (job.Job, error)) {
	if len(s.Job().Items) > 0 {
		s.Later("ui-task-size", label, Outcome(by), func(err error) {
			if err == nil {
				s.AcceptSize()
			}
		})
	}
}

// Outcome is the work that ends with the job itself.
func Outcome(by func(context.Context, job.Job) (job.Job, error)) Work {
	return func(ctx context.Context, j job.Job) (Edit, error) {
		out, err := by(ctx, j)
		return func(job.Job) (job.Job, error) { return out, nil }, err
	}
}

// ExportFolder returns where the files go unless the user says otherwise: a new
// folder beside the art, or in the home folder for art that is no file. It is called after the blank, too: a mug, a
// coaster and a bag with one picture have files of their own, each of its size.
func (s *Session) ExportFolder(home string) string {
	suffix := " " + words.Say("ui-export-folder-suffix")
	if b := s.Job().Settings.BlankShape; b != nil && strings.TrimSpace(b.Name) != "" {
		suffix += ", " + system.FileName(b.Name, "")
	}
	return s.beside(home, "art", suffix)
}

// LessonFolder returns where a lesson that is taken home goes unless the user says
// otherwise.
func (s *Session) LessonFolder(home string) string {
	return s.beside(home, "art", " "+words.Say("class-handout-folder"))
}

// Foretell works out in the background what Export would write, and hands it over on
// the session's goroutine. Nobody waits for it. The returned function gives it up.
func (s *Session) Foretell(o workshop.WriteOptions, longerPx int, ready func(workshop.Forecast, error)) (stop func()) {
	if s.history == nil {
		return func() {}
	}
	j, cache := s.Job(), s.fitter.cache.Fork()
	offcuts := s.withOffcuts(&o)
	return Each(s, []workshop.WriteOptions{o}, func(ctx context.Context, o workshop.WriteOptions) (workshop.Forecast, error) {
		if offcuts != nil {
			return workshop.Forecast{}, offcuts
		}
		return workshop.Foretell(ctx, cache, j, o, longerPx)
	}, func(_ workshop.WriteOptions, f workshop.Forecast, err error) { ready(f, err) })
}

// Export writes the job's files into a folder in the background, once all that
// was asked for is done. done gets the outcome on the session's goroutine. The
// returned function gives it up: nothing is written then, and done is told so.
func (s *Session) Export(dir string, o workshop.WriteOptions, done func(*workshop.Manifest, error)) (stop func()) {
	if s.history == nil {
		return func() {}
	}
	var t *Task
	stopped := false
	s.Finish(func() {
		if stopped {
			done(nil, context.Canceled)
			return
		}
		t = s.export(dir, o, done)
	})
	return func() {
		stopped = true
		if t != nil {
			t.Stop()
		}
	}
}

func (s *Session) export(dir string, o workshop.WriteOptions, done func(*workshop.Manifest, error)) *Task {
	j, plan, cache, at := s.Job(), s.plan, s.fitter.cache, s.At()
	if !s.planExact {
		plan = nil
	}
	offcuts := s.withOffcuts(&o)
	return finish(s, message.Message{ID: "ui-task-export"}, func(ctx context.Context) (written, error) {
		if offcuts != nil {
			return written{}, offcuts
		}
		if plan == nil && j.Settings.List == nil {
			var err error
			if plan, err = cache.Compute(ctx, j); err != nil {
				return written{}, err
			}
		}
		if j.Settings.List != nil {
			return writeRows(ctx, j, dir, o)
		}
		// The window's own cache is for the job as it stands.
		r, err := workshop.Write(ctx, cache.Fork(), j, plan, dir, o)
		if err != nil {
			return written{}, err
		}
		return written{r.Manifest, workshop.Stale(dir, nil)}, nil
	}, func(w written, err error) {
		s.stale = w.stale
		if err == nil && at.document == s.document {
			s.exported, s.exportedTo = at.version, dir
			s.changed(SavedChanged)
		}
		done(w.manifest, err)
	})
}
