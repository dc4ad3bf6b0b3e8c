package workshop

import (
	"cmp"
	"context"
	"errors"
	"io"
	"slices"

	"abut/geometry/parallel"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/guide"
	"abut/internal/job"
	"abut/internal/layout"
	"abut/internal/message"
	"abut/internal/whole"
	"abut/internal/words"
)

// WriteOptions are what a user may insist on. The zero value is the safe one.
type WriteOptions struct {
	// Overwrite lets Write put its files into a folder that is there already.
	// Files of an earlier Write are replaced; all others are left alone.
	Overwrite bool
	// AllowStacked writes although colours lie over each other; manifest and
	// guide say so.
	AllowStacked bool
	// AllowBeyond writes although the art with its frame is larger than blank,
	// sheet or cutter; manifest and guide say so.
	AllowBeyond bool
	// Formats are those to write; none: SVG alone.
	Formats []Format
	// OvercutMM and WeedingLines are as in cutfile.Care.
	OvercutMM    float64
	WeedingLines bool
	// Layout says how copies or loose pieces are laid out on sheets, if at all: what it
	// leaves open the job may say.
	Layout LayoutOptions

	// rows are those of a list that this is cut for: one or, where they are laid out
	// together, all of them. The first is the job that is written.
	rows []copyOf
}

// Result is what came of a job.
type Result struct {
	// Job holds all that was decided.
	Job job.Job
	// Drawn is the plan of the art as drawn, before anything was knocked out;
	// Cut alone makes it, and only where it writes nothing.
	Drawn *fit.Plan
	// Plan is what is cut: when it was written, with its curves and the clearance
	// taken.
	Plan *fit.Plan
	// Merged are the colours that are not cut from a sheet of their own.
	Merged []Merged
	// Spots are weak, or were before they were mended.
	Spots []ManifestWeakSpot
	// Things are what the spots that are not mended belong to.
	Things []ManifestWeakThing
	// Smallest is the size from which nothing is too thin. Cut alone looks for it, and
	// only where it writes nothing.
	Smallest Smallest
	// Warnings are what to know about art and plan.
	Warnings []ManifestWarning
	// Verdict is the one sentence on where the job stands.
	Verdict string
	// Laid is what lies on which sheet where nothing is written, nil where nothing is
	// laid out.
	Laid *ManifestLayout
	// Manifest describes what was written, nil when nothing was.
	Manifest *Manifest
}

// Write writes the plan of job j into the folder dir: the files of each format,
// mirrored where they are cut from, steps.html, the assembly guide and the press card
// as PDF on each paper, and job.json. Cut files follow the art's own
// curves, whether or not p does. All of it is written or nothing: a run that
// fails or is stopped leaves everything as it was. Folders above dir are made as
// needed. A cache that has met the job saves fitting it once more.
func Write(ctx context.Context, cache *fit.Cache, j job.Job, p *fit.Plan, dir string, o WriteOptions) (Result, error) {
	return carryOut(ctx, dir, o, func() (made, error) { return makeFiles(ctx, cache, j, p, dir, o) })
}

// made is all that comes of a job, in memory.
type made struct {
	Result
	files []whole.File
}

// carryOut makes files and puts them into a folder. The making is left at once when
// the context ends, however seldom it looks; what is being written is undone.
func carryOut(ctx context.Context, dir string, o WriteOptions, work func() (made, error)) (Result, error) {
	m, err := parallel.Aside(ctx, work)
	if err == nil && len(m.files) > 0 {
		err = folder(dir, o).Write(ctx, m.files)
	}
	return m.Result, err
}

func folder(dir string, o WriteOptions) whole.Folder {
	return whole.Folder{Path: dir, Overwrite: o.Overwrite, Earlier: writtenEarlier, Writes: writes}
}

