package controls

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

func TestSection_FoldsByItsHeadingAndTellsIt(t *testing.T) {
	setUp(t)
	var told []bool
	s := NewSection("Frame", "", NewLine("a line", Text))
	s.OnFolded = func(f bool) { told = append(told, f) }
	w := test.NewTempWindow(t, s.Object)
	high := s.Object.MinSize().Height
	w.Canvas().FocusNext()
	if w.Canvas().Focused() != s.head {
		t.Fatal("the heading is no stop of Tab")
	}
	s.head.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if low := s.Object.MinSize().Height; low >= high || len(told) != 1 || !told[0] {
		t.Errorf("folded it is %g high, unfolded %g; told %v", low, high, told)
	}
	test.Tap(s.head)
	if back := s.Object.MinSize().Height; back != high || len(told) != 2 || told[1] {
		t.Errorf("unfolded again it is %g high, was %g; told %v", back, high, told)
	}
	s.SetShown(false)
	if s.Object.Visible() {
		t.Error("taken away, yet there")
	}
}
