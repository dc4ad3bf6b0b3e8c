package window

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/ui/controls"
	"abut/ui/pick"
	"abut/ui/theme"
)

// shortcut gives a key with its modifiers to the window as the desktop does: to
// what has the focus if it takes any, else to the window.
func (s *stage) shortcut(k fyne.Shortcut) {
	if f, is := s.win.Canvas().Focused().(fyne.Shortcutable); is {
		f.TypedShortcut(k)
		return
	}
	s.win.Canvas().(fyne.Shortcutable).TypedShortcut(k)
}

// everyDialog are the dialogs that lie over a design with a text selected.
func (s *stage) everyDialog() map[string]func() {
	return map[string]func(){
		"keys": s.ask.Keys, "steps": s.ask.History, "about": s.ask.About, "blank": s.ask.Blank, "press": s.ask.Press, "export": s.ask.Export, "size": s.ask.Size,
		"name": s.ask.Name, "colour": s.ask.Colour, "settings": s.ask.Settings, "find": s.ask.FindAction, "base": s.ask.Base, "save": func() { s.run("save-as") },
		"family": func() { s.askFamily("", func(string) {}, func() {}, func() {}) }, "drawer": s.sheets.Drawer, "colours": s.sheets.Colours, "fewer": s.sheets.Fewer, "cut": s.sheets.MarkCut, "layout": s.sheets.LayOut, "list": func() { s.sheets.List(s.listFile("name\nAda\nBo\n")) },
		"open": s.askOpen, "folder": func() { s.files.Folder(s.options.Home, func(string) {}) },
		"tint": func() {
			s.pick.Colour("Colour", pick.Palette[0], []pick.Group{{Heading: "Plain", Colours: pick.Palette}}, func(colour.RGB) {})
		},
		"lesson": func() { s.run("class-steps") }, "handout": func() { s.run("class-handout") },
		"message": func() { s.trouble(errors.New("disk")) },
	}
}

// Whatever lies over the window, and whichever widget in it has the keyboard: no
// key of any command reaches what is behind, and Escape answers.
func TestDialogs_NothingBehindReacts(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.run("ui-add-text")
	s.settle()
	s.move(3, 3)
	s.run("copy")
	s.settle()
	s.keepBehind(t, s.everyDialog())
	traced := newStage(t, usual, theme.AlwaysLight)
	traced.Open(pixels(t))
	traced.settle()
	traced.desk.Clear()
	traced.run("select-all")
	traced.settle()
	traced.keepBehind(t, map[string]func(){"trace": func() { traced.run("trace") }})
}

// keepBehind tries all keys in dialogs.
func (s *stage) keepBehind(t *testing.T, dialogs map[string]func()) {
	t.Helper()
	for name, show := range dialogs {
		show()
		s.settle()
		if !s.desk.Open() {
			t.Errorf("%s is no dialog", name)
			continue
		}
		at, selection, top := s.session.At(), slices.Clone(s.session.Selection()), s.desk.Top()
		seen := map[fyne.Focusable]bool{}
		for range 40 {
			f := s.win.Canvas().Focused()
			if f == nil {
				t.Errorf("%s: nothing has the focus", name)
				break
			}
			if seen[f] {
				break
			}
			seen[f] = true
			for _, c := range s.commands.All() {
				if c.Key == nil || c.Over {
					continue
				}
				s.shortcut(c.Key)
				if s.desk.Top() != top || s.session.At() != at || !slices.Equal(s.session.Selection(), selection) {
					t.Fatalf("%s: with %T focused, the key of %q reaches what is behind", name, f, c.ID)
				}
			}
			s.win.Canvas().(interface{ FocusNext() }).FocusNext()
		}
		for f := range seen {
			if _, is := f.(controls.Answering); !is && f != s.win.Canvas().Focused() {
				t.Errorf("%s: %T does not answer Escape", name, f)
			}
		}
		s.settle() // what was pasted into an entry may be worked on
		if s.session.At() != at {
			t.Errorf("%s: something came of it later", name)
		}
		s.desk.Clear()
		s.settle()
	}
}

// What goes wrong late lies over the dialog that is being filled in, and leaves
// what was typed as it was.
// Of several files that are opened one after another it is said which could not be.
func TestTrouble_NamesTheFile(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.session.OpenSVG("harbour.svg", strings.NewReader("<svg"))
	s.settle()
	var titles []string
	for _, h := range overlay[*controls.Line](s) {
		titles = append(titles, h.Text())
	}
	if want := say("ui-trouble-open", "file", "harbour.svg"); !slices.Contains(titles, want) {
		t.Errorf("%q, want %q", titles, want)
	}
}

// That nothing is cut is not said while nobody knows yet.
func TestBase_IsSilentUntilThereIsAPlan(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.session.Use(s.session.Job(), "")
	if s.planNow() != nil {
		t.Fatal("it is known at once")
	}
	said := func() bool {
		for _, o := range test.LaidOutObjects(s.win.Canvas().Content()) {
			if l, ok := o.(*controls.Line); ok && l.Text() == say("ui-details-none") {
				return true
			}
		}
		return false
	}
	if said() {
		t.Error("nothing is cut, it says")
	}
	s.settle()
	s.session.SetUse(s.session.Job().LayerIDs(), job.LeftOut)
	s.settle()
	if !said() {
		t.Error("all is left out, and nothing says that nothing is cut")
	}
}

func TestTrouble_LeavesWhatIsTyped(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.session.Select([]job.LayerID{3})
	s.run("rename")
	e := overlay[*controls.Entry](s)[0]
	test.Type(e, "Old ")
	top := s.desk.Top()
	s.trouble(errors.New("the disk is full"))
	if s.desk.Top() == top || !top.Shown() {
		t.Fatal("it took the place of the question")
	}
	s.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if s.desk.Top() != top || s.win.Canvas().Focused() != e || e.Text != "Old " {
		t.Errorf("typed %q, focus %T", e.Text, s.win.Canvas().Focused())
	}
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s.settle()
	if l, _, _ := s.session.Job().Layer(3); l.Name != "Old" {
		t.Errorf("it is called %q", l.Name)
	}
}
