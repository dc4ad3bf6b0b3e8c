package session

import (
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// What is pasted lies where it was, unless the same lies there already or
// nobody would see it.
func TestPaste_LiesWhereItIsSeenAndNotOverItself(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	hull := b.Job().LayerIDs()[2:]
	home := job.BoundsOf(b.Job(), hull)
	text, err := b.Copied(hull)
	if err != nil {
		t.Fatal(err)
	}
	paste := func(seen geometry.Rect) geometry.Point {
		t.Helper()
		b.Paste(text, "", seen)
		b.settle()
		made := b.Selection()
		if len(b.errs) > 0 || len(made) != 1 || b.UndoLabel() != "ui-step-paste" {
			t.Fatalf("told %v, selected %v, undo %q", b.errs, made, b.UndoLabel())
		}
		return job.BoundsOf(b.Job(), made).Centre().Sub(home.Centre())
	}
	all := home.Grow(100)
	for i, want := range []geometry.Point{geometry.Pt(5, 5), geometry.Pt(10, 10), geometry.Pt(15, 15)} {
		if got := paste(all); got.Sub(want).Len() > 0.01 {
			t.Errorf("pasted %d times: moved by %v", i+1, got)
		}
	}
	if err := b.Do("away", func(j job.Job) (job.Job, error) { return job.MoveLayers(j, hull, 0, 40) }); err != nil {
		t.Fatal(err)
	}
	if got := paste(all); got.Len() > 0.01 {
		t.Errorf("where it was is free, and it was moved by %v", got)
	}
	if got := paste(geometry.EmptyRect()); got.Sub(geometry.Pt(20, 20)).Len() > 0.01 {
		t.Errorf("nothing is known of what is seen: moved by %v", got)
	}
	far := geometry.RectXYWH(1000, 2000, 50, 50)
	if got := paste(far); got.Sub(far.Centre().Sub(home.Centre())).Len() > 0.01 {
		t.Errorf("out of sight: moved by %v", got)
	}
}

func TestPaste_OfAPictureIsAPictureOfItsOwn(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.Paste(triangle, "Pasted art", geometry.EmptyRect())
	b.settle()
	if j := b.Job(); len(b.errs) > 0 || len(j.Items) != 2 || j.Items[1].Name != "Pasted art" {
		t.Errorf("told %v, %d pictures", b.errs, len(j.Items))
	}
	b.Paste("no picture", "", geometry.EmptyRect())
	b.settle()
	if len(b.errs) != 1 || len(b.Job().Items) != 2 || len(b.Selection()) != 1 {
		t.Errorf("told %v, selected %v", b.errs, b.Selection())
	}
}
