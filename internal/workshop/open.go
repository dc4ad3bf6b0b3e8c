package workshop

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"unicode"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/svgimport"
	"abut/internal/trace"
	"abut/internal/whole"
	"abut/internal/words"
)

// UnsizedMM is the longer side of art whose file states no physical size, until
// someone gives it one.
const UnsizedMM = 100

// Open reads the art in a file and returns a job with it as its one item: at
// the size that the file states or, when it states none (Item.PhysicalMM is
// zero), UnsizedMM on the longer side. The file is only read.
func Open(ctx context.Context, path string) (job.Job, error) {
	return openTraced(ctx, path, job.Tracing{})
}

func openTraced(ctx context.Context, path string, how job.Tracing) (job.Job, error) {
	return new(Opener).OpenAs(ctx, path, how, nil)
}

// Opener opens art and keeps how it traced the last picture of pixels, for who asks about
// its colours next: a large one takes seconds. The zero value works; several may use it.
type Opener struct {
	mu   sync.Mutex
	last *TracedPicture
}

// TracedPicture is a picture of pixels, what it was traced as, and how.
type TracedPicture struct {
	Picture *trace.Picture
	Result  *trace.Result
	Tracing job.Tracing
}

// OpenAs is the function Open, traces a picture of pixels as is said, and keeps that. all, which
// may be nil, is given every byte of the file.
func (o *Opener) OpenAs(ctx context.Context, path string, how job.Tracing, all io.Writer) (job.Job, error) {
	f, err := openFile(ctx, path)
	if err != nil {
		return job.Job{}, err
	}
	defer f.Close()
	name := filepath.Base(path)
	if all == nil {
		return o.OpenPicture(ctx, name, f, how)
	}
	r := io.TeeReader(f, all)
	j, err := o.OpenPicture(ctx, name, r, how)
	if err == nil {
		_, err = io.Copy(io.Discard, r) // what is behind the picture, if anything
	}
	return j, err
}

// Take returns what was kept of a picture and keeps it no longer: it is as large as the picture. Nil where
// another one was opened since, or it is known already how.
func (o *Opener) Take(p *job.Pixels) *TracedPicture {
	o.mu.Lock()
	defer o.mu.Unlock()
	t := o.last
	if t == nil || !sameFile(t.Picture.File(), p.File) || !reflect.DeepEqual(t.Tracing, p.Tracing) {
		return nil
	}
	o.last = nil
	return t
}

// Forget keeps no longer how the last picture was traced: nobody is going to ask.
func (o *Opener) Forget() {
	o.mu.Lock()
	o.last = nil
	o.mu.Unlock()
}

// sameFile reports whether two are the same bytes in memory.
func sameFile(a, b []byte) bool {
	return len(a) > 0 && len(a) == len(b) && &a[0] == &b[0]
}

func openFile(ctx context.Context, path string) (*os.File, error) {
	// A pipe that nobody writes to keeps those waiting that open it.
	f, err := parallel.Aside(ctx, func() (*os.File, error) { return os.Open(path) })
	switch {
	case err == nil:
	case errors.Is(err, fs.ErrNotExist):
		return nil, fail("file-missing", err, "path", path)
	case fit.IsCancelled(err):
		return nil, err
	default:
		return nil, fail("file-unreadable", err, "path", path, "detail", whole.Cause(err))
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		f.Close()
		return nil, fail("file-is-folder", nil, "path", path)
	}
	return f, nil
}

// OpenPicture is Open for art that is not in a file: a drawing, or a picture of
// pixels, which is told by how it begins, and how it is traced; name says where it
// is from.
func OpenPicture(ctx context.Context, name string, r io.Reader, how job.Tracing) (job.Job, error) {
	return new(Opener).OpenPicture(ctx, name, r, how)
}

// OpenPicture is the function OpenPicture, and keeps how a picture of pixels was traced.
func (o *Opener) OpenPicture(ctx context.Context, name string, r io.Reader, how job.Tracing) (job.Job, error) {
	art, pixels, err := sniffed(ctx, r)
	switch {
	case err != nil:
		return job.Job{}, err
	case !pixels:
		return o.openSVG(ctx, name, art, how)
	}
	p, err := trace.Read(ctx, art)
	if err != nil {
		return job.Job{}, err
	}
	t, err := p.Trace(ctx, trace.Options{Tracing: how, ColourName: words.Colour})
	if err != nil {
		return job.Job{}, err
	}
	return opened(name, o.ofPixels(p, t, how)), nil
}

// ofPixels is a traced picture as an item of a job.
func (o *Opener) ofPixels(p *trace.Picture, t *trace.Result, how job.Tracing) job.Item {
	o.mu.Lock()
	o.last = &TracedPicture{p, t, how}
	o.mu.Unlock()
	layers := slices.Clone(t.Layers)
	for i := range layers {
		// They only touch, but one that is moved or becomes broader would lie over another.
		layers[i].Knocks = true
	}
	return job.Item{
		Canvas: t.Canvas, Layers: layers, Warnings: t.Warnings,
		Pixels: &job.Pixels{File: p.File(), Tracing: how},
	}
}

// sniffed reports whether it is a picture of pixels that is read, and returns what
// reads all of it.
func sniffed(ctx context.Context, r io.Reader) (io.Reader, bool, error) {
	b := bufio.NewReader(r)
	// What goes wrong here does so again when all is read.
	head, err := parallel.Aside(ctx, func() ([]byte, error) {
		head, _ := b.Peek(trace.HeadBytes)
		return head, nil
	})
	if err == nil {
		err = otherKind(head)
	}
	return b, trace.Is(head), err
}

