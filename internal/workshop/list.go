package workshop

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"abut/geometry/parallel"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/whole"
	"abut/internal/words"
)

// Row is what came of a row of a list.
type Row struct {
	// Number counts from 1.
	Number int
	Name   string
	// Out: the list says that it is left out.
	Out bool
	// Folder is where its files are, those of all for the first where all are laid out together;
	// empty where none were written.
	Folder string
	// Err says why the row cannot be cut, nil where it can.
	Err error
	// Manifest is that of the row or, where all are laid out together, of all; nil when
	// nothing was written.
	Manifest *Manifest
	// Laid is where all lie where they are laid out and nothing is written.
	Laid *ManifestLayout
	// Told is the row's own part of it.
	Told ManifestRow
	// StackedMM2 is where its colours stack.
	StackedMM2 float64
}

// CutList cuts a copy of a picture for each row of a list: what is marked in it says
// what the row has (see package fillin). Each row gets a folder of its own within that
// of the options or, with a layout, all are laid out together in that. Where a row
// cannot be cut nothing is written, unless skip says to go on without such rows; the
// rows say why. Without a folder nothing is written, and the rows tell. Where writing fails, folders that it made are taken away again.
func CutList(ctx context.Context, source Source, list drawer.List, skip bool, o Options) ([]Row, error) {
	o.saved = source.Saved != nil
	c, err := parallel.Aside(ctx, func() (listing, error) {
		n := len(list.Rows)
		c := listing{Options: o, list: list, rows: make([]Row, n), made: make([]made, n), copies: make([]copyOf, n)}
		return c, c.make(ctx, source, skip)
	})
	if err == nil {
		err = c.write(ctx)
	}
	return c.rows, err
}

// listing is a list that is being cut.
type listing struct {
	Options
	list   drawer.List
	rows   []Row
	made   []made   // by row or, laid out together, of all in the first
	copies []copyOf // by row, where they are laid out together
}

// make makes the files of all rows in memory.
func (c *listing) make(ctx context.Context, source Source, skip bool) error {
	j, err := follow(ctx, job.Job{}, source.open(c.Tracing), c.choose, c.size, c.setUp)
	if err != nil {
		return err
	}
	c.Layout = c.Layout.of(j)
	c.Layout.Copies = 1 // the list says how many
	for i := range c.rows {
		c.rows[i].Number, c.rows[i].Name, c.rows[i].Out = i+1, nameOfRow(c.list, i), c.list.Rows[i].Out
		if c.Folder == "" {
			continue
		}
		if err := folder(c.folder(i), c.WriteOptions).Check(); err != nil {
			return err
		}
	}
	j.Settings.Layout, j.Settings.Laid, j.Settings.List = job.Layout{}, job.Laid{}, nil // all of that is said by now
	if err := parallel.Do(ctx, len(c.rows), func(i int) {
		if !c.rows[i].Out {
			c.rows[i].Err = c.makeRow(ctx, j, i)
		}
	}); err != nil {
		return err
	}
	good, err := c.sorted(skip)
	switch {
	case err != nil:
		return err
	case c.Folder == "":
		return c.look(ctx, good)
	case !c.Layout.on():
		return nil
	}
	return c.makeTogether(ctx, good)
}

// sorted returns the rows that can be cut where they are told or laid out together, or
// what stands in the way of all.
func (c *listing) sorted(skip bool) (good []copyOf, err error) {
	wrong, count, asked := map[string]bool{}, 0, 0 // what they say
	for i, r := range c.rows {
		if !r.Out {
			asked++
		}
		switch {
		case r.Out:
		case fit.IsCancelled(r.Err):
			return nil, r.Err
		case r.Err != nil:
			count++
			wrong[MessageOf(r.Err).ID] = true
		case c.Layout.on() || c.Folder == "":
			good = append(good, c.copies[i])
		}
	}
	switch {
	case count == asked && len(wrong) == 1:
		for _, r := range c.rows {
			err = cmp.Or(err, r.Err)
		}
		return nil, err // the same in every row: it is the design's
	case c.Folder != "" && (count == asked || count > 0 && !skip):
		return nil, fail("list-rows-wrong", nil, "count", words.Count(count))
	}
	return good, nil
}

