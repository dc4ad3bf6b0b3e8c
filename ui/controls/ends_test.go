package controls

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
)

// Two things stand at the ends of a row that has room for both, and one beneath the other where it has not; what is docked
// beneath them begins where they end.
func TestEnds_StandBeneathEachOtherWhereThereIsNoRoom(t *testing.T) {
	a, b := canvas.NewRectangle(nil), canvas.NewRectangle(nil)
	a.SetMinSize(fyne.NewSize(100, 30))
	b.SetMinSize(fyne.NewSize(60, 20))
	rest := canvas.NewRectangle(nil)
	all := NewDock(container.New(&Inset{X: 5}, container.New(&Ends{Gap: 4}, a, b)), nil, nil, nil, rest)
	for _, c := range []struct {
		width       float32
		left, right fyne.Position
		top         float32
	}{
		{300, fyne.NewPos(0, 0), fyne.NewPos(230, 5), 30},
		{174, fyne.NewPos(0, 0), fyne.NewPos(104, 5), 30},
		{173, fyne.NewPos(0, 0), fyne.NewPos(0, 34), 54},
		{300, fyne.NewPos(0, 0), fyne.NewPos(230, 5), 30},
	} {
		all.Resize(fyne.NewSize(c.width, 200))
		if a.Position() != c.left || b.Position() != c.right || rest.Position().Y != c.top {
			t.Errorf("%g wide: %v, %v, the rest at %v", c.width, a.Position(), b.Position(), rest.Position())
		}
		if m := all.MinSize(); m.Width > 110 {
			t.Errorf("it cannot be narrower than %g", m.Width)
		}
	}
}