// makeFiles makes everything in memory, where it fails without a trace. Widths
// are measured among the chords of plan p, before the clearance is taken.
func makeFiles(ctx context.Context, cache *fit.Cache, j job.Job, p *fit.Plan, dir string, o WriteOptions) (made, error) {
	o.Layout = o.Layout.of(j)
	if err := refuse(j, p, dir, o); err != nil { // before the long work
		return made{}, err
	}
	var d drawn
	var thin, opinion []job.Warning
	var spots []fit.WeakSpot
	var things []fit.WeakThing
	var stacked float64
	// What is told about the job is none of what is cut, so neither waits for the other.
	err := together(ctx,
		func(ctx context.Context) (err error) {
			if d, err = draw(ctx, cache, j, o); err == nil {
				stacked, err = stackedAsDrawn(ctx, cache, j, p)
			}
			return err
		},
		func(ctx context.Context) (err error) {
			if spots, thin, err = FindWeak(ctx, cache, p, j); err == nil {
				things, err = fit.WeakThings(ctx, j, spots)
			}
			return err
		},
		func(ctx context.Context) error { opinion = secondOpinion(ctx, p); return nil },
	)
	if err != nil {
		return made{}, err
	}
	warnings := slices.Concat(Warnings(j, d.cut), thin, opinion)
	w := words.Chosen().In(j.Settings.Units)
	m := describe(j, d.cut, d.page, d.listed)
	m.Layout = d.layout
	if d.sheets != nil {
		m.describeOthers(w, d.sheets, o.rows)
	}
	m.OvercutMM, m.WeedingLines = o.OvercutMM, o.WeedingLines
	m.StackedBeforeMM2, m.WeakSpots, m.WeakThings = rounded(stacked), describeSpots(p, spots), describeThings(w, things)
	verdict := Verdict(d.cut, spots, things, thin).Message
	m.Warnings, m.Verdict, m.VerdictSays = describeWarnings(w, j, warnings), w.Message(verdict), says(verdict)
	var copies []guide.Copy
	for i := range o.rows {
		r := &o.rows[i]
		r.tell(w, i == 0, spots, m)
		m.Rows = append(m.Rows, r.row)
		c := guide.Copy{Number: r.row.Row, Name: r.row.called(), Plan: r.cut, Page: r.page}
		if i == 0 {
			c.Plan, c.Page = d.cut, d.page
		}
		copies = append(copies, c)
	}
	g := &guide.Guide{Copies: copies, Layout: d.sheets, Words: w, Title: title(j), Plan: d.cut, Page: d.page, Blank: j.Settings.BlankShape, Warnings: warnings, FileOf: m.filesOf, LaidIn: m.laidIn}
	err = d.add(ctx, GuideFile, g.Write)
	if err == nil && d.sheets != nil {
		err = d.add(ctx, sheetsFile, func(b io.Writer) error { return g.WriteSheets(b, d.sheets) })
	}
	if err == nil && d.layout != nil {
		err = d.add(ctx, costsFile, writeCosts(d.layout.Costs))
	}
	for _, x := range printed {
		if err == nil {
			err = d.add(ctx, x.name, func(b io.Writer) error { return x.write(g, b, x.paper) })
		}
	}
	if err == nil {
		err = d.add(ctx, manifestFile, func(b io.Writer) error { return WriteJSON(b, m) })
	}
	return made{Result{Job: j, Plan: d.cut, Spots: m.WeakSpots, Warnings: m.Warnings, Verdict: m.Verdict, Manifest: m}, d.files}, err
}

// together does things side by side, the longest first. When one fails the others are
// stopped, and that is the error.
func together(ctx context.Context, do ...func(context.Context) error) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	if err := parallel.Do(ctx, len(do), func(i int) {
		if err := do[i](ctx); err != nil {
			stop(err)
		}
	}); err != nil {
		return context.Cause(ctx)
	}
	return nil
}

// drawn is what is cut, with its files and what job.json lists of them.
type drawn struct {
	design
	files  []whole.File
	listed []ManifestFile
	layout *ManifestLayout // nil where nothing is laid out
	sheets *layout.Layout
}

// care is what helps with cutting.
func (o WriteOptions) care() cutfile.Care {
	return cutfile.Care{OvercutMM: o.OvercutMM, Weeding: o.WeedingLines}
}

// write adds the files of a page in one format.
func (d *drawn) write(ctx context.Context, w writer, page *cutfile.Page, all string) error {
	files, listed, err := w.files(ctx, page, all)
	d.files, d.listed = append(d.files, files...), append(d.listed, listed...)
	return err
}

// designOf is what is cut of a job.
func designOf(ctx context.Context, cache *fit.Cache, j job.Job) (d design, err error) {
	curves, err := cache.ComputeCurves(ctx, j)
	if err != nil {
		return d, err
	}
	cut, err := fit.Cut(ctx, curves, j.Settings)
	if err != nil {
		return d, err
	}
	return newDesign(j, cut)
}

// draw draws the files to cut of a job.
func draw(ctx context.Context, cache *fit.Cache, j job.Job, o WriteOptions) (d drawn, err error) {
	if d.design, err = designOf(ctx, cache, j); err == nil {
		err = d.cutFiles(ctx, o)
	}
	return d, err
}

