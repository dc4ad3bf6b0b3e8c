package window

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/session"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/theme"
)

// shades are two reds and two blues side by side, and a cream that is nearly
// white.
const shades = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="20" height="40" fill="#d03020"/><rect x="20" width="5" height="40" fill="#d83828"/>
<rect x="25" width="20" height="40" fill="#2040c0"/><rect x="45" width="5" height="40" fill="#2848c8"/>
<rect x="50" width="10" height="40" fill="#faf6ee"/></svg>`

var mySheets = []drawer.Sheet{
	{Name: "Tomato", Pressed: colour.RGB{R: 0xd0, G: 0x2f, B: 0x21}, Unpressed: colour.RGB{R: 0x90, G: 0x50, B: 0x48}, WidthMM: 300, HeightMM: 200, Count: 2, Price: 2.5},
	{Name: "Royal", Pressed: colour.RGB{R: 0x21, G: 0x41, B: 0xc1}, Unpressed: colour.RGB{R: 0x48, G: 0x50, B: 0x80}, WidthMM: 300, HeightMM: 200, Count: 1},
	{Name: "Stripes", Pressed: colour.RGB{R: 0x28, G: 0x48, B: 0xc8}, Unpressed: colour.RGB{R: 0x28, G: 0x48, B: 0xc8}, Count: 4, Pattern: "stripes", Direction: drawer.Upright},
	{Name: "Lemon", Pressed: colour.RGB{R: 0xff, G: 0xee}, Unpressed: colour.RGB{R: 0xc0, G: 0xb0, B: 0x30}, Count: 0},
}

func (s *stage) withDrawer(sheets []drawer.Sheet) {
	s.t.Helper()
	if err := s.session.SetDrawer(sheets); err != nil {
		s.t.Fatal(err)
	}
}

// overlay returns what is on top of the window: widgets of a kind.
func overlay[T fyne.CanvasObject](s *stage) []T {
	s.look()
	var out []T
	for _, o := range test.LaidOutObjects(s.win.Canvas().Overlays().Top()) {
		if x, ok := o.(T); ok {
			out = append(out, x)
		}
	}
	return out
}

func (s *stage) names() string {
	var out []string
	for _, x := range s.planNow().Separations {
		out = append(out, x.Name)
	}
	return strings.Join(out, ", ")
}

func TestColours_GoToTheNearestSheetsOrStayBare(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.withDrawer(mySheets)
	s.svg(shades)
	s.knockOut()
	s.settle()
	if n := len(session.NearWhites(s.planNow(), s.session.Job())); n != 1 {
		t.Errorf("%d colours are proposed to stay bare", n)
	}
	s.sheets.Colours()
	s.settle()
	picks := overlay[*controls.Select](s)
	if len(picks) != 5 {
		t.Fatalf("%d colours", len(picks))
	}
	for _, p := range picks {
		if p.SelectedIndex() != 0 {
			t.Errorf("%q is chosen", p.Selected)
		}
		for _, o := range p.Options {
			if strings.Contains(o, "Lemon") {
				t.Error("a sheet of which none is left is offered")
			}
		}
	}
	s.press(say("ui-colours-bare")).Tapped(nil) // the proposal
	s.press(say("ui-colours-nearest")).Tapped(nil)
	picks = overlay[*controls.Select](s)
	for i, want := range []string{"Tomato · looks the same", "Royal · looks the same", say("ui-colours-bare"), "Royal", "Tomato · almost the same"} {
		if !strings.HasPrefix(picks[i].Selected, want) {
			t.Errorf("%d: %q, want %q", i, picks[i].Selected, want)
		}
	}
	// By hand to the patterned sheet, which takes nothing by itself.
	for _, o := range picks[3].Options {
		if strings.HasPrefix(o, "Stripes") {
			picks[3].SetSelected(o)
		}
	}
	s.press(say("ui-colours-use")).Tapped(nil)
	s.settle()
	if got := s.names(); got != "Tomato, Royal, Stripes" || s.session.UndoLabel() != "ui-step-colours" {
		t.Error(got)
	}
	if n := len(session.NearWhites(s.planNow(), s.session.Job())); n != 0 {
		t.Error("what is bare is proposed again")
	}
	// Nothing new is no step.
	steps, _ := s.session.Steps()
	s.sheets.Colours()
	s.settle()
	s.press(say("ui-colours-use")).Tapped(nil)
	if again, _ := s.session.Steps(); len(again) != len(steps) {
		t.Error("a step without a change")
	}
	s.run("undo")
	s.settle()
	if got := len(s.planNow().Separations); got != 5 {
		t.Errorf("%d separations after undo", got)
	}
}

func TestFewer_ShowsBeforeAndAfter(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.sheets.Fewer()
	s.settle()
	if checks := overlay[*controls.Check](s); len(checks) == 0 || !checks[0].Disabled() {
		t.Error("without a drawer there is nothing that one has")
	}
	most := overlay[*controls.Entry](s)[0]
	most.SetText("none")
	if use := s.press(say("ui-colours-use")); !use.Disabled() {
		t.Error("what is no number can be used")
	}
	most.SetText("3")
	s.settle()
	found := 0
	for _, l := range overlay[*controls.Line](s) {
		if l.Text() == "Before · 5 sheets" || l.Text() == "After · 3 sheets" {
			found++
		}
	}
	if found != 2 {
		t.Error("before and after are not told")
	}
	s.press(say("ui-colours-use")).Tapped(nil)
	s.settle()
	if got := len(s.planNow().Separations); got != 3 {
		t.Errorf("%d sheets", got)
	}
	s.withDrawer(mySheets)
	s.sheets.Fewer()
	s.settle()
	overlay[*controls.Entry](s)[0].SetText("2")
	s.settle()
	s.press(say("ui-colours-use")).Tapped(nil)
	s.settle()
	if got := s.names(); got != "Tomato, Royal" && got != "Royal, Tomato" {
		t.Error(got)
	}
}

// Two blues that become one keep the names that the picture has for them, so that one reads
// which of them stays.
func TestFewer_TellsAlikeColoursApart(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30"><rect width="20" height="30" fill="#2f7ea6"/>
<rect x="20" width="30" height="30" fill="#2a6f96"/><rect x="50" width="10" height="30" fill="#f7d154"/></svg>`)
	s.knockOut()
	s.settle()
	s.sheets.Fewer()
	s.settle()
	overlay[*controls.Entry](s)[0].SetText("2")
	s.settle()
	var rows []string
	for _, l := range overlay[*controls.Line](s) {
		if from, to, is := strings.Cut(l.Text(), " → "); is {
			rows = append(rows, l.Text())
			if strings.HasPrefix(to, from+" (") {
				t.Errorf("%q says nothing", l.Text())
			}
		}
	}
	if len(rows) != 1 || !strings.HasPrefix(rows[0], "Blue") {
		t.Errorf("%q", rows)
	}
}

