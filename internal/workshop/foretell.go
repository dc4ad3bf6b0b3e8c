package workshop

import (
	"context"
	"image"

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
	// Sheet is the first sheet as it lies on the mat.
	Sheet image.Image
}

// Foretell makes in memory what Write would write to cut from, and writes nothing.
// The picture's longer side has so many pixels.
func Foretell(ctx context.Context, cache *fit.Cache, j job.Job, o WriteOptions, longerPx int) (Forecast, error) {
	o.Layout = o.Layout.of(j)
	d, err := draw(ctx, cache, j, o)
	if err != nil || len(d.page.Separations) == 0 {
		return Forecast{}, err
	}
	page := d.page
	if d.sheets != nil {
		page = d.sheets.Sheets[0].Page
	}
	f := Forecast{Files: len(d.files), WidthMM: page.Width.MM(), HeightMM: page.Height.MM(), Sheet: png.Sheet(page, 0, longerPx)}
	for _, x := range d.files {
		f.Bytes += len(x.Data)
	}
	return f, nil
}

// CanCut reports whether anything can be cut from what these formats write.
func CanCut(formats []Format) bool { return len(formats) > 0 && cuts(writersOf(formats)) }
