package session

import (
	"slices"
	"testing"

	"abut/internal/colour"
	"abut/internal/job"
)

func TestMerge_MakesOneLayerAsOneStepAndSelectsIt(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	ids := b.Job().LayerIDs()
	b.Merge(ids[:2])
	b.settle()
	if got := b.Job().LayerIDs(); len(b.errs) > 0 || len(got) != 2 || b.UndoLabel() != "ui-step-merge" || !slices.Equal(b.Selection(), got[:1]) {
		t.Errorf("told %v, layers %v, selected %v", b.errs, got, b.Selection())
	}
	b.Merge(ids[2:]) // one alone
	b.settle()
	if len(b.errs) != 1 || len(b.Job().LayerIDs()) != 2 || len(b.Selection()) != 1 {
		t.Errorf("told %v, layers %v", b.errs, b.Job().LayerIDs())
	}
}

// A surround has no outlines of its own: they are worked out for the merge.
func TestMerge_TakesTheOutlinesOfSurrounds(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	ids := b.Job().LayerIDs()
	var band job.LayerID
	if err := b.Do("band", func(j job.Job) (out job.Job, err error) {
		out, band, err = job.AddSurround(j, ids[:1], job.Surround{WidthMM: 3, Filled: true}, "band", colour.White)
		return out, err
	}); err != nil {
		t.Fatal(err)
	}
	b.settle()
	b.Merge([]job.LayerID{band, ids[0]})
	b.settle()
	l := b.Job().Items[0].Layers
	if len(b.errs) > 0 || len(l) != 3 {
		t.Fatalf("told %v, %d layers", b.errs, len(l))
	}
	if w := job.Bounds(b.Job(), l[0].ID).Width(); !near(w, 84+2*3) { // the sea's disc and its band
		t.Errorf("%g mm wide", w)
	}
}

func TestSplit_MakesALayerOfEachPartAndSelectsThem(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	sails := b.Job().LayerIDs()[1]
	b.Split(sails)
	b.settle()
	if got := b.Selection(); len(b.errs) > 0 || len(got) != 2 || len(b.Job().LayerIDs()) != 4 || b.UndoLabel() != "ui-step-split" {
		t.Errorf("told %v, selected %v of %v", b.errs, got, b.Job().LayerIDs())
	}
	b.Split(b.Job().LayerIDs()[0]) // of one part
	b.settle()
	if len(b.errs) != 1 || len(b.Job().LayerIDs()) != 4 || len(b.Selection()) != 2 {
		t.Errorf("told %v, selected %v of %v", b.errs, b.Selection(), b.Job().LayerIDs())
	}
}

func TestOutline_TurnsASurroundIntoWhatItDraws(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	var band job.LayerID
	if err := b.Do("band", func(j job.Job) (out job.Job, err error) {
		out, band, err = job.AddSurround(j, j.LayerIDs()[:1], job.Surround{WidthMM: 3}, "band", colour.White)
		return out, err
	}); err != nil {
		t.Fatal(err)
	}
	b.Outline(band)
	b.settle()
	l, _, _ := b.Job().Layer(band)
	if _, is := l.Content.(job.Outlines); len(b.errs) > 0 || !is || b.UndoLabel() != "ui-step-outline" || !near(job.Bounds(b.Job(), band).Width(), 90) {
		t.Errorf("told %v, content %T", b.errs, l.Content)
	}
	b.Outline(99)
	b.settle()
	if len(b.errs) != 1 {
		t.Errorf("no such layer: told %v", b.errs)
	}
}

// A selected gradient that becomes bands stays selected as all of them; one that is
// not selected leaves the selection alone. One band is the mean colour.
func TestSetBands_SelectWhatComesOfTheSelected(t *testing.T) {
	b := newBench(t)
	b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><linearGradient id="g"><stop stop-color="#d03020"/><stop offset="1" stop-color="#2040c0"/></linearGradient>
<rect width="40" height="40" fill="url(#g)"/><rect x="45" width="10" height="10" fill="#20a040"/></svg>`)
	sky, other := b.Job().LayerIDs()[:1], b.Job().LayerIDs()[1:]
	b.Select(other)
	b.SetBands(sky, 3)
	if got := b.Selection(); !slices.Equal(got, other) || len(b.Job().LayerIDs()) != 4 || b.UndoLabel() != "ui-step-bands" {
		t.Errorf("%d layers, selected %v after %s", len(b.Job().LayerIDs()), got, b.UndoLabel())
	}
	b.Undo()
	b.Select(sky)
	b.SetBands(sky, 4)
	if got := b.Selection(); len(got) != 4 || slices.Contains(got, other[0]) {
		t.Errorf("of four bands are selected %v", got)
	}
	b.SetBands(b.Selection()[:1], 1)
	if got := b.Selection(); len(got) != 1 || len(b.Job().LayerIDs()) != 2 || b.UndoLabel() != "ui-step-average" {
		t.Errorf("%d layers, selected %v after %s", len(b.Job().LayerIDs()), got, b.UndoLabel())
	}
	b.settle()
}
