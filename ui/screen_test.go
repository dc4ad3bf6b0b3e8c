package ui

import (
	"testing"

	"fyne.io/fyne/v2"
)

func TestRoomFor_IsWhatTheScreenLeavesLessATitle(t *testing.T) {
	for _, c := range []struct {
		w, h, title int
		scale       float32
		want        fyne.Size
	}{
		{1366, 728, 40, 1, fyne.NewSize(1366, 688)},
		{2732, 1456, 40, 2, fyne.NewSize(1366, 688)},
		{0, 0, 40, 1, fyne.Size{}},
		{1280, 800, 0, 1, fyne.NewSize(1280, 800)},
		{800, 30, 40, 1, fyne.NewSize(800, 1)},
	} {
		if got := roomFor(c.w, c.h, c.title, c.scale); got != c.want {
			t.Errorf("%d x %d at %g: %v, not %v", c.w, c.h, c.scale, got, c.want)
		}
	}
}
