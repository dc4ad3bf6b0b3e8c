package session

import (
	"path/filepath"
	"testing"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/job"
	"abut/internal/workshop"
)

const shades = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="20" height="40" fill="#d03020"/><rect x="20" width="5" height="40" fill="#d83828"/>
<rect x="25" width="20" height="40" fill="#2040c0"/><rect x="45" width="5" height="40" fill="#2848c8"/></svg>`

func (b *bench) fewer(n int, sheets []drawer.Sheet) Fewer {
	b.t.Helper()
	var out Fewer
	b.Fewer(n, sheets, b.Job().Settings.Hues, func(f Fewer, err error) {
		if err != nil {
			b.t.Error(err)
		}
		out = f
	})
	b.settle()
	return out
}

func TestAssign_WhatWasDecidedByHandIsOneStepWithTheSheets(t *testing.T) {
	b := newBench(t)
	b.svg(shades)
	b.knockOut()
	red, other := colour.RGB{R: 0xd0, G: 0x30, B: 0x20}, colour.RGB{R: 0xd8, G: 0x38, B: 0x28}
	hues := job.Hues{}.Lock(other, true).Part(job.Pair{A: colour.RGB{R: 0x20, G: 0x40, B: 0xc0}, B: colour.RGB{R: 0x28, G: 0x48, B: 0xc8}})
	var f Fewer
	b.Fewer(3, nil, hues, func(found Fewer, err error) {
		if err != nil {
			t.Error(err)
		}
		f = found
	})
	b.settle()
	if len(f.After.Separations) != 3 || f.Choices[red].Sheet == nil || f.Choices[red].Sheet.Pressed != other {
		t.Fatalf("%+v", f.Choices)
	}
	if err := b.Assign(f.Choices, hues, false); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if p, _ := b.Plan(); len(p.Separations) != 3 || !b.Job().Settings.Hues.Says() {
		t.Errorf("%d separations, %+v", len(p.Separations), b.Job().Settings.Hues)
	}
	b.Undo()
	b.settle()
	if p, _ := b.Plan(); len(p.Separations) != 4 || b.Job().Settings.Hues.Says() {
		t.Errorf("%d separations, %+v after undoing", len(p.Separations), b.Job().Settings.Hues)
	}
}

func TestFewer_IsWorkedOutFromWhatWasDrawnEachTime(t *testing.T) {
	b := newBench(t)
	b.svg(shades)
	b.knockOut()
	two := b.fewer(2, nil)
	if len(two.Before.Separations) != 4 || len(two.After.Separations) != 2 || len(two.Merged) != 4 {
		t.Fatalf("%d, %d, %+v", len(two.Before.Separations), len(two.After.Separations), two.Merged)
	}
	if b.UndoLabel() != "knock" {
		t.Error("looking is not doing")
	}
	if err := b.Assign(two.Choices, job.Hues{}, false); err != nil {
		t.Fatal(err)
	}
	b.settle()
	if p, _ := b.Plan(); len(p.Separations) != 2 || b.UndoLabel() != "ui-step-colours" {
		t.Errorf("%d separations", len(p.Separations))
	}
	// From two to three, and what is bare stays bare.
	if three := b.fewer(3, nil); len(three.Before.Separations) != 4 || len(three.After.Separations) != 3 {
		t.Errorf("%d, %d", len(three.Before.Separations), len(three.After.Separations))
	}
	if err := b.Assign(map[colour.RGB]workshop.SheetChoice{{R: 0x20, G: 0x40, B: 0xc0}: {Bare: true}}, job.Hues{}, false); err != nil {
		t.Fatal(err)
	}
	mine := []drawer.Sheet{{Name: "Tomato", Pressed: colour.RGB{R: 0xd0, G: 0x2f, B: 0x21}, Count: 1}, {Name: "Royal", Pressed: colour.RGB{R: 0x21, G: 0x41, B: 0xc1}, Count: 1}}
	f := b.fewer(0, mine)
	if len(f.After.Separations) != 2 || !f.Choices[colour.RGB{R: 0x20, G: 0x40, B: 0xc0}].Bare || f.After.BareMM2 < 799 {
		t.Errorf("%+v, %g mm² bare", f.Choices, f.After.BareMM2)
	}
}

func TestArtColours_AreThoseOfTheArt(t *testing.T) {
	b := newBench(t)
	b.svg(shades)
	var got []workshop.ArtColour
	b.ArtColours(func(c []workshop.ArtColour, err error) {
		if err != nil {
			t.Error(err)
		}
		got = c
	})
	b.settle()
	if len(got) != 4 || b.changes&WorkChanged != 0 {
		t.Errorf("%d colours, told %b", len(got), b.changes)
	}
}

func TestDrawer_IsKeptAcrossSessions(t *testing.T) {
	path := filepath.Join(t.TempDir(), "abut", "drawer.csv")
	a, b := newBench(t), newBench(t)
	a.KeepDrawerIn(path)
	b.KeepDrawerIn(path)
	if err := a.SetDrawer([]drawer.Sheet{{Name: "Tomato", Count: 3}}); err != nil {
		t.Fatal(err)
	}
	got, err := b.Drawer()
	if err != nil || len(got) != 1 || got[0].Count != 3 {
		t.Error(got, err)
	}
	c := newBench(t) // keeps none
	if err := c.SetDrawer(got); err != nil {
		t.Fatal(err)
	}
	if got, err := c.Drawer(); err != nil || len(got) != 1 {
		t.Error(got, err)
	}
}

func TestAssign_MendsAnewButForWhatWasMendedByHand(t *testing.T) {
	b := newBench(t)
	b.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="60" height="40" fill="#d03020"/><rect x="10" y="10" width="30" height="0.5" fill="#2040c0"/>
<rect x="10" y="20" width="30" height="0.4" fill="#2848c8"/></svg>`)
	b.knockOut()
	b.Keep(b.Weak().Spots[0])
	b.settle()
	b.MendAll()
	b.settle()
	if plan, _ := b.Plan(); len(plan.Mends) != 2 {
		t.Fatalf("%+v", plan.Mends)
	}
	f := b.fewer(2, nil)
	for _, anew := range []bool{false, true} {
		stay := 2
		if anew {
			stay = 1
		}
		if err := b.Assign(f.Choices, job.Hues{}, anew); err != nil {
			t.Fatal(err)
		}
		if mends := b.Job().Items[0].Mends; len(mends) != stay {
			t.Errorf("mended anew: %v, and until then %+v stay", anew, mends)
		}
		b.settle()
		if !anew {
			if b.UndoLabel() != "ui-step-colours" {
				t.Errorf("not mended anew, and the last step is %s", b.UndoLabel())
			}
			b.Undo()
			b.settle()
		}
	}
	plan, _ := b.Plan()
	hand := 0
	for _, m := range plan.Mends {
		if m.ByHand && m.Do == job.Keep {
			hand++
		}
	}
	if w := b.Weak(); hand != 1 || len(plan.Mends) != 2 || w.Open() != 0 || b.UndoLabel() != "ui-step-mend-all" {
		t.Errorf("%+v, %+v", plan.Mends, w)
	}
}