// makeTogether makes the files of rows that are laid out together.
func (c *listing) makeTogether(ctx context.Context, good []copyOf) error {
	w, err := c.withOffcuts()
	if err != nil {
		return err
	}
	w.rows = good
	c.made[0], err = makeFiles(ctx, new(fit.Cache), good[0].job, good[0].planned, c.Folder, w)
	if err != nil {
		return err
	}
	told := c.made[0].Manifest
	for i, k := 0, 0; i < len(c.rows); i++ {
		if r := &c.rows[i]; r.Err == nil && !r.Out {
			r.Manifest, r.Told = told, told.Rows[k]
			k++
		}
	}
	return nil
}

// look tells of the rows that can be cut, and where they would lie.
func (c *listing) look(ctx context.Context, good []copyOf) error {
	var laid *ManifestLayout
	if c.Layout.on() && len(good) > 0 {
		all := make([]design, len(good))
		for i := range good {
			all[i] = good[i].design
		}
		var err error
		if laid, err = c.lookLaid(ctx, all); err != nil {
			return err
		}
	}
	w := words.Chosen()
	for i, k := 0, 0; i < len(c.rows); i++ {
		if r := &c.rows[i]; r.Err == nil && !r.Out {
			good[k].tell(w, false, nil, nil)
			r.Told, r.Laid, r.StackedMM2 = good[k].row, laid, good[k].cut.Stacked.AreaMM2
			k++
		}
	}
	return nil
}

// makeRow makes one row: its files or, where all are laid out together, what is cut.
func (c *listing) makeRow(ctx context.Context, j job.Job, i int) error {
	j, x, err := fillRow(ctx, j, c.list, i)
	if err != nil {
		return err
	}
	var cache fit.Cache
	j, p, _, err := c.plan(ctx, &cache, j)
	if err != nil {
		return err
	}
	if !c.Layout.on() && c.Folder != "" {
		w := c.WriteOptions
		w.rows = []copyOf{x}
		c.made[i], err = makeFiles(ctx, &cache, j, p, c.folder(i), w)
		if err != nil {
			return err
		}
		m := c.made[i].Manifest
		c.made[i].Result = Result{} // a hundred plans would fill the memory
		c.rows[i].Manifest, c.rows[i].Told = m, m.Rows[0]
		return nil
	}
	if c.Folder != "" {
		if err := refuse(j, p, c.Folder, c.WriteOptions); err != nil {
			return err
		}
	}
	x.planned = p
	var thin []job.Warning
	if x.design, err = designOf(ctx, &cache, j); err == nil {
		x.design.row = i + 1
		if x.spots, thin, err = FindWeak(ctx, &cache, p, j); err == nil {
			x.things, err = fit.WeakThings(ctx, j, x.spots)
		}
	}
	x.told = append(Warnings(j, x.cut), append(thin, secondOpinion(ctx, p)...)...)
	c.copies[i] = x
	return err
}

// folder is where the files of a row go: that of the options where all are laid out
// together, else one within it that is called by its number and name, of letters and
// digits alone, which every file system takes.
func (c *listing) folder(i int) string {
	if c.Layout.on() {
		return c.Folder
	}
	const most = 40 // letters: with what is around it far below what paths may have
	name := []rune(strings.Join(strings.FieldsFunc(strings.ToLower(c.rows[i].Name), func(r rune) bool {
		return !unicode.In(r, unicode.L, unicode.M, unicode.Nd)
	}), "-"))
	digits := max(2, len(fmt.Sprint(len(c.rows))))
	return filepath.Join(c.Folder, strings.TrimRight(fmt.Sprintf("%0*d-%s", digits, i+1, string(name[:min(most, len(name))])), "-"))
}

// write puts all files into their folders.
func (c *listing) write(ctx context.Context) error {
	var undo []func()
	for i, m := range c.made {
		dir := c.folder(i)
		if len(m.files) == 0 {
			continue
		}
		_, err := os.Stat(dir)
		fresh, unmake := os.IsNotExist(err), whole.Unmake(filepath.Dir(dir))
		if err := folder(dir, c.WriteOptions).Write(ctx, m.files); err != nil {
			for k := len(undo) - 1; k >= 0; k-- {
				undo[k]()
			}
			return err
		}
		c.rows[i].Folder = dir
		if fresh {
			undo = append(undo, func() { _ = os.RemoveAll(dir); unmake() })
		}
	}
	return nil
}
