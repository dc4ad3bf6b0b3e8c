package session

import (
	"testing"

	"abut/internal/job"
)

// What is too large is said before anything is mended, and what comes next is where
// that can be changed: the blank where art reaches beyond it, else the size.
func TestVerdict_WhatIsTooLargeLeadsToBlankOrSize(t *testing.T) {
	b := newBench(t)
	b.demo("pair")
	b.knockOut()
	b.Resize(2000, 0)
	b.settle()
	if v := b.State().Verdict(); v.Next != SizeStep {
		t.Errorf("two metres: %+v", v)
	}
	b.Resize(84, 0)
	b.settle()
	plan, _ := b.Plan()
	for size, want := range map[float64]Step{60: BlankStep, 200: MendStep} {
		b.Tried("blank", func(j job.Job) (job.Job, error) {
			return job.SetBlankShape(j, &job.Blank{Name: "Tile", WidthMM: size, HeightMM: size, At: plan.Extent.Centre()})
		})
		b.settle()
		if v := b.State().Verdict(); v.Next != want {
			t.Errorf("a blank of %g mm: %+v, want step %v", size, v, want)
		}
	}
}

func TestUnits_AreOfTheDocumentThatIsOpenAndOfThoseToCome(t *testing.T) {
	b := newBench(t)
	b.SetUnits(job.Inches) // nothing is open
	b.demo("pair")
	if b.Job().Settings.Units != job.Inches {
		t.Error("what is opened later has other units")
	}
	b.SetUnits(job.Inches)
	if b.CanUndo() {
		t.Error("the same units again are a step")
	}
	b.SetUnits(job.Millimetres)
	if !b.CanUndo() || b.Job().Settings.Units != job.Millimetres {
		t.Error("the units are not changed")
	}
}

// The size is known of art whose file says it, of what was saved, and of what was
// worked on before; else it is asked for once.
func TestSized_KnowsWhenTheSizeNeedNotBeAskedFor(t *testing.T) {
	const none = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M0 0h9v9z"/></svg>`
	b := newBench(t)
	b.svg(none)
	if b.Sized() {
		t.Error("nothing says how large it is")
	}
	b.AcceptSize()
	if !b.Sized() {
		t.Error("accepted, and still asked for")
	}
	b.svg(none)
	if b.Sized() {
		t.Error("the size of another picture counts")
	}
	if err := b.save(b.t.TempDir()+"/art.abut", false); err != nil {
		t.Fatal(err)
	}
	if !b.Sized() {
		t.Error("saved, and still asked for")
	}
	b.demo("pair")
	if !b.Sized() {
		t.Error("the file says its size")
	}
}
