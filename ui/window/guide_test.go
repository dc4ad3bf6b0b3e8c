package window

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// The walk goes on by what is done: each stop names what is highlighted, and what is
// taken back brings its stop again. Once through, it is not offered again.
func TestWalk_GoesOnByWhatIsDone(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	at := func(id string) {
		t.Helper()
		s.settle()
		if got := s.walk.Text(); got != say(id) || s.walk.Object.Hidden {
			t.Fatalf("the walk says %q (hidden: %v), want %s", got, s.walk.Object.Hidden, id)
		}
	}
	next := func(step session.Step) {
		t.Helper()
		if n := s.state.Verdict().Next; n != step {
			t.Fatalf("step %d is highlighted, want %d", n, step)
		}
	}
	if !s.walk.Object.Hidden {
		t.Error("the walk began by itself")
	}
	s.run("walk")
	at("walk-stacked")
	next(session.KnockStep)
	s.showView(3) // it tells of what cannot be seen yet
	s.showView(0)
	at("walk-stacked")
	s.run("knock-all")
	at("walk-mend")
	next(session.MendStep)
	s.run("undo")
	at("walk-stacked")
	s.run("redo")
	at("walk-mend")
	s.run("mend-all")
	at("walk-sheets")
	s.showView(2)
	at("walk-assembly")
	s.Rebuild() // in another language, say
	at("walk-assembly")
	s.showView(3)
	at("walk-export")
	next(session.ExportStep)
	s.run("export")
	s.settle()
	s.desk.Clear()
	at("walk-end")
	if s.prefs.Bool(prefWalked) {
		t.Error("it counts as taken before its end")
	}
	pressIn(t, s.walk.Object, say("ui-done")).Tapped(nil)
	if !s.walk.Object.Hidden || !s.prefs.Bool(prefWalked) {
		t.Error("the walk did not end")
	}
	s.run("walk") // asks first: the boat was knocked out and mended
	s.settle()
	if !s.walk.Object.Hidden {
		t.Error("it begins before what is open may be left")
	}
}

// It is offered to whoever is new, and no longer once skipped; a picture that is closed
// ends it without that.
func TestWalk_IsOfferedUntilItIsSkipped(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	offered := func() bool {
		var found bool
		each(s.start.Object, func(o fyne.CanvasObject) {
			if p, is := o.(*controls.Press); is && p.Label == say("walk-begin") {
				found = true
			}
		})
		return found
	}
	if !offered() {
		t.Fatal("not offered")
	}
	s.run("walk")
	s.settle()
	s.run("close")
	s.settle()
	if !offered() || !s.walk.Object.Hidden {
		t.Error("not offered after the picture was closed")
	}
	s.run("walk")
	s.settle()
	pressIn(t, s.walk.Object, say("walk-skip")).Tapped(nil)
	s.run("close")
	s.settle()
	if offered() {
		t.Error("offered though it was skipped")
	}
}

// Signs beside headings of the window and of dialogs open the guide at what tells of
// them, in every language, and one window of it is enough.
func TestGuide_OpensAtWhatIsAsked(t *testing.T) {
	t.Cleanup(func() { words.Use(words.English()) })
	for tag, want := range map[string]map[string]string{
		"en": {"ui-layers": "Knock out", "ui-details-size": "Size and blank", "ui-details-stacked": "What stacks", "ui-details-frame": "Base and frame"},
		"de": {},
	} {
		words.Use(words.For(tag))
		s := newStage(t, usual, theme.AlwaysLight)
		s.demo("pair")
		for id, title := range want {
			hint := say("manual-about", "title", say(id))
			var sign *controls.Mark
			each(s.win.Content(), func(o fyne.CanvasObject) {
				if m, is := o.(*controls.Mark); is && m.Hint == hint {
					sign = m
				}
			})
			if sign == nil {
				t.Fatalf("no sign beside %s", id)
			}
			sign.Tapped(nil)
			if s.manual == nil || s.manual.Title() != title {
				t.Errorf("%s leads to another place than %q", id, title)
			}
		}
		first := s.manual
		s.run("blank")
		s.settle()
		hint := say("manual-about", "title", say("ui-blank-title"))
		found := false
		each(s.win.Canvas().Overlays().Top(), func(o fyne.CanvasObject) {
			if m, is := o.(*controls.Mark); is && m.Hint == hint {
				found = true
				m.Tapped(nil)
			}
		})
		if !found || s.manual == nil || first != nil && s.manual != first {
			t.Errorf("%s: the dialog's sign: %v", tag, found)
		}
		s.run("guide") // over a dialog, too
		s.desk.TypedKey(&fyne.KeyEvent{Name: fyne.KeyF1})
		if got := s.manual.Title(); tag == "en" && got != "Size and blank" {
			t.Errorf("the key for help in the dialog of the blank shows %q", got)
		}
		s.manual.Close()
		if s.manual != nil {
			t.Error("it is closed and still there")
		}
		controls.Entries(s.desk.Top().Body)[0].TypedKey(&fyne.KeyEvent{Name: fyne.KeyF1})
		if s.manual == nil {
			t.Fatal("the key for help does nothing in an entry of a dialog")
		}
		s.manual.Close()
		s.desk.Clear()
		s.field("ui-details-width", 0).TypedKey(&fyne.KeyEvent{Name: fyne.KeyF1})
		if s.manual == nil {
			t.Fatal("the key for help does nothing in a field")
		}
		s.manual.Close()
		s.board.TypedKey(&fyne.KeyEvent{Name: fyne.KeyF1})
		if s.manual == nil {
			t.Error("the key for help does nothing on the board")
		}
		s.manual.Close()
		s.tool("frame").TypedKey(&fyne.KeyEvent{Name: fyne.KeyF1})
		if s.manual == nil {
			t.Fatal("the key for help does nothing on a tool")
		}
		s.manual.Close()
	}
}

// each looks at all that is to be seen of an object.
func each(o fyne.CanvasObject, look func(fyne.CanvasObject)) {
	if !o.Visible() {
		return
	}
	look(o)
	switch o := o.(type) {
	case *container.Scroll:
		each(o.Content, look)
	case *fyne.Container:
		for _, x := range o.Objects {
			each(x, look)
		}
	case fyne.Widget:
		for _, x := range test.WidgetRenderer(o).Objects() {
			each(x, look)
		}
	}
}

func pressIn(t *testing.T, root fyne.CanvasObject, label string) (found *controls.Press) {
	t.Helper()
	each(root, func(o fyne.CanvasObject) {
		if p, is := o.(*controls.Press); is && p.Label == label {
			found = p
		}
	})
	if found == nil {
		t.Fatalf("nothing to press says %q", label)
	}
	return found
}

// Every sign of a dialog leads to a place that there is, and the dialogs of each step
// of the work have one.
func TestGuide_DialogsLeadToTheirStep(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	want := map[string]string{
		"size": "Size and blank", "blank": "Size and blank", "colours": "Sheets and colours", "fewer": "Sheets and colours", "drawer": "Sheets and colours",
		"base": "Base and frame", "export": "Export", "cut": "Cut", "press": "Press", "lesson": "Before the lesson",
	}
	for name, show := range s.everyDialog() {
		if want[name] == "" {
			continue
		}
		show()
		s.settle()
		s.desk.TypedKey(&fyne.KeyEvent{Name: fyne.KeyF1})
		if s.manual == nil || s.manual.Title() != want[name] {
			t.Errorf("%s does not lead to %q", name, want[name])
		}
		s.desk.Clear()
	}
}
