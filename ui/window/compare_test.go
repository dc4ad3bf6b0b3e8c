package window

import (
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/ui/board"
	"abut/ui/controls"
	"abut/ui/theme"
)

// noted reports whether the board says a text of what it shows.
func (s *stage) noted(id string) bool {
	return slices.ContainsFunc(test.WidgetRenderer(s.board).Objects(), func(o fyne.CanvasObject) bool {
		t, is := o.(*canvas.Text)
		return is && t.Visible() && t.Text == say(id)
	})
}

func TestCompare_IsHeldByPointerAndSwitchedByKey(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysLight)
	s.demo("pair")
	var p *controls.Press
	for _, o := range test.LaidOutObjects(s.win.Content()) {
		if x, is := o.(*controls.Press); is && x.IconName == "compare" {
			p = x
		}
	}
	p.MouseDown(nil)
	if !s.board.Comparing() || !s.noted("board-compare-pressed") {
		t.Error("the button held down does not compare")
	}
	p.MouseUp(nil)
	p.Tapped(&fyne.PointEvent{}) // which the toolkit sends when the button comes up
	if s.board.Comparing() || s.noted("board-compare-pressed") {
		t.Error("it compares on without the button")
	}
	p.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if !s.board.Comparing() || !p.On {
		t.Error("by keyboard the button does nothing")
	}
	s.showView(board.Fitted)
	if s.board.Comparing() || p.On {
		t.Error("another view still compares")
	}
	s.run("compare")
	if !s.board.Comparing() || !s.noted("board-compare-drawn") {
		t.Error("of the pieces the art as drawn is not named")
	}
}
