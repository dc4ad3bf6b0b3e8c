package window

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/ui/dialogs"
	"abut/ui/theme"
)

// True size shows a millimetre of the art as long as the ruler said that one on
// the screen is, and asks for the ruler first.
func TestTrueSize_IsWhatWasMeasured(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	long := func() float64 { // ten millimetres, in units
		p, q := s.board.PositionOf(geometry.Pt(0, 0)), s.board.PositionOf(geometry.Pt(10, 0))
		return float64(q.X - p.X)
	}
	s.trueSize()
	if !s.desk.Open() {
		t.Fatal("a screen that was never measured is not asked for")
	}
	entry := func() *dialogs.Entry { return overlay[*dialogs.Entry](s)[0] }
	entry().SetText("0")
	s.press(say("board-screen-use")).Tapped(nil)
	if _, measured := s.screen(); measured {
		t.Error("a line of no length is taken")
	}
	entry().SetText("52") // 5 units a millimetre
	s.press(say("board-screen-use")).Tapped(nil)
	if v, measured := s.screen(); !measured || math.Abs(v-5) > 1e-9 {
		t.Fatalf("%g units a millimetre", v)
	}
	if got := long(); math.Abs(got-50) > 1e-3 {
		t.Errorf("10 mm are %g units, want 50", got)
	}
	s.board.Zoom(3)
	s.trueSize()
	if got := long(); math.Abs(got-50) > 1e-3 {
		t.Errorf("again: 10 mm are %g units, want 50", got)
	}
}
