package window

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/ui/board"
	"abut/ui/theme"
)

// written returns every text below an object, shown or folded away.
func written(o fyne.CanvasObject) []string {
	switch o := o.(type) {
	case *board.Board:
		return nil
	case *canvas.Text:
		return []string{o.Text}
	case *fyne.Container:
		var out []string
		for _, c := range o.Objects {
			out = append(out, written(c)...)
		}
		return out
	case fyne.Widget:
		var out []string
		for _, c := range test.WidgetRenderer(o).Objects() {
			out = append(out, written(c)...)
		}
		return out
	}
	return nil
}

func TestInches_EverythingIsInThem(t *testing.T) {
	s := newStage(t, fyne.NewSize(1440, 873), theme.AlwaysLight)
	s.demo("rich")
	s.ask.SetUnits(job.Inches)
	s.settle()
	check := func(state string) {
		t.Helper()
		s.settle()
		s.look()
		root := s.win.Canvas().Content()
		if top := s.win.Canvas().Overlays().Top(); top != nil {
			root = top
		}
		inches := 0
		for _, text := range written(root) {
			for _, word := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ·():,;", r) }) {
				switch word {
				case "mm", "mm²":
					t.Errorf("%s: %q", state, text)
				case "in", "in²":
					inches++
				}
			}
		}
		if inches == 0 {
			t.Errorf("%s: no inches anywhere", state)
		}
	}
	check("stacked")
	s.knockOut()
	check("knocked out, with weak spots")
	s.session.Select([]job.LayerID{1})
	check("one selected")
	s.session.Select(nil)
	s.showView(board.Sheets)
	check("sheets")
	s.ask.Export()
	check("export")
	s.desk.Clear()
	s.sheets.Colours()
	check("colours")
}
