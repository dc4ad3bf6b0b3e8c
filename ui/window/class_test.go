package window

import (
	"bytes"
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/ui/theme"
)

// A class changes nothing: the document, its history and what is selected are as
// before, also when the window is closed in mid-show.
func TestClass_LeavesTheDocumentAsItIs(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.run("knock-all")
	s.settle()
	s.session.Select(s.session.Job().LayerIDs()[:1])
	before, steps := bits(t, s.session.Job()), s.session.At()
	for range 2 {
		s.run("class")
		s.settle()
		if s.class == nil {
			t.Fatal("no class")
		}
		s.class.Next()
		s.class.Next()
		s.endClass()
		if s.class != nil {
			t.Fatal("the class goes on")
		}
	}
	if !bytes.Equal(bits(t, s.session.Job()), before) || s.session.At() != steps || len(s.session.Selection()) != 1 || !s.session.CanUndo() {
		t.Error("the document is another one after the class")
	}
	s.session.Undo()
	s.settle()
	test.NewCanvas().Capture()
	if s.session.CanUndo() {
		t.Error("a class is a step of the history")
	}
}