// cutFiles lays the design out, with those of other rows, and writes it in every format.
func (d *drawn) cutFiles(ctx context.Context, o WriteOptions) (err error) {
	var l *layout.Layout
	if len(o.rows) > 0 {
		d.row = o.rows[0].design.row
	}
	all := []design{d.design}
	if o.Layout.on() {
		for _, r := range o.rows[min(1, len(o.rows)):] {
			all = append(all, r.design)
		}
		if l, err = o.Layout.layOut(ctx, all); err != nil {
			return err
		}
	}
	if d.page, err = d.page.ForCutting(ctx, o.care()); err != nil {
		return err
	}
	if l != nil {
		return d.writeSheets(ctx, l, all, o)
	}
	for _, w := range writersOf(o.Formats) {
		if err := d.write(ctx, w, d.page, allSheets); err != nil {
			return err
		}
	}
	return nil
}

// forCutting are the pages of a layout's sheets as they are cut.
func (o WriteOptions) forCutting(ctx context.Context, l *layout.Layout) ([]*cutfile.Page, error) {
	pages, errs := make([]*cutfile.Page, len(l.Sheets)), make([]error, len(l.Sheets))
	err := parallel.Do(ctx, len(pages), func(i int) { pages[i], errs[i] = l.Sheets[i].Page.ForCutting(ctx, o.care()) })
	return pages, cmp.Or(err, errors.Join(errs...))
}

// writeSheets writes the files of every sheet of a layout of designs, and puts their names
// into what job.json tells of them.
func (d *drawn) writeSheets(ctx context.Context, l *layout.Layout, all []design, o WriteOptions) error {
	pages, err := o.forCutting(ctx, l)
	if err != nil {
		return err
	}
	m := o.Layout.describe(l, all, pages)
	for _, w := range writersOf(o.Formats) {
		if w.format == PNG {
			if err := d.write(ctx, w, d.page, allSheets); err != nil {
				return err
			}
			continue
		}
		for i, page := range pages {
			from := len(d.listed)
			if err := d.write(ctx, w, page, page.Separations[0].Stem()); err != nil {
				return err
			}
			for k := range d.listed[from:] {
				f := &d.listed[from+k]
				m.Sheets[i].Files = append(m.Sheets[i].Files, f.File)
				if f.Drawing = d.drawingOf(l.Sheets[i].Of, f.Drawing); l.Sheets[i].From > 0 {
					f.Drawing = 0 // of a sheet that the first has not
				}
			}
		}
	}
	d.layout, d.sheets = m, l
	return nil
}

// drawingOf returns which of all drawings, from 1, is the nth of a sheet; 0 for none.
func (d *drawn) drawingOf(sheet, n int) int {
	for i, x := range d.page.Drawings {
		if x.Sheet != sheet || n == 0 {
			continue
		}
		if n--; n == 0 {
			return i + 1
		}
	}
	return 0
}

func (d *drawn) add(ctx context.Context, name string, write func(io.Writer) error) error {
	f, err := spell(ctx, name, write)
	d.files = append(d.files, f)
	return err
}

// refuse says why the plan is not written as it is asked for.
func refuse(j job.Job, p *fit.Plan, dir string, o WriteOptions) error {
	switch {
	case p.Stacked.AreaMM2 > 0 && !o.AllowStacked:
		return fail(ErrStacked, nil, "count", words.Count(len(p.Stacked.Places)), "area", message.MM2(p.Stacked.AreaMM2), "where", Where(j, p))
	case len(p.Separations) == 0:
		return fail("nothing-to-cut", nil)
	case !cuts(writersOf(o.Formats)):
		return fail("format-cuts-nothing", nil)
	case len(p.Beyond) > 0 && !o.AllowBeyond:
		return fail("refused-beyond", nil, "what", BeyondText(j, p), "remedy", words.Chosen().In(j.Settings.Units).Remedy(p.Beyond[0].Message))
	}
	return folder(dir, o).Check()
}

// stackedAsDrawn is the area where colours stack when nothing is knocked out; p
// is the job's plan.
func stackedAsDrawn(ctx context.Context, c *fit.Cache, j job.Job, p *fit.Plan) (float64, error) {
	knocks := func(l job.Layer) bool { return l.Knocks }
	if !slices.ContainsFunc(j.Items, func(it job.Item) bool { return slices.ContainsFunc(it.Layers, knocks) }) {
		return p.Stacked.AreaMM2, nil
	}
	j, err := job.ClearMends(j) // the art as drawn
	if err == nil {
		j, err = job.SetKnocks(j, j.LayerIDs(), false)
	}
	if err != nil {
		return 0, err
	}
	return c.StackedMM2(ctx, j)
}

// title names the job's pictures.
func title(j job.Job) string {
	var names []string
	for _, it := range j.Items {
		names = append(names, it.Name)
	}
	return words.List(names)
}
