package ask

import (
	"math"
	"testing"

	"abut/ui/controls"
	"abut/ui/theme"
)

// True size shows a millimetre of the design as long as the ruler said that one on
// the screen is, and asks for the ruler first.
func TestTrueSize_IsWhatWasMeasured(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.TrueSize()
	if !r.Desk.Open() || r.scale != 0 {
		t.Fatal("a screen that was never measured is not asked for")
	}
	entry := func() *controls.Entry { return overlay[*controls.Entry](r)[0] }
	entry().SetText("0")
	r.tap(say("board-screen-use"))
	if _, measured := r.screen(); measured {
		t.Error("a line of no length is taken")
	}
	entry().SetText("52") // 5 units a millimetre
	r.tap(say("board-screen-use"))
	if v, measured := r.screen(); !measured || math.Abs(v-5) > 1e-9 || math.Abs(r.scale-5) > 1e-9 {
		t.Fatalf("%g units a millimetre, shown at %g", v, r.scale)
	}
	r.scale = 0
	r.TrueSize()
	if r.Desk.Open() || math.Abs(r.scale-5) > 1e-9 {
		t.Errorf("again: shown at %g", r.scale)
	}
}