// What was decided by hand in the dialog is kept with the sheets, and undone with
// them.
func TestFewer_LocksPartsAndJoinsColours(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.sheets.Fewer()
	s.settle()
	overlay[*controls.Entry](s)[0].SetText("3")
	s.settle()
	mark := func(icon string) *controls.Mark {
		for _, m := range overlay[*controls.Mark](s) {
			if m.IconName == icon {
				return m
			}
		}
		t.Fatalf("nothing to %s", icon)
		return nil
	}
	mark("lock").Tapped(nil)
	s.settle()
	mark("split").Tapped(nil)
	s.settle()
	picks := overlay[*controls.Select](s)
	picks[0].SetSelectedIndex(0)
	join := s.press(say("ui-fewer-join"))
	if !join.Disabled() {
		t.Error("one colour can be joined with none")
	}
	picks[1].SetSelectedIndex(4)
	join.Tapped(nil)
	s.settle()
	mark("undo") // each can be taken back
	s.press(say("ui-colours-use")).Tapped(nil)
	s.settle()
	h := s.session.Job().Settings.Hues
	if len(h.Locked) != 1 || len(h.Apart) != 1 || len(h.Together) != 1 || len(s.planNow().Separations) != 3 {
		t.Errorf("%+v, %d sheets", h, len(s.planNow().Separations))
	}
	s.run("undo")
	s.settle()
	if s.session.Job().Settings.Hues.Says() || len(s.planNow().Separations) != 5 {
		t.Error("undoing is not one step")
	}
}

