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
