package ui

import (
	"testing"

	"fyne.io/fyne/v2"
)

func TestRoomFor_IsWhatTheScreenLeavesLessATitle(t *testing.T) {
	for _, c := range []struct {
		w, h  int
		scale float32
		want  fyne.Size
	}{
		{1366, 728, 1, fyne.NewSize(1366, 688)},
		{2732, 1456, 2, fyne.NewSize(1366, 688)},
		{0, 0, 1, fyne.Size{}},
		{800, 30, 1, fyne.NewSize(800, 1)},
	} {
		if got := roomFor(c.w, c.h, c.scale); got != c.want {
			t.Errorf("%d x %d at %g: %v, not %v", c.w, c.h, c.scale, got, c.want)
		}
	}
}
