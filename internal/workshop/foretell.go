package workshop

import (
	"context"
	"image"
	"slices"

	"abut/internal/cutfile/png"
	"abut/internal/fit"
	"abut/internal/job"
)

// Forecast is what Write would write.
type Forecast struct {
	// Files are those to cut from and to show, Bytes their size in all.
	Files, Bytes int
	// WidthMM and HeightMM are the size of the page, where it is laid out that of the
	// first sheet.
	WidthMM, HeightMM float64
	// Lapsed is how many things cannot stay where they were pinned.
	Lapsed int
	// Sheet is the first sheet as it lies on the mat.
	Sheet image.Image
}

// Foretell makes in memory what Write would write to cut from, and writes nothing.
// The picture's longer side has so many pixels.
func Foretell(ctx context.Context, cache *fit.Cache, j job.Job, o WriteOptions, longerPx int) (Forecast, error) {
	o.Layout = o.Layout.of(j)
	var d drawn
	var err error
	copies := 1
	if j.Settings.List != nil {
		copies, o.Layout.Copies = j.Settings.List.Count(), 1 // the list says how many
		d, err = drawRows(ctx, cache, j, o)
	} else {
		d, err = draw(ctx, cache, j, o)
	}
	if err != nil || len(d.page.Separations) == 0 {
		return Forecast{}, err
	}
	page, lapsed := d.page, 0
	if d.sheets != nil {
		page, lapsed = d.sheets.Sheets[0].Page, d.sheets.Lapsed
	}
	if o.Layout.on() {
		copies = 1
	}
	f := Forecast{Files: copies * len(d.files), WidthMM: page.Width.MM(), HeightMM: page.Height.MM(), Lapsed: lapsed, Sheet: png.Sheet(page, 0, longerPx)}
	for _, x := range d.files {
		f.Bytes += copies * len(x.Data) // names differ by a little
	}
	return f, nil
}

// drawRows draws the files to cut of a list's rows: of all where they are laid out
// together, else of the first.
func drawRows(ctx context.Context, cache *fit.Cache, j job.Job, o WriteOptions) (d drawn, err error) {
	if !o.Layout.on() {
		l, rest := *j.Settings.List, false
		l.Rows = slices.Clone(l.Rows)
		for i := range l.Rows {
			l.Rows[i].Out = l.Rows[i].Out || rest
			rest = rest || !l.Rows[i].Out
		}
		j.Settings.List = &l
	}
	all, err := DesignsOf(ctx, cache, j)
	if err != nil {
		return d, err
	}
	for _, x := range all.all {
		o.rows = append(o.rows, copyOf{design: x})
	}
	d.design = all.all[0]
	return d, d.cutFiles(ctx, o)
}

// CanCut reports whether anything can be cut from what these formats write.
func CanCut(formats []Format) bool { return len(formats) > 0 && cuts(writersOf(formats)) }
