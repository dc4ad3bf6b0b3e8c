package window

import (
	"bytes"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/ui/controls"
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

// A window that is closed in mid-show, as when its display is unplugged, takes the
// class and the teacher's screen with it, also while a lesson is still being made.
func TestClass_EndsWithTheWindow(t *testing.T) {
	for _, begun := range []bool{true, false} {
		s := newStage(t, usual, theme.AlwaysLight)
		s.demo("pair")
		others := len(fyne.CurrentApp().Driver().AllWindows()) - 1
		s.run("class")
		if begun {
			s.settle()
			s.class.Next()
			s.class.Teach()
			if n := len(fyne.CurrentApp().Driver().AllWindows()) - others; n != 3 {
				t.Fatalf("%d windows, want the document, the class and the teacher's", n)
			}
		}
		ended := false
		s.close(func() { ended = true })
		s.settle()
		if n := len(fyne.CurrentApp().Driver().AllWindows()) - others; n != 0 || !ended || s.class != nil {
			t.Errorf("begun %v: %d windows stay", begun, n)
		}
	}
}

// A class shows what was open when it began, whatever becomes of that.
func TestClass_StaysWhenTheDocumentChanges(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.run("class")
	s.settle()
	shown := s.class
	shown.Next()
	s.run("select-all")
	s.run("delete")
	s.settle()
	s.demo("nested")
	shown.Next()
	if s.class != shown {
		t.Error("another document ends the class")
	}
	s.run("class")
	s.settle()
	if s.class != shown {
		t.Error("a second class lies over the first")
	}
	s.endClass()
}

// What a teacher chooses is a step of the history and part of the job.
func TestClass_StepsAreHiddenInTheDialog(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.run("class-steps")
	s.settle()
	var ticks []*controls.Check
	for _, o := range test.LaidOutObjects(s.win.Canvas().Overlays().Top()) {
		if c, is := o.(*controls.Check); is {
			ticks = append(ticks, c)
		}
	}
	ticks[1].SetChecked(false)
	controls.Entries(s.desk.Top().Body)[0].TypedRune('B')
	s.press(say("class-steps-keep")).Tapped(nil)
	s.settle()
	l := s.session.Job().Settings.Lesson
	if len(l.Hidden) != 1 || l.Hidden[0] != "apart" || l.Captions["picture"] != "B" || l.Order != nil {
		t.Errorf("%+v", l)
	}
	s.session.Undo()
	if l := s.session.Job().Settings.Lesson; len(l.Hidden) != 0 {
		t.Errorf("after undoing: %+v", l)
	}
}
