package window

import (
	"fmt"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/theme"
)

// The window becomes as small as a small screen, of which a menu takes 27 units, in every language.
func TestWindow_FitsASmallScreen(t *testing.T) {
	t.Cleanup(func() { words.Use(words.English()) })
	for _, l := range words.Languages() {
		words.Use(words.For(l.Tag))
		s := newStage(t, fyne.NewSize(640, 453), theme.AlwaysLight)
		check := func(state string) {
			t.Helper()
			s.settle()
			if m := s.win.Content().MinSize(); m.Width > 640 || m.Height > 453 {
				t.Errorf("%s, %s: at least %v × %v", l.Tag, state, m.Width, m.Height)
			}
			for _, o := range s.outside() {
				t.Errorf("%s, %s: %s", l.Tag, state, o)
			}
		}
		check("start")
		s.walk.Begin()
		s.demo("rich")
		check("stacked")
		s.session.Select(s.session.Job().LayerIDs()[:1])
		check("one selected")
		s.knockOut()
		for m := board.Art; m <= board.Assembly; m++ {
			s.showView(m)
			check(fmt.Sprint("view ", m))
		}
		s.run("next-spot")
		check("weak spot")
		for name, show := range s.everyDialog() {
			show()
			check(name)
			s.desk.Clear()
		}
	}
}

// Where there is no room for both columns the list and Details take turns, and both are there again with more.
func TestWindow_ShowsOneColumnAtATimeWhereItIsNarrow(t *testing.T) {
	s := newStage(t, fyne.NewSize(640, 453), theme.AlwaysLight)
	s.demo("rich")
	s.knockOut()
	open := func(when string, left, right bool) {
		t.Helper()
		s.settle()
		s.look()
		l, r := s.panels.Open()
		if l != left || r != right || s.commands.Get("layers").IsOn() != left || s.commands.Get("details").IsOn() != right {
			t.Errorf("%s: the list is open: %v, Details: %v", when, l, r)
		}
	}
	open("at first", false, true)
	s.run("layers")
	open("asked for the list", true, false)
	s.run("layers")
	open("and not", false, true)
	s.run("layers")
	s.win.Resize(fyne.NewSize(1024, 673))
	open("with more room", true, true)
	s.win.Resize(fyne.NewSize(640, 453))
	open("with less again", true, false)
	s.run("find-layer")
	open("the list is needed", true, false)
	s.run("next-spot")
	open("Details are needed", false, true)
}

// What can be done by hand with a layout is said whole on a small screen, too, in fewer words.
func TestDialogLayout_SaysOnASmallScreenWhatTheHandDoes(t *testing.T) {
	t.Cleanup(func() { words.Use(words.English()) })
	for _, l := range words.Languages() {
		words.Use(words.For(l.Tag))
		s := newStage(t, fyne.NewSize(800, 573), theme.AlwaysLight)
		s.demo("pair")
		s.knockOut()
		s.settle()
		s.run("layout")
		s.settle()
		found := false
		for _, o := range test.LaidOutObjects(s.win.Canvas().Overlays().Top()) {
			if c, is := o.(*canvas.Text); is && c.Visible() {
				found = found || c.Text == say("ui-layout-hand-short") || c.Text == say("ui-layout-hand")
			}
		}
		if !found {
			t.Errorf("%s: it is not said, or cut short", l.Tag)
		}
	}
}