// nineSheets is one colour more than usual.
var nineSheets = func() string {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">`)
	for i := range 9 {
		fmt.Fprintf(&b, `<rect x="%d" y="10" width="8" height="40" fill="hsl(%d,70%%,45%%)"/>`, 5+10*i, 40*i)
	}
	b.WriteString(`</svg>`)
	return b.String()
}()

// More sheets than usual can be right: who says so is not asked again.
func TestFewer_OffersToUseThemAll(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(nineSheets)
	s.knockOut()
	s.settle()
	if s.state.EnoughSheets() {
		t.Fatalf("%d sheets are enough", len(s.planNow().Separations))
	}
	s.sheets.Fewer()
	s.settle()
	s.press(say("ui-fewer-all", "count", 9)).Tapped(nil)
	s.settle()
	if !s.state.EnoughSheets() || len(s.planNow().Separations) != 9 || s.desk.Open() {
		t.Errorf("enough: %v, %d sheets, asks: %v", s.state.EnoughSheets(), len(s.planNow().Separations), s.desk.Open())
	}
	s.sheets.Fewer()
	s.settle()
	if find(s.win.Canvas().Overlays().Top(), say("ui-fewer-all", "count", 9)) != nil {
		t.Error("it is offered again")
	}
}

// Whole sheets have a sum where each of them has a price.
func TestMarkCut_SaysWhatItCosts(t *testing.T) {
	const gone = -1
	for royal, want := range map[float64]string{3.25: "2 whole sheets: 5.75", 0: "", gone: ""} {
		s := newStage(t, usual, theme.AlwaysLight)
		sheets := slices.Clone(mySheets[:2])
		sheets[1].Price = max(royal, 0)
		s.withDrawer(sheets)
		s.svg(shades)
		s.knockOut()
		s.settle()
		s.sheets.Fewer()
		s.settle()
		overlay[*controls.Entry](s)[0].SetText("2")
		s.settle()
		s.press(say("ui-colours-use")).Tapped(nil)
		s.settle()
		if royal == gone {
			s.withDrawer(sheets[:1])
		}
		s.sheets.MarkCut()
		said := ""
		for _, p := range overlay[*controls.Para](s) {
			if strings.Contains(p.Text(), "whole sheets:") {
				said = p.Text()
			}
		}
		if said != want {
			t.Errorf("a sheet of %g: %q, want %q", royal, said, want)
		}
	}
}

func TestMarkCut_TakesSheetsAndPutsOffcutsBack(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.withDrawer(mySheets)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.sheets.Fewer()
	s.settle()
	overlay[*controls.Entry](s)[0].SetText("2")
	s.settle()
	s.press(say("ui-colours-use")).Tapped(nil)
	s.settle()
	trims, err := workshop.Trims(s.planNow())
	if err != nil {
		t.Fatal(err)
	}
	s.sheets.MarkCut()
	s.press(say("ui-cut-take")).Tapped(nil)
	got, err := s.session.Drawer()
	if err != nil || got[0].Count != 1 || got[1].Count != 0 || got[2].Count != 4 || len(got[0].Offcuts) == 0 {
		t.Errorf("%+v, %v", got, err)
	}
	// What comes back is what is left of the sheet, but for what is no larger
	// than a strip.
	area := 0.0
	for _, o := range got[0].Offcuts {
		area += o.WidthMM * o.HeightMM
	}
	i := 0
	if trims[1].Name == "Tomato" {
		i = 1
	}
	if want := 300*200 - trims[i].WidthMM*trims[i].HeightMM; area > want+0.01 || area < want-drawer.KeepMM*300 {
		t.Errorf("%g mm² come back, want %g", area, want)
	}
}

// TestPicturesColours draws the dialogs, to be looked at.
func TestPicturesColours(t *testing.T) {
	looks(t, "colours", func(s *stage, keep func(string)) {
		s.withDrawer(mySheets)
		s.demo("rich")
		s.knockOut()
		s.settle()
		s.sheets.Drawer()
		keep("1-drawer")
		s.desk.Clear()
		s.sheets.Colours()
		keep("2-colours")
		s.desk.Clear()
		s.sheets.Fewer()
		s.settle()
		keep("3-fewer")
		s.press(say("ui-colours-use")).Tapped(nil)
		s.settle()
		s.sheets.MarkCut()
		keep("4-cut")
		s.desk.Clear()
		keep("5-after")
	})
}
