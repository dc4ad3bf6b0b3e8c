package workshop

import (
	"context"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
)

// Source is a picture: the file at Path or, with Art, what that reads; Path then
// only says where it is from. Name is what the picture is called, empty for the
// name of its file. With Saved it is a job as it was saved: what the options do not
// ask for stays as it is there, and what it knocks out is decided already.
type Source struct {
	Path  string
	Art   io.Reader
	Name  string
	Saved *job.Job
}

// Options say what is to become of a picture. With the zero value it is looked
// at: at the size that its file states, everything knocked out, white bare, with
// a frame if it needs one, and nothing is written.
type Options struct {
	// WidthMM or HeightMM is the extent of the art; with neither it is as the
	// file states it. UnsizedMM is the width of art whose file states none: when
	// it is 0, such art is not written.
	WidthMM, HeightMM float64
	UnsizedMM         float64

	// Tracing says how a picture of pixels becomes a drawing.
	Tracing job.Tracing
	// LeaveOut names layers that are not cut; Background stands for the one that
	// fills the page behind the art.
	LeaveOut []string
	// Bands is how many flat colours a gradient becomes, 1 being its mean colour.
	// With 0 those that are flat stripes keep them, and others become their mean.
	Bands int
	// IgnoreClips: clips that the standard knows none of hide nothing.
	IgnoreClips bool
	// Solid: see-through shapes keep their own colour and do not mix.
	Solid bool

	// What stays bare, whether there is a frame, what all is laid on (nil: the
	// sheet that reaches furthest), and marks to line film up.
	Bare  job.BareRule
	Frame job.FrameRule
	Base  *colour.RGB
	Marks bool
	// What it has to fit: lengths of 0 stand for the defaults.
	Blank                       *job.Blank
	CutterMM                    float64
	SheetWidthMM, SheetHeightMM float64

	// AsDrawn: nothing is knocked out.
	AsDrawn bool
	// Colours is how many sheets there may be, 0 for any number; Drawer is a CSV
	// file of the sheets to cut from.
	Colours int
	Drawer  string
	// NarrowestMM is the narrowest width that is no weak spot, 0 for the default;
	// Mend mends those that are; Pen has a pen draw what is too fine to cut even so, as
	// far as fit.CheckPens lets it.
	NarrowestMM float64
	Mend, Pen   bool
	// ClearanceMM is the gap between neighbours.
	ClearanceMM float64

	// Doing, where it is set, is told what is being done and how much of that, 0 where it is not
	// known; from any goroutine.
	Doing func(what message.Message, share float64)

	// Folder is where the files go; empty: none are written. TestStrip has a test strip
	// written beside it.
	Folder    string
	TestStrip bool
	WriteOptions

	saved bool // the source is a saved job
}

// Background names the layer that fills the whole page behind the art, where
// layers are named.
const Background = "background"

// Cut does the whole job on a picture: it is opened, chosen about, sized and set
// up for what it has to fit; shapes are knocked out, colours merged, weak spots
// mended; all files are written, or none. Without a folder to write to, the
// result says what stacks as drawn and what is weak once all is knocked out.
// What an error says to people is its MessageOf; of a picture that was read the
// warnings are given with it.
func Cut(ctx context.Context, source Source, o Options) (Result, error) {
	o.saved = source.Saved != nil
	if o.TestStrip && o.Folder != "" {
		// Before the long work, and before anything is written.
		if err := folder(StripFolder(o.Folder), o.WriteOptions).Check(); err != nil {
			return Result{}, err
		}
	}
	r, err := o.cut(ctx, source)
	if err == nil && o.TestStrip && o.Folder != "" {
		err = writeStrip(ctx, r.Job, r.Plan, o.Folder, o.WriteOptions)
	}
	return r, err
}

func (o Options) cut(ctx context.Context, source Source) (Result, error) {
	return carryOut(ctx, o.Folder, o.WriteOptions, func() (made, error) {
		o.doing("doing-read", "file", filepath.Base(source.Path))
		drawn, err := follow(ctx, job.Job{}, source.open(o.Tracing), o.choose, o.size)
		if err != nil {
			return made{}, err
		}
		o.doing("doing-fit")
		j, err := o.setUp(ctx, drawn)
		if err != nil {
			return made{}, err
		}
		return o.finish(ctx, drawn, j)
	})
}

