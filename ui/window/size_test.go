package window

import (
	"math"
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/theme"
)

// noSize says nothing of its size; its art is 60 × 30 of 100 × 100 units.
const noSize = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect x="20" y="20" width="60" height="30" fill="#d03020"/><circle cx="50" cy="35" r="10" fill="#2040c0"/></svg>`

// asked answers the dialog about the size.
type asked struct {
	by, units *controls.Choice
	entry     *dialogs.Entry
}

func (s *stage) asked() (a asked) {
	s.t.Helper()
	for _, o := range test.LaidOutObjects(s.win.Canvas().Overlays().Top()) {
		switch o := o.(type) {
		case *controls.Choice:
			if a.by == nil {
				a.by = o
			} else {
				a.units = o
			}
		case *dialogs.Entry:
			a.entry = o
		}
	}
	if a.by == nil {
		s.t.Fatal("the size is not asked for")
	}
	return a
}

func (s *stage) artIs(what string, width, height float64) {
	s.t.Helper()
	s.settle()
	p := s.planNow()
	if p == nil || math.Abs(p.Extent.Width()-width) > 1e-3 || math.Abs(p.Extent.Height()-height) > 1e-3 {
		s.t.Errorf("%s: the art is %v, want %g × %g", what, p.Extent, width, height)
	}
}

func TestSize_IsAskedForWhereTheFileIsSilent(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	set := func() { s.press(say("ui-size-set")).Tapped(nil); s.settle() }

	s.svg(noSize)
	s.asked().entry.SetText("90")
	set()
	s.artIs("width", 90, 45)

	s.askSize()
	if a := s.asked(); a.entry.Text != "90" || a.by.Chosen() != byWidth {
		t.Errorf("what was said last is not remembered: %q", a.entry.Text)
	}
	s.asked().by.OnChosen(byHeight)
	if a := s.asked(); a.entry.Text != "45" {
		t.Errorf("the height for a width of 90 is said to be %q", a.entry.Text)
	}
	s.asked().units.OnChosen(int(job.Inches))
	s.asked().entry.SetText("2")
	set()
	s.artIs("height", 101.6, 50.8)
	if s.session.Job().Settings.Units != job.Inches {
		t.Error("inches are not kept")
	}

	s.askSize()
	s.asked().entry.SetText("wide")
	set()
	if s.win.Canvas().Overlays().Top() == nil {
		t.Error("no length, and no question left")
	}
	s.desk.Clear()
	s.artIs("no length", 101.6, 50.8)

	// A round coaster of 90 mm with a safe area 3 mm inside: a rectangle of two to
	// one in a circle of 84 is 84·2/√5 wide.
	s.askSize()
	s.asked().by.OnChosen(byBlank)
	s.press(say("ui-blank-round-coaster")).Tapped(nil)
	set()
	s.artIs("blank", 168/math.Sqrt(5), 84/math.Sqrt(5))
	b := s.session.Job().Settings.BlankShape
	if b == nil || b.Name != say("ui-blank-round-coaster") {
		t.Fatalf("blank %+v", b)
	}
	steps, _ := s.session.Steps()
	s.session.Undo()
	s.settle()
	s.artIs("undone", 101.6, 50.8)
	if s.session.Job().Settings.BlankShape != nil || steps[len(steps)-1] != "ui-step-fill-blank" {
		t.Error("filling a blank is not one step")
	}

	s.svg(noSize)
	if a := s.asked(); a.by.Chosen() != byBlank {
		t.Error("the next picture is not asked about in the same way")
	}
}

// With ABUT_PICTURES set to a folder it keeps the dialog there to be looked at.
func TestSize_Pictures(t *testing.T) {
	looks(t, "size", func(s *stage, keep func(string)) {
		s.svg(noSize)
		keep("width")
		s.asked().by.OnChosen(byBlank)
		keep("blank")
	})
}
