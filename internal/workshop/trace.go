package workshop

import (
	"bytes"
	"context"
	"os"

	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/trace"
	"abut/internal/whole"
	"abut/internal/words"
)

// Traced is what came of a picture of pixels.
type Traced struct {
	Colours, Pieces int
	Warnings        []ManifestWarning
}

// TraceOptions say how a picture is traced. The zero value works.
type TraceOptions struct {
	job.Tracing
	// Drawer is a file of sheets; there may be no other colours than theirs.
	Drawer string
	// Overwrite lets the drawing replace a file that is there.
	Overwrite bool
}

// Trace writes the drawing of a picture of pixels to a file, as SVG: all of it or
// nothing. What an error says to people is its MessageOf.
func Trace(ctx context.Context, source Source, out string, o TraceOptions) (Traced, error) {
	if _, err := os.Lstat(out); err == nil && !o.Overwrite {
		return Traced{}, fail("trace-exists", nil, "path", out)
	}
	if o.Drawer != "" {
		sheets, err := drawer.Open(o.Drawer)
		if err != nil {
			return Traced{}, err
		}
		if o.Sheets = SheetColours(sheets); len(o.Sheets) == 0 {
			return Traced{}, fail("drawer-empty", nil)
		}
	}
	r, err := source.reader(ctx)
	if err != nil {
		return Traced{}, err
	}
	defer r.Close()
	art, pixels, err := sniffed(ctx, r)
	if err != nil {
		return Traced{}, err
	}
	if !pixels {
		// What is no picture at all says so.
		j, err := OpenSVG(ctx, source.Path, art)
		if err != nil {
			return Traced{}, err
		}
		wrapped := j.Items[0].Pixels
		if wrapped == nil {
			return Traced{}, fail("trace-is-drawing", nil, "file", source.Path)
		}
		art = bytes.NewReader(wrapped.File)
	}
	t, err := trace.Trace(ctx, art, trace.Options{Tracing: o.Tracing, ColourName: words.Colour})
	if err != nil {
		return Traced{}, err
	}
	if err := whole.WriteFile(out, t.WriteSVG); err != nil {
		if _, said := message.In(err); said {
			return Traced{}, err
		}
		return Traced{}, fail("target-unwritable", err, "path", out, "detail", whole.Cause(err))
	}
	done := Traced{Colours: len(t.Layers), Warnings: describeWarnings(words.Chosen(), job.Job{}, t.Warnings)}
	for _, l := range t.Layers {
		done.Pieces += len(job.Shapes(l.Content))
	}
	return done, nil
}
