package workshop

import (
	"context"
	"fmt"
	"image"
	"slices"
	"strings"

	"abut/internal/cutfile"
	"abut/internal/cutfile/png"
	"abut/internal/drawer"
	"abut/internal/fillin"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/layout"
	"abut/internal/words"
)

// copyOf is a row with what is cut for it.
type copyOf struct {
	design
	planned *fit.Plan
	row     ManifestRow
	notes   []job.Warning // of the letters
	told    []job.Warning // all
	spots   []fit.WeakSpot
	things  []fit.WeakThing
}

// tell says in the manifest what came of a row; of the first that is told already.
func (c *copyOf) tell(w *words.Words, first bool, spots []fit.WeakSpot, m *Manifest) {
	notes := describeWarnings(w, job.Job{}, c.notes)
	if first {
		m.Warnings = append(m.Warnings, notes...)
		c.row.WeakSpots, c.row.Warnings, c.row.Verdict = len(spots), m.Warnings, m.Verdict
		return
	}
	c.row.WeakSpots = len(c.spots)
	c.row.Warnings = append(describeWarnings(w, c.job, c.told), notes...)
	c.row.Verdict = w.Message(Verdict(c.cut, c.spots, c.things, c.told).Message)
}

// called is a row's number and name.
func (r ManifestRow) called() string { return strings.TrimSpace(fmt.Sprintf("%d %s", r.Row, r.Name)) }

// describeOthers adds the separations of a layout that the first design has not.
func (m *Manifest) describeOthers(w *words.Words, l *layout.Layout, rows []copyOf) {
	for i := range l.Sheets {
		s := &l.Sheets[i]
		if order := s.Page.Separations[0].Order; order > len(m.Separations) {
			d := rows[s.From].design
			m.describeSeparation(w, order, &d.page.Separations[s.Of], d.cut.Separations[s.Of].CarryReason)
		}
	}
}

// ListFrom is a list as a job keeps it; file is the name that it was read from.
func ListFrom(l drawer.List, file string) *job.List {
	out := &job.List{File: file, Columns: l.Columns}
	for _, r := range l.Rows {
		out.Rows = append(out.Rows, job.ListRow{Line: r.Line, Cells: r.Cells})
	}
	return out
}

// ListOf is the list of a job as it is filled in.
func ListOf(l *job.List) drawer.List {
	out := drawer.List{Columns: l.Columns}
	for _, r := range l.Rows {
		out.Rows = append(out.Rows, drawer.ListRow{Line: r.Line, Cells: slices.Clone(r.Cells), Out: r.Out})
	}
	return out
}

// Asked are the columns that a design asks a list for, each once in any case of letters.
func Asked(j job.Job) (columns []string) {
	for _, m := range fillin.Marks(j) {
		if !slices.ContainsFunc(columns, func(c string) bool { return strings.EqualFold(c, m) }) {
			columns = append(columns, m)
		}
	}
	return columns
}

// TypeList reads a list for a design as somebody types or pastes it, and whether its
// first line is headings. Errors: *drawer.Error.
func TypeList(j job.Job, text string, h drawer.Headings) (*job.List, bool, error) {
	l, headed, err := drawer.TypeList(text, Asked(j), h)
	if err != nil {
		return nil, headed, err
	}
	return ListFrom(l, ""), headed, nil
}

// ListText is a list as TypeList reads it for a design, and whether that has headings.
func ListText(j job.Job, l *job.List) (text string, headed bool) {
	return ListOf(l).Text(Asked(j))
}

// RowLook is what would come of a row of a list.
type RowLook struct {
	// Err says why it cannot be cut, nil where it can.
	Err error
	// Picture is the design with the row filled in, as it looks on the blank, its longer
	// side at so many pixels as were asked for.
	Picture image.Image
	// Share is the size of its letters as part of those that are drawn: less than 1 where
	// they are set smaller so that they fit.
	Share float64
	// Notes are what is not as it was asked for, Weak how many places are too thin, and
	// Stacked whether colours stack.
	Notes   []job.Warning
	Weak    int
	Stacked bool
}

// LookRow fills a row, from 0, of a list in and looks at what comes of it.
func LookRow(ctx context.Context, j job.Job, l *job.List, i, longerPx int) (out RowLook) {
	out.Share = 1
	var x copyOf
	if j, x, out.Err = fillRow(ctx, j, ListOf(l), i); out.Err != nil {
		return out
	}
	for _, t := range x.row.Texts {
		out.Share = min(out.Share, t.Share)
	}
	out.Notes = x.notes
	var cache fit.Cache
	p, err := cache.Compute(ctx, j)
	if err == nil && len(p.Separations) == 0 {
		err = fail("nothing-to-cut", nil)
	}
	var page *cutfile.Page
	if err == nil {
		page, err = cutfile.New(p)
	}
	if err == nil {
		var spots []fit.WeakSpot
		spots, _, err = FindWeak(ctx, &cache, p, j)
		out.Weak, out.Stacked, out.Picture = len(spots), p.Stacked.AreaMM2 > 0, png.Picture(page, longerPx)
	}
	out.Err = err
	return out
}

// fillRow fills a row of a list into a job.
func fillRow(ctx context.Context, j job.Job, list drawer.List, i int) (job.Job, copyOf, error) {
	j, filled, err := fillin.Fill(ctx, j, list, i)
	x := copyOf{row: ManifestRow{Row: i + 1, Line: list.Rows[i].Line, Name: nameOfRow(list, i), Cells: map[string]string{}, Texts: []ManifestText{}}}
	if err != nil {
		return j, x, err
	}
	for _, name := range list.Columns {
		if name != "" {
			x.row.Cells[name], _ = list.Cell(i, name)
		}
	}
	for _, t := range filled.Texts {
		x.row.Texts = append(x.row.Texts, ManifestText{t.Layer, t.Text, rounded(t.Share)})
	}
	for _, n := range filled.Notes {
		x.notes = append(x.notes, job.Warning{Message: n})
	}
	return j, x, nil
}

// RowName is what row i, from 0, of a job's list is called.
func RowName(l *job.List, i int) string {
	if i < 0 || i >= len(l.Rows) {
		return ""
	}
	return nameOfRow(ListOf(l), i)
}

// nameOfRow is what a row is called: what it has in the column called name or, else,
// in the first that has something.
func nameOfRow(list drawer.List, i int) string {
	name, _ := list.Cell(i, "name")
	for k := 0; name == "" && k < len(list.Columns); k++ {
		name, _ = list.Cell(i, list.Columns[k])
	}
	return name
}
