package session

import (
	"path/filepath"
	"slices"
	"testing"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/workshop"
)

func TestExport_WhatIsLaidOutLiesOnOffcutsFirst(t *testing.T) {
	b := newBench(t)
	b.svg(shades)
	b.knockOut()
	red := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}
	own := drawer.Sheet{Name: "Buoy", Pressed: red, Unpressed: red, Count: 2, Price: 3, WidthMM: 210, HeightMM: 297, Offcuts: []drawer.Size{{WidthMM: 80, HeightMM: 90}}}
	if err := b.SetDrawer([]drawer.Sheet{own}); err != nil {
		t.Fatal(err)
	}
	sheet := workshop.SheetOf(own)
	if err := b.Assign(map[colour.RGB]workshop.SheetChoice{red: {Sheet: &sheet}}, job.Hues{}, false); err != nil {
		t.Fatal(err)
	}
	if err := b.Do("ui-step-layout", func(j job.Job) (job.Job, error) { return job.SetLayout(j, job.Layout{Copies: 2}) }); err != nil {
		t.Fatal(err)
	}
	b.settle()
	var m *workshop.Manifest
	b.Export(filepath.Join(t.TempDir(), "out"), workshop.WriteOptions{Layout: workshop.LayoutOptions{Tries: 5}}, func(got *workshop.Manifest, err error) {
		if err != nil {
			t.Error(err)
		}
		m = got
	})
	b.settle()
	if m == nil || m.Layout == nil || m.Layout.Copies != 2 {
		t.Fatalf("%+v", m)
	}
	offcuts := 0
	for _, s := range m.Layout.Sheets {
		if s.Kind == "offcut" {
			offcuts++
		}
	}
	if offcuts != 1 {
		t.Errorf("%d offcuts are used: %+v", offcuts, m.Layout.Sheets)
	}
	b.Undo()
	b.settle()
	if b.Job().Settings.Layout.On() {
		t.Error("undo leaves it laid out")
	}
}

func TestLayouter_TheLastThatWasAskedForComesAndOneStepMakesItCount(t *testing.T) {
	b := newBench(t)
	if b.Layouter() != nil {
		t.Error("nothing is open")
	}
	b.svg(shades)
	b.knockOut()
	l := b.Layouter()
	var first, last []int
	l.OnResult = func(laid workshop.Laid, done bool, err error) {
		if err != nil {
			t.Error(err)
		} else if done {
			last = append(last, laid.Copies)
		} else {
			first = append(first, laid.Copies)
		}
	}
	l.Ask(job.Layout{Copies: 2}, job.Laid{})
	l.Ask(job.Layout{Copies: 3}, job.Laid{})
	want := job.Layout{Copies: 4, Loose: true, RollMM: 200, SpacingMM: 3}
	l.Ask(want, job.Laid{})
	b.settle()
	if !slices.Equal(first, []int{4}) || !slices.Equal(last, []int{4}) || l.Busy() {
		t.Errorf("%v, then %v; busy %v", first, last, l.Busy())
	}
	l.Use(want, job.Laid{})
	if b.Job().Settings.Layout != want || b.UndoLabel() != "ui-step-layout" {
		t.Errorf("%+v, %s", b.Job().Settings.Layout, b.UndoLabel())
	}
	l.Use(job.Layout{}, job.Laid{})
	if b.Job().Settings.Layout.On() || b.UndoLabel() != "ui-step-unlaid" {
		t.Errorf("%+v, %s", b.Job().Settings.Layout, b.UndoLabel())
	}
	at := b.At()
	if l.Use(job.Layout{}, job.Laid{}); b.At() != at {
		t.Error("what is so already is a step")
	}
}

func TestLayouter_StoppedKeepsTheBestSoFarAndGivenUpTellsNothing(t *testing.T) {
	b := newBench(t)
	b.svg(shades)
	b.knockOut()
	b.settle()
	l, told, best := b.Layouter(), 0, workshop.Laid{}
	l.OnResult = func(laid workshop.Laid, done bool, err error) {
		if err != nil {
			t.Error(err)
		}
		if told++; done {
			best = laid
			return
		}
		l.task.Stop() // as the button does that says what goes on
	}
	l.Ask(job.Layout{Copies: 300, Loose: true}, job.Laid{})
	b.settle()
	if told != 2 || best.ManifestLayout == nil || best.Copies != 300 {
		t.Errorf("told %d times, %+v", told, best.ManifestLayout)
	}
	told = 0
	l.Ask(job.Layout{Copies: 300}, job.Laid{})
	l.Stop()
	b.settle()
	if told != 0 || l.Busy() {
		t.Errorf("told %d times of what was given up", told)
	}
	l.OnResult = func(_ workshop.Laid, _ bool, err error) {
		if told++; err == nil {
			t.Error("so many cannot be laid out")
		}
	}
	if l.Ask(job.Layout{Copies: job.MaxCopies + 1}, job.Laid{}); told != 1 {
		t.Errorf("told %d times of what cannot be", told)
	}
}