// otherKind says what a file is that begins like this, where it is of a kind that people often have in
// place of a picture: what to do about it differs.
func otherKind(head []byte) error {
	text := string(head)
	switch {
	case strings.HasPrefix(text, "%PDF-"), strings.HasPrefix(text, "%!PS"), strings.HasPrefix(text, "\xc5\xd0\xd3\xc6"):
		return fail("file-is-pdf", nil) // ISO 32000-1, 7.5.2; PostScript with a preview before it begins otherwise
	case strings.HasPrefix(text, "PK\x03\x04"):
		return fail("file-is-zip", nil)
	case len(text) >= 12 && text[4:8] == "ftyp" && slices.Contains(heifBrands, text[8:12]):
		return fail("file-is-heif", nil)
	}
	return nil
}

// heifBrands are what pictures in boxes say that they are: ISO/IEC 23008-12 and the AV1 Image File Format.
var heifBrands = []string{"heic", "heix", "heim", "heis", "hevc", "mif1", "msf1", "avif", "avis"}

// OpenSVG is OpenPicture for a drawing.
func OpenSVG(ctx context.Context, name string, r io.Reader) (job.Job, error) {
	return new(Opener).openSVG(ctx, name, r, job.Tracing{})
}

func (o *Opener) openSVG(ctx context.Context, name string, r io.Reader, how job.Tracing) (job.Job, error) {
	found := map[*svgimport.Picture]embedded{}
	art, err := svgimport.Import(ctx, r, svgimport.Options{
		ColourName: words.Colour,
		Picture: func(ctx context.Context, file []byte) (*svgimport.Picture, error) {
			e, err := traceEmbedded(ctx, file, how)
			if err != nil {
				return nil, err
			}
			pic := e.picture()
			found[pic] = e
			return pic, nil
		},
	})
	switch {
	case err != nil:
		return job.Job{}, err
	case art.Sole != nil:
		it, err := found[art.Sole].alone(ctx, o, how)
		it.PhysicalMM = art.SoleMM
		return opened(name, it), err
	}
	return opened(name, job.Item{Canvas: art.Canvas, PhysicalMM: art.PhysicalMM, Layers: art.Layers, Warnings: art.Warnings}), nil
}

// embedded is a picture of pixels in a drawing, traced.
type embedded struct {
	read   *trace.Picture
	traced *trace.Result
}

// traceEmbedded traces all of a picture: a sheet of paper in it is not cut out, for then what is
// left would lie elsewhere in the drawing.
func traceEmbedded(ctx context.Context, file []byte, how job.Tracing) (e embedded, err error) {
	how.Sheet = false
	if e.read, err = trace.Read(ctx, bytes.NewReader(file)); err == nil {
		e.traced, err = e.read.Trace(ctx, trace.Options{Tracing: how, ColourName: words.Colour})
	}
	return e, err
}

// picture is what a drawing shows of it.
func (e embedded) picture() *svgimport.Picture {
	pic := &svgimport.Picture{Canvas: e.traced.Canvas, Layers: e.traced.Layers}
	for _, w := range e.traced.Warnings {
		switch w.ID {
		case trace.WarnSheet:
			continue
		case trace.WarnColours:
			w.ID = "trace-embedded"
		case trace.WarnTones:
			w.ID = "trace-embedded-tones"
		}
		pic.Warnings = append(pic.Warnings, w)
	}
	return pic
}

// alone is the picture as it is opened by itself.
func (e embedded) alone(ctx context.Context, o *Opener, how job.Tracing) (job.Item, error) {
	t := e.traced
	if how.Sheet {
		var err error
		if t, err = e.read.Trace(ctx, trace.Options{Tracing: how, ColourName: words.Colour}); err != nil {
			return job.Item{}, err
		}
	}
	return o.ofPixels(e.read, t, how), nil
}

// opened is a job with one picture, from what is called name.
func opened(name string, it job.Item) job.Job {
	it.ID, it.Copies = 1, 1
	it.Name, it.Source = readable(strings.TrimSuffix(name, filepath.Ext(name))), name
	it.Placement = placement(it.Canvas, it.PhysicalMM)
	return job.Job{Items: []job.Item{it}}
}

// readable is a file's name as people read it: names are any bytes, of any encoding, with
// line breaks even.
func readable(name string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(name, "\uFFFD")))
}

// placement puts the canvas's corner at the board's origin, at the physical
// size or UnsizedMM on the longer side. A physical size of other proportions
// than the canvas holds it whole, as SVG does by default.
func placement(canvas geometry.Rect, physical geometry.Point) geometry.Affine {
	w, h := canvas.Width(), canvas.Height()
	scale := math.Inf(1)
	if physical.X > 0 && w > 0 {
		scale = physical.X / w
	}
	if physical.Y > 0 && h > 0 {
		scale = math.Min(scale, physical.Y/h)
	}
	if longer := math.Max(w, h); math.IsInf(scale, 1) && longer > 0 {
		scale = UnsizedMM / longer
	}
	if math.IsInf(scale, 1) {
		scale = 1
	}
	return geometry.Scale(scale, scale).Mul(geometry.Translate(-canvas.Min.X, -canvas.Min.Y))
}

// Sized reports whether every item's file states how large the art is.
func Sized(j job.Job) bool {
	for _, it := range j.Items {
		if it.PhysicalMM.X <= 0 && it.PhysicalMM.Y <= 0 {
			return false
		}
	}
	return true
}
