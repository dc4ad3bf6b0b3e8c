package window

import (
	"fmt"
	"maps"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/words"
	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/inspect"
	"abut/ui/theme"
)

// outside names what on screen reaches beyond the window's sides: words, icons
// to press, entries. And lines that reach beyond their own, which are not cut short.
func (s *stage) outside() []string {
	s.look()
	size := s.win.Canvas().Size()
	roots := []fyne.CanvasObject{s.win.Canvas().Content()}
	if top := s.win.Canvas().Overlays().Top(); top != nil {
		roots = append(roots, top)
	}
	// Where the driver says that something is that is not on screen.
	nowhere := fyne.CurrentApp().Driver().AbsolutePositionForObject(controls.NewLine("", controls.Text))
	var out []string
	seen := 0
	for _, root := range roots {
		for _, o := range test.LaidOutObjects(root) {
			name := ""
			switch o := o.(type) {
			case *controls.Line:
				name = o.Text()
			case *controls.Para:
				name = o.Text()
			case *controls.Press:
				name = o.Label + o.Hint
			case *inspect.Field:
				name = "an entry of " + o.Text
			}
			if name == "" || !o.Visible() {
				continue
			}
			at := fyne.CurrentApp().Driver().AbsolutePositionForObject(o)
			if at != nowhere {
				seen++
			}
			if l, is := o.(*controls.Line); is && at != nowhere && !l.Shrinks {
				if need := fyne.MeasureText(name, l.TextSize, fyne.TextStyle{Bold: l.Bold}).Width; need > o.Size().Width+0.5 {
					out = append(out, fmt.Sprintf("%q has %g of %g", name, o.Size().Width, need))
				}
			}
			if at != nowhere && (at.X < -0.5 || at.X+o.Size().Width > size.Width+0.5) {
				out = append(out, fmt.Sprintf("%q from %g to %g of %g", name, at.X, at.X+o.Size().Width, size.Width))
			}
		}
	}
	if seen < 15 {
		out = append(out, fmt.Sprintf("only %d things are on screen", seen))
	}
	return out
}

// Nothing is cut off at a side, in the smallest window that is promised.
func TestWindow_NothingReachesBeyondItsSides(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysLight)
	check := func(state string) {
		t.Helper()
		s.settle()
		for _, o := range s.outside() {
			t.Errorf("%s: %s", state, o)
		}
	}
	check("start")
	s.demo("rich")
	check("stacked")
	s.selectAll()
	check("all selected")
	s.session.Select(s.session.Selection()[:1])
	check("one selected")
	s.knockOut()
	for m := board.Art; m <= board.Assembly; m++ {
		s.showView(m)
		check(fmt.Sprint("view ", m))
	}
	s.eachDialog(check)
	s.run("next-spot")
	s.settle()
	check("weak spot")
	s.session.Close()
	s.svg(hairline)
	s.knockOut()
	s.settle()
	s.mendAll()
	check("mended")
}

// eachDialog looks at each of the dialogs that are about a picture as a whole.
func (s *stage) eachDialog(check func(name string)) {
	s.t.Helper()
	by := map[string]func(){}
	for _, id := range []string{"press", "settings", "list", "layout", "base", "find-action", "class-steps", "class-handout"} {
		by[id] = func() { s.run(id) }
	}
	maps.Copy(by, map[string]func(){
		"keys": s.ask.Keys, "steps": s.ask.History, "about": s.ask.About, "blank": s.ask.Blank, "save": func() { s.run("save-as") },
		"export": s.ask.Export, "size": s.ask.Size, "name": s.ask.Name, "drawer": s.sheets.Drawer, "colours": s.sheets.Colours,
		"fewer": s.sheets.Fewer, "cut": s.sheets.MarkCut,
	})
	for name, show := range by {
		show()
		if check(name); s.win.Canvas().Overlays().Top() == nil {
			s.t.Errorf("%s: no dialog came up", name)
		}
		s.desk.Clear()
	}
}

// Nor in the language with the longest words, and in a smaller window than is promised.
func TestWindow_NothingReachesBeyondItsSidesInGerman(t *testing.T) {
	words.Use(words.For("de"))
	defer words.Use(words.English())
	for _, size := range []fyne.Size{fyne.NewSize(1024, 673), fyne.NewSize(800, 600)} {
		s := newStage(t, size, theme.AlwaysLight)
		check := func(state string) {
			t.Helper()
			s.settle()
			for _, o := range s.outside() {
				t.Errorf("%g wide, %s: %s", size.Width, state, o)
			}
		}
		s.demo("rich")
		s.knockOut()
		s.session.Select(s.session.Job().LayerIDs()[:1]) // that can be named
		s.eachDialog(check)
		s.run("next-spot")
		check("weak spot")
	}
}
