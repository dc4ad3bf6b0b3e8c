package session

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"abut/internal/job"
	"abut/internal/trace"
)

// drawn is a picture of pixels of three colours, in a file.
func drawn(t *testing.T) string {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 60, 40))
	put := func(r image.Rectangle, c color.NRGBA) {
		draw.Draw(img, r, image.NewUniform(c), image.Point{}, draw.Src)
	}
	put(img.Rect, color.NRGBA{250, 220, 90, 255})
	put(image.Rect(10, 10, 30, 30), color.NRGBA{20, 80, 180, 255})
	put(image.Rect(30, 10, 50, 30), color.NRGBA{200, 30, 40, 255})
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "buoy.png")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// A picture of pixels is traced anew as often as one likes: what was asked for last
// comes, one step makes it count, and undo takes it back.
func TestTracer_TheLastThatWasAskedForComes(t *testing.T) {
	b := newBench(t)
	b.Open(drawn(t))
	b.settle()
	items := b.Traced()
	if len(items) != 1 || len(b.errs) > 0 {
		t.Fatal("traced: ", items, b.errs)
	}
	tr := b.Tracer(items[0])
	var results []*trace.Result
	tr.OnResult = func(r *trace.Result, err error) {
		if err != nil {
			t.Error(err)
		}
		results = append(results, r)
	}
	tr.Ask(job.Tracing{Colours: 1})
	tr.Ask(job.Tracing{Colours: 2})
	tr.Ask(job.Tracing{BareGround: true})
	b.settle()
	if len(results) != 1 || len(results[0].Layers) != 2 || tr.Image() == nil {
		t.Fatalf("%d results", len(results))
	}
	at := b.At()
	tr.Use()
	if j := b.Job(); len(j.Items[0].Layers) != 2 || !j.Items[0].Pixels.Tracing.BareGround {
		t.Errorf("%d layers, traced with %+v", len(j.Items[0].Layers), j.Items[0].Pixels.Tracing)
	}
	if b.At() == at || !b.CanUndo() {
		t.Error("it is no step")
	}
	b.Undo()
	if j := b.Job(); len(j.Items[0].Layers) != 3 || j.Items[0].Pixels.Tracing.BareGround {
		t.Errorf("taken back: %d layers", len(j.Items[0].Layers))
	}
}

// What opening a picture made of it is not made again when it is asked about: it is there at
// once, and the same that would be made. Asked otherwise, it is traced.
func TestTracer_KnowsWhatOpeningMade(t *testing.T) {
	b := newBench(t)
	path := drawn(t)
	b.Open(path)
	b.settle()
	tr := b.Tracer(b.Traced()[0])
	if tr.Image() == nil || tr.known == nil {
		t.Fatal("it is read again")
	}
	had := tr.known.Result
	var told []*trace.Result
	tr.OnResult = func(r *trace.Result, err error) { told = append(told, r) }
	for _, how := range []job.Tracing{tr.Wanted(), {Colours: 2}, tr.Wanted()} {
		tr.Ask(how)
		b.settle()
	}
	if len(told) != 3 || told[0] != had || told[1] == had || len(told[1].Layers) != 2 {
		t.Fatalf("%d results", len(told))
	}
	if !reflect.DeepEqual(told[2].Layers, had.Layers) || !reflect.DeepEqual(told[2].Inks, had.Inks) {
		t.Error("opening made something else")
	}
	if other := b.Tracer(b.Traced()[0]); other.known != nil {
		t.Error("it is kept for good")
	}
	// The job's own layers are other ones than those that are told.
	if j := b.Job(); !j.Items[0].Layers[0].Knocks || had.Layers[0].Knocks {
		t.Error("what is told was changed")
	}
	b.AddPicture("pasted", func(context.Context) ([]byte, error) { return os.ReadFile(path) })
	b.settle()
	items := b.Traced()
	if tr := b.Tracer(items[len(items)-1]); tr.known == nil {
		t.Errorf("the pasted one is read again: %v", items)
	}
}

