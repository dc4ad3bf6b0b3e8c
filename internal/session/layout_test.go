package session

import (
	"path/filepath"
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
