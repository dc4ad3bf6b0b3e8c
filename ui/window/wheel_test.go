package window

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"abut/ui/inspect"
	"abut/ui/theme"
)

// Wherever the pointer lies over Details, the wheel turns Details.
func TestDetails_TheWheelTurnsThemOverEveryEntry(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 560), theme.AlwaysLight)
	s.demo("pair")
	s.add.Text()
	s.settle()
	s.look()
	scroll := inDetails[*container.Scroll](s)[0]
	var over []fyne.CanvasObject
	over = append(over, s.lettering())
	for _, f := range inDetails[*inspect.Field](s) {
		over = append(over, f)
	}
	d, n := fyne.CurrentApp().Driver(), 0
	for _, o := range over {
		at := d.AbsolutePositionForObject(o).AddXY(o.Size().Width/2, o.Size().Height/2)
		top := d.AbsolutePositionForObject(scroll).Y
		if at.Y < top || at.Y > top+scroll.Size().Height {
			continue // not in sight, or pinned above what is turned
		}
		n++
		scroll.ScrollToTop()
		test.Scroll(s.win.Canvas(), at, 0, -40)
		if scroll.Offset.Y == 0 {
			t.Errorf("over %T the wheel does nothing", o)
		}
	}
	if n < 3 {
		t.Errorf("only %d entries are in sight", n)
	}
}