// What is told of a way of tracing is what is cut once it is used: squares that touch at a corner part there, and
// what one's sheets have alike comes from one of them.
func TestTracer_TellsWhatIsCut(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 120, 120))
	put := func(x, y int, c color.NRGBA) {
		draw.Draw(img, image.Rect(x, y, x+30, y+30), image.NewUniform(c), image.Point{}, draw.Src)
	}
	draw.Draw(img, img.Rect, image.NewUniform(color.NRGBA{250, 220, 90, 255}), image.Point{}, draw.Src)
	for i := range 4 {
		put(30*i, 30*i, color.NRGBA{20, 80, 180, 255})
	}
	var file bytes.Buffer
	if err := png.Encode(&file, img); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "squares.png")
	if err := os.WriteFile(path, file.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	b := newBench(t)
	b.Open(path)
	b.settle()
	tr := b.Tracer(b.Traced()[0])
	var told [][2]int
	tr.OnCut = func(sheets, pieces int, err error) {
		if err != nil {
			t.Error(err)
		}
		told = append(told, [2]int{sheets, pieces})
	}
	tr.Ask(job.Tracing{Colours: 1})
	tr.Ask(job.Tracing{})
	b.settle()
	tr.Use()
	b.knockOut()
	p, _ := b.Plan()
	shapes := 0
	for _, l := range b.Job().Items[0].Layers {
		shapes += len(job.Shapes(l.Content))
	}
	if want := [2]int{len(p.Separations), p.NumPieces()}; len(told) != 1 || told[0] != want || shapes == want[1] {
		t.Errorf("told %v, cut are %v; %d shapes", told, want, shapes)
	}
	tr.Ask(job.Tracing{BareGround: true})
	for tr.Busy() {
		(<-b.queue)()
	}
	tr.Stop()
	b.settle()
	if len(told) != 1 {
		t.Errorf("told after it was stopped: %v", told)
	}
}

func TestTracer_StopsAndKeepsToItsDocument(t *testing.T) {
	b := newBench(t)
	path := drawn(t)
	b.Open(path)
	b.settle()
	tr := b.Tracer(b.Traced()[0])
	told := 0
	tr.OnResult = func(_ *trace.Result, err error) {
		if told++; errors.Is(err, context.Canceled) {
			t.Error("what was stopped is told")
		}
	}
	tr.Ask(job.Tracing{Colours: 2})
	tr.Stop()
	b.settle()
	if told != 0 || tr.Busy() || tr.Wanted().Colours != 0 {
		t.Errorf("told %d times, wants %+v", told, tr.Wanted())
	}
	tr.Ask(job.Tracing{Colours: 2})
	b.settle()
	b.Open(path)
	b.settle()
	tr.Use()
	if len(b.Job().Items[0].Layers) != 3 || len(b.errs) != 1 || !errors.Is(b.errs[0], ErrStale) {
		t.Errorf("another document has %d layers, %v", len(b.Job().Items[0].Layers), b.errs)
	}
}

func TestAdd_TellsOfAPictureOfPixels(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	var told []job.ItemID
	b.OnTraced = func(id job.ItemID) { told = append(told, id) }
	b.Add([]string{drawn(t)}, nil)
	b.settle()
	if len(told) != 1 || b.Tracer(told[0]) == nil || len(b.errs) > 0 {
		t.Errorf("told of %v, %v", told, b.errs)
	}
	if got := b.Traced(); len(got) != 1 || got[0] != told[0] {
		t.Errorf("traced are %v", got)
	}
}

// What opening made of a picture is as large as the picture: it does not wait for who never asks.
func TestTracer_KnowsNothingOfWhatNobodyAskedFor(t *testing.T) {
	known := func(b *bench, id job.ItemID) bool { return b.Tracer(id).Image() != nil }
	b := newBench(t)
	b.Open(drawn(t))
	b.settle()
	b.ForgetTraced()
	if known(b, 1) {
		t.Error("it is known after nobody asked")
	}
	b.Add([]string{drawn(t), drawn(t)}, nil)
	b.settle()
	if items := b.Traced(); len(items) != 2 || known(b, items[1]) {
		t.Errorf("of %v, which nobody is asked about, the last is known", items)
	}
}
