package workshop

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"abut/internal/cutfile"
	"abut/internal/cutfile/svg"
	"abut/internal/fit"
	"abut/internal/guide"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
)

// The names of the files beside the cut files.
const (
	ManifestFile = "job.json"
	StepsFile    = "steps.html"
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
	// Cache, when there is one, saves fitting the art as drawn from scratch.
	Cache *fit.Cache
}

// Write writes the plan of job j into the folder dir: a mirrored cut file for
// each separation, steps.html, and job.json. Cut files follow the art's own
// curves, whether or not p does. All of it is written or nothing: a run that
// fails or is stopped leaves everything as it was. Folders above dir are made as
// needed.
func Write(ctx context.Context, j job.Job, p *fit.Plan, dir string, o WriteOptions) (*Manifest, error) {
	if p.Stacked.AreaMM2 > 0 && !o.AllowStacked {
		return nil, fail(ErrStacked, nil,
			"count", words.Count(len(p.Stacked.Places)), "area", message.MM2(p.Stacked.AreaMM2), "where", Where(j, p))
	}
	if len(p.Separations) == 0 {
		return nil, fail("nothing-to-cut", nil)
	}
	if len(p.Beyond) > 0 && !o.AllowBeyond {
		return nil, fail(ErrBeyond, nil, "what", BeyondText(j, p), "remedy", words.Chosen().In(j.Settings.Units).Remedy(p.Beyond[0].Message))
	}
	if err := checkTarget(dir, o.Overwrite); err != nil {
		return nil, err // before the long work
	}
	files, m, err := makeFiles(ctx, j, p, o)
	if err != nil {
		return nil, err
	}
	if err := place(ctx, dir, files, o.Overwrite); err != nil {
		return nil, explain(err)
	}
	return m, nil
}

// file is one file to write.
type file struct {
	name string
	data []byte
}

// makeFiles makes everything in memory, where it fails without a trace.
func makeFiles(ctx context.Context, j job.Job, p *fit.Plan, o WriteOptions) ([]file, *Manifest, error) {
	cache := o.Cache
	if cache == nil {
		cache = new(fit.Cache)
	}
	chords := p // what the second engine can read
	p, err := cache.ComputeCurves(ctx, j)
	if err != nil {
		return nil, nil, explain(err)
	}
	before, err := stackedAsDrawn(ctx, cache, j, p)
	if err != nil {
		return nil, nil, err
	}
	// Widths are measured among chords, and before the clearance is taken.
	spots, weak, err := FindWeak(ctx, cache, chords, j)
	if err != nil {
		return nil, nil, err
	}
	if p, err = fit.Cut(ctx, p, j.Settings); err != nil {
		return nil, nil, explain(err)
	}
	page, err := cutfile.New(p)
	if err != nil {
		return nil, nil, explain(err)
	}
	var files []file
	var b bytes.Buffer
	add := func(name string, err error) error {
		if err != nil {
			return explain(fmt.Errorf("%s: %w", name, err))
		}
		files = append(files, file{name, bytes.Clone(b.Bytes())})
		b.Reset()
		return explain(ctx.Err())
	}
	for i, s := range page.Separations {
		if err := add(s.FileName("svg"), svg.Write(&b, page, i)); err != nil {
			return nil, nil, err
		}
	}
	for i, d := range page.Drawings {
		if err := add(page.DrawingFileName(d, "svg"), svg.WriteDrawing(&b, page, i)); err != nil {
			return nil, nil, err
		}
	}
	warnings := append(Warnings(j, p), weak...)
	warnings = append(warnings, secondOpinion(ctx, chords)...)
	if err := ctx.Err(); err != nil {
		return nil, nil, explain(err)
	}
	steps := guide.Guide{Words: words.Chosen().In(j.Settings.Units), Title: title(j), Plan: p, Page: page, Warnings: warnings}
	if err := add(StepsFile, steps.Write(&b)); err != nil {
		return nil, nil, err
	}
	m := manifest(j, p, page, before, warnings, spots)
	if err := add(ManifestFile, m.Write(&b)); err != nil {
		return nil, nil, err
	}
	return files, m, nil
}

func title(j job.Job) string {
	var names []string
	for _, it := range j.Items {
		names = append(names, it.Name)
	}
	return words.List(names)
}

// maxPlaces is how many stacked places a sentence names.
const maxPlaces = 3

// Where says where the largest stacked places are, measured from the art's top
// left corner, and which layers lie over each other there.
func Where(j job.Job, p *fit.Plan) string {
	var out []string
	for i, s := range p.Stacked.Places {
		if i == maxPlaces {
			break
		}
		out = append(out, PlaceText(j, p, s))
	}
	return strings.Join(out, "; ")
}

// PlaceText says where one stacked place is and what lies over what there.
func PlaceText(j job.Job, p *fit.Plan, s fit.StackedPlace) string {
	w := words.Chosen().In(j.Settings.Units)
	layers := ""
	for _, id := range s.Layers { // bottom first
		l, _, ok := j.Layer(id)
		switch {
		case !ok:
		case layers == "":
			layers = l.Name
		default:
			layers = w.Say("stacked-over", map[string]string{"upper": l.Name, "lower": layers})
		}
	}
	return w.Message(words.Pairs("stacked-place", "layers", layers, "area", message.MM2(s.AreaMM2),
		"x", message.MM(s.Inside.X-p.Extent.Min.X), "y", message.MM(s.Inside.Y-p.Extent.Min.Y)))
}

// maxBeyond is how many things that are too small a sentence names.
const maxBeyond = 3

// BeyondText says what the art with its frame is too large for, and by how much.
func BeyondText(j job.Job, p *fit.Plan) string {
	w := words.Chosen().In(j.Settings.Units)
	var out []string
	for i, x := range p.Beyond {
		if i == maxBeyond {
			out = append(out, w.Message(words.Pairs("beyond-more", "count", words.Count(len(p.Beyond)-i))))
			break
		}
		out = append(out, w.Message(x.Message))
	}
	return strings.Join(out, " ")
}