// finish does what is left to do once the art is drawn and set up, and makes the
// files in memory.
func (o Options) finish(ctx context.Context, drawn, j job.Job) (made, error) {
	var cache fit.Cache
	o.Layout = o.Layout.of(j)
	j, p, merged, err := o.plan(ctx, &cache, j)
	if err != nil {
		return made{}, err
	}
	var m made
	if o.Folder == "" {
		o.doing("doing-look")
		if m.Result, err = look(ctx, &cache, drawn, j, p); err == nil && o.Layout.on() {
			var d design
			if d, err = designOf(ctx, &cache, j); err == nil {
				m.Laid, err = o.lookLaid(ctx, []design{d})
			}
		}
	} else {
		var w WriteOptions
		o.doing("doing-write")
		if w, err = o.withOffcuts(); err == nil {
			m, err = makeFiles(ctx, &cache, j, p, o.Folder, w)
		}
	}
	if err != nil { // what was left out may be why
		m.Warnings = describeWarnings(words.Chosen().In(j.Settings.Units), j, Warnings(j, p))
	}
	m.Merged = merged
	return m, err
}

// plan does what is left to do to a job, and fits it.
func (o Options) plan(ctx context.Context, cache *fit.Cache, j job.Job) (_ job.Job, p *fit.Plan, merged []Merged, err error) {
	if j, err = follow(ctx, j, o.knockOut, o.merge(cache, &merged), o.mend(cache), o.draw(cache), o.clear); err == nil {
		p, err = cache.Compute(ctx, j)
	}
	if err == nil {
		err = baseIsCut(p, j.Settings)
	}
	return j, p, merged, err
}

// step is one thing that is done to a job.
type step func(context.Context, job.Job) (job.Job, error)

// follow takes one step after the other.
func follow(ctx context.Context, j job.Job, steps ...step) (job.Job, error) {
	for _, do := range steps {
		var err error
		if j, err = do(ctx, j); err != nil {
			return j, err
		}
	}
	return j, nil
}

// reader reads the picture.
func (s Source) reader(ctx context.Context) (io.ReadCloser, error) {
	if s.Art != nil {
		return io.NopCloser(s.Art), nil
	}
	return openFile(ctx, s.Path)
}

// open is the step that opens it.
func (s Source) open(how job.Tracing) step {
	return func(ctx context.Context, _ job.Job) (j job.Job, err error) {
		if s.Saved != nil {
			return *s.Saved, nil
		}
		if s.Art == nil {
			j, err = openTraced(ctx, s.Path, how)
		} else {
			j, err = OpenPicture(ctx, s.Path, s.Art, how)
		}
		if err == nil && s.Name != "" {
			j.Items[0].Name = s.Name
		}
		return j, err
	}
}

// choose decides about the art itself: which layers are left out, and about
// colours that are no flat ones.
func (o Options) choose(ctx context.Context, j job.Job) (job.Job, error) {
	for _, name := range o.LeaveOut {
		ids, err := called(ctx, j, strings.TrimSpace(name))
		if err == nil {
			j, err = job.SetUse(j, ids, job.LeftOut)
		}
		if err != nil {
			return j, err
		}
	}
	var err error
	if o.Bands > 0 {
		if j, err = job.SetBands(j, j.LayerIDs(), o.Bands); err != nil {
			return j, err
		}
	}
	if o.IgnoreClips || !o.saved {
		if j, err = job.IgnoreClips(j, j.LayerIDs(), o.IgnoreClips); err != nil {
			return j, err
		}
	}
	if o.saved && !o.Solid {
		return j, nil
	}
	return job.SetSolid(j, j.LayerIDs(), o.Solid)
}

// maxNamed is how many layers a sentence names that says which there are.
const maxNamed = 30

