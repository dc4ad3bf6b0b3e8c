package ask

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// noSize says nothing of its size; its art is 60 × 30 of 100 × 100 units.
const noSize = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect x="20" y="20" width="60" height="30" fill="#d03020"/><circle cx="50" cy="35" r="10" fill="#2040c0"/></svg>`

// asked answers the dialog about the size.
type asked struct {
	by, units *controls.Choice
	entry     *controls.Entry
}

func (r *rig) asked() (a asked) {
	r.t.Helper()
	for _, o := range test.LaidOutObjects(r.win.Canvas().Overlays().Top()) {
		switch o := o.(type) {
		case *controls.Choice:
			if a.by == nil {
				a.by = o
			} else {
				a.units = o
			}
		case *controls.Entry:
			a.entry = o
		}
	}
	if a.by == nil {
		r.t.Fatal("the size is not asked for")
	}
	return a
}

func (r *rig) artIs(what string, width, height float64) {
	r.t.Helper()
	r.settle()
	p := r.plan()
	if p == nil || math.Abs(p.Extent.Width()-width) > 1e-3 || math.Abs(p.Extent.Height()-height) > 1e-3 {
		r.t.Errorf("%s: the art is %v, want %g × %g", what, p.Extent, width, height)
	}
}

func TestSize_IsAskedForWhereTheFileIsSilent(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	set := func() { r.press(say("ui-size-set")).Tapped(nil); r.settle() }

	r.svg(noSize)
	r.Size()
	r.asked().entry.SetText("90")
	set()
	r.artIs("width", 90, 45)

	r.Size()
	if a := r.asked(); a.entry.Text != "90" || a.by.Chosen() != byWidth {
		t.Errorf("what was said last is not remembered: %q", a.entry.Text)
	}
	r.asked().by.OnChosen(byHeight)
	if a := r.asked(); a.entry.Text != "45" {
		t.Errorf("the height for a width of 90 is said to be %q", a.entry.Text)
	}
	r.asked().units.OnChosen(int(job.Inches))
	r.asked().entry.SetText("2")
	set()
	r.artIs("height", 101.6, 50.8)
	if r.Session.Job().Settings.Units != job.Inches {
		t.Error("inches are not kept")
	}

	r.Size()
	r.asked().entry.SetText("wide")
	set()
	if r.win.Canvas().Overlays().Top() == nil {
		t.Error("no length, and no question left")
	}
	r.Desk.Clear()
	r.artIs("no length", 101.6, 50.8)

	// A round coaster of 90 mm with a safe area 3 mm inside: a rectangle of two to
	// one in a circle of 84 is 84·2/√5 wide.
	r.Size()
	r.asked().by.OnChosen(byBlank)
	r.press(say("ui-blank-round-coaster")).Tapped(nil)
	set()
	r.artIs("blank", 168/math.Sqrt(5), 84/math.Sqrt(5))
	b := r.Session.Job().Settings.BlankShape
	if b == nil || b.Name != say("ui-blank-round-coaster") {
		t.Fatalf("blank %+v", b)
	}
	steps, _ := r.Session.Steps()
	r.Session.Undo()
	r.settle()
	r.artIs("undone", 101.6, 50.8)
	if r.Session.Job().Settings.BlankShape != nil || steps[len(steps)-1] != "ui-step-fill-blank" {
		t.Error("filling a blank is not one step")
	}

	r.svg(noSize)
	r.Size()
	if a := r.asked(); a.by.Chosen() != byBlank {
		t.Error("the next picture is not asked about in the same way")
	}
}

// With ABUT_PICTURES set to a folder it keeps the dialog there to be looked at.
func TestSize_Pictures(t *testing.T) {
	looks(t, "size", func(r *rig, keep func(string)) {
		r.svg(noSize)
		r.Size()
		keep("width")
		r.asked().by.OnChosen(byBlank)
		keep("blank")
	})
}

// Paper that stays bare around a picture counts for its size: the dialog says so, and leaves it out where that is wanted.
func TestSize_TellsOfPaperAroundIt(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	paper := func() *controls.Check {
		for _, c := range overlay[*controls.Check](r) {
			return c
		}
		return nil
	}
	r.svg(noSize)
	r.Size()
	if paper() != nil {
		t.Error("paper is offered to be left out where there is none")
	}
	r.press(say("ui-size-set")).Tapped(nil)
	r.settle()
	r.svg(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><path fill="#fff" fill-rule="evenodd" d="M0 0h100v100h-100zM20 20v30h60v-30z"/><rect x="20" y="20" width="60" height="30" fill="#d03020"/></svg>`)
	r.settle()
	r.Size()
	c := paper()
	if c == nil {
		t.Fatal("nothing is said of the paper")
	}
	r.asked().entry.SetText("90")
	if counts := say("ui-size-paper-counts", "size", words.SizeIn(54, 27, job.Millimetres)); !r.said(counts) {
		t.Errorf("%q is not said", counts)
	}
	c.SetChecked(true)
	if comes := say("ui-size-comes", "size", words.SizeIn(90, 45, job.Millimetres)); !r.said(comes) {
		t.Errorf("%q is not said", comes)
	}
	r.press(say("ui-size-set")).Tapped(nil)
	r.artIs("without its paper", 90, 45)
}

// A picture that is dropped while the size is asked for counts, too.
func TestSize_FollowsWhatComesMeanwhile(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.svg(noSize)
	r.Size()
	one := r.sizing.shape
	file := filepath.Join(t.TempDir(), "buoy.svg")
	if err := os.WriteFile(file, []byte(noSize), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Session.Add([]string{file}, nil)
	r.settle()
	r.PlanFound()
	all := r.artBounds()
	if want := shapeOf(all); math.Abs(want-one) < 0.1 || r.sizing.shape != want {
		t.Errorf("its shape is %g of %g, and was %g", r.sizing.shape, want, one)
	}
	if r.find(say("ui-size-later", "size", words.SizeIn(all.Width(), all.Height(), job.Millimetres))) == nil {
		t.Error("what is there is not offered to be kept")
	}
}