// called returns the layers of this name, or Background.
func called(ctx context.Context, j job.Job, name string) ([]job.LayerID, error) {
	var ids []job.LayerID
	var have []string
	for _, it := range j.Items {
		for _, l := range it.Layers {
			if strings.EqualFold(l.Name, name) {
				ids = append(ids, l.ID)
			}
			have = append(have, l.Name)
		}
	}
	if len(ids) == 0 && strings.EqualFold(name, Background) {
		p, err := fit.Compute(ctx, j)
		if err == nil && p.Background == 0 {
			err = fail("no-background", nil)
		}
		if err != nil {
			return nil, err
		}
		return []job.LayerID{p.Background}, nil
	}
	if len(ids) == 0 {
		return nil, fail("no-layer-called", nil, "name", name, "layers", words.List(have[:min(len(have), maxNamed)]))
	}
	return ids, nil
}

// size makes the art as large as it is to be.
func (o Options) size(ctx context.Context, j job.Job) (job.Job, error) {
	switch {
	case o.WidthMM != 0 || o.HeightMM != 0:
		return Size(ctx, j, o.WidthMM, o.HeightMM)
	case o.saved || Sized(j):
		return j, nil
	case o.UnsizedMM != 0:
		return Size(ctx, j, o.UnsizedMM, 0)
	case o.Folder == "":
		return j, nil // as large as any
	}
	return j, fail("no-size", nil, "file", j.Items[0].Source)
}

// setUp says what stays bare, what the art has to fit, and how frame and base
// make use of it. A blank comes to lie under the middle of the art.
func (o Options) setUp(ctx context.Context, j job.Job) (job.Job, error) {
	s := &j.Settings
	if o.Bare.Mode != job.BareAuto || !o.saved {
		s.Bare = o.Bare
	}
	if o.Frame != (job.FrameRule{}) || !o.saved {
		s.Frame = o.Frame
	}
	if o.Base != nil || !o.saved {
		s.Base = o.Base
	}
	s.Marks = s.Marks && o.saved || o.Marks
	var err error
	if o.CutterMM != 0 {
		j, err = job.SetCutter(j, o.CutterMM)
	}
	if err == nil && (o.SheetWidthMM != 0 || o.SheetHeightMM != 0) {
		j, err = job.SetSheetSize(j, o.SheetWidthMM, o.SheetHeightMM)
	}
	if err != nil || o.Blank == nil {
		return j, err
	}
	return OnBlank(ctx, j, *o.Blank)
}

func (o Options) knockOut(_ context.Context, j job.Job) (job.Job, error) {
	if o.AsDrawn || o.saved {
		return j, nil
	}
	return job.KnockOutAll(j)
}

// merge sends colours to fewer sheets, or to those of a drawer, and says which.
func (o Options) merge(cache *fit.Cache, merged *[]Merged) step {
	return func(ctx context.Context, j job.Job) (_ job.Job, err error) {
		var sheets []drawer.Sheet
		switch {
		case o.Drawer != "":
			sheets, err = drawer.Open(o.Drawer)
			if err == nil && len(sheets) == 0 {
				err = fail("drawer-empty", nil)
			}
		case o.Colours == 0:
			return j, nil
		}
		if err == nil {
			j, *merged, err = mergeColours(ctx, cache, j, o.Colours, sheets)
		}
		return j, err
	}
}

// lookLaid lays designs out and tells of it.
func (o Options) lookLaid(ctx context.Context, all []design) (*ManifestLayout, error) {
	w, err := o.withOffcuts()
	if err != nil {
		return nil, err
	}
	l, err := w.Layout.layOut(ctx, all)
	if err != nil {
		return nil, err
	}
	pages, err := w.forCutting(ctx, l)
	if err != nil {
		return nil, err
	}
	return w.Layout.describe(l, all, pages), nil
}

// withOffcuts are the options for writing, with what is left of the sheets of the
// drawer to lay out on.
func (o Options) withOffcuts() (WriteOptions, error) {
	w := o.WriteOptions
	var err error
	if w.Layout.on() && o.Drawer != "" {
		w.Layout.Drawer, err = drawer.Open(o.Drawer)
	}
	return w, err
}

func (o Options) mend(cache *fit.Cache) step {
	return func(ctx context.Context, j job.Job) (_ job.Job, err error) {
		if o.NarrowestMM != 0 {
			j, err = job.SetNarrowest(j, o.NarrowestMM, j.Settings.SpeckMM)
		}
		if err == nil && o.Mend {
			j, err = o.mendAll(ctx, cache, j)
		}
		return j, err
	}
}

// mendAll mends all weak spots, and tells how far that has come.
func (o Options) mendAll(ctx context.Context, cache *fit.Cache, j job.Job) (job.Job, error) {
	if o.Doing == nil {
		return cache.MendAll(ctx, j, nil)
	}
	mend := message.Message{ID: "ui-task-mend"}
	o.Doing(mend, 0)
	return cache.MendAll(ctx, j, func(share float64, _ job.Job) { o.Doing(mend, share) })
}

// doing tells what is being done.
func (o Options) doing(id string, args ...string) {
	if o.Doing != nil {
		o.Doing(message.Of(id, args...), 0)
	}
}

// draw has a pen draw the layers of what is too fine to cut. What was mended beside them
// is mended anew, for these lie there no more.
func (o Options) draw(cache *fit.Cache) step {
	return func(ctx context.Context, j job.Job) (job.Job, error) {
		if !o.Pen {
			return j, nil
		}
		p, err := cache.Compute(ctx, j)
		if err != nil {
			return j, err
		}
		spots, _, err := FindWeak(ctx, cache, p, j)
		if err != nil {
			return j, err
		}
		things, err := fit.WeakThings(ctx, j, slices.DeleteFunc(spots, func(s fit.WeakSpot) bool { return s.Accepted() }))
		if err == nil {
			err = fit.CheckPens(ctx, j, things)
		}
		layers := fit.PenLayers(things)
		if err != nil || len(layers) == 0 {
			return j, err
		}
		if j, err = job.DrawWithPen(j, layers); err == nil && o.Mend {
			j, err = o.mendAll(ctx, cache, j)
		}
		return j, err
	}
}

func (o Options) clear(_ context.Context, j job.Job) (job.Job, error) {
	if o.saved && o.ClearanceMM == 0 {
		return j, nil
	}
	return job.SetClearance(j, o.ClearanceMM)
}

// baseIsCut reports an error unless something is cut from the colour that base
// or frame are to be on.
func baseIsCut(p *fit.Plan, s job.Settings) error {
	c := s.BaseColour()
	if c == nil || p.BaseReason.ID == "base-chosen" {
		return nil
	}
	var have []string
	for _, s := range p.Separations {
		if s.Colour == *c {
			return nil
		}
		have = append(have, words.Chosen().Put(s.Called())+" "+s.Colour.String())
	}
	if s.Frame.Mode == job.FrameOn {
		return fail("frame-colour-unknown", nil, "colour", c.String(), "colours", words.List(have))
	}
	return fail("base-colour-unknown", nil, "colour", c.String(), "colours", words.List(have))
}

// look says what stacks in the art as drawn, and what is weak in the plan p of
// the job j that it became.
func look(ctx context.Context, cache *fit.Cache, drawn, j job.Job, p *fit.Plan) (Result, error) {
	before, err := cache.Compute(ctx, drawn)
	if err != nil {
		return Result{}, err
	}
	spots, weak, err := FindWeak(ctx, cache, p, j)
	if err != nil {
		return Result{}, err
	}
	things, err := fit.WeakThings(ctx, j, spots)
	if err != nil {
		return Result{}, err
	}
	smallest, err := FindSmallest(ctx, p, j)
	w := words.Chosen()
	return Result{
		Job: j, Drawn: before, Plan: p, Spots: describeSpots(p, spots), Verdict: w.Message(Verdict(before, spots, things, weak).Message),
		Warnings: describeWarnings(w, drawn, append(Warnings(drawn, before), weak...)),
		Things:   describeThings(w, things), Smallest: smallest,
	}, err
}
