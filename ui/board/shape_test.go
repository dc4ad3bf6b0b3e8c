package board

import (
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"abut/geometry"
)

func TestHandles_ScaleAsExpected(t *testing.T) {
	h := &handles{bounds: geometry.RectXYWH(10, 20, 40, 20)}
	for _, c := range []struct {
		name string
		grip grip
		pull geometry.Point
		mod  fyne.KeyModifier
		want geometry.Rect
	}{
		{"a corner keeps the proportions about the opposite one", bottomRight, geometry.Pt(40, 20), 0, geometry.RectXYWH(10, 20, 80, 40)},
		{"at the top left the bottom right stays", topLeft, geometry.Pt(-40, -20), 0, geometry.RectXYWH(-30, 0, 80, 40)},
		{"Shift frees them", bottomRight, geometry.Pt(40, 0), fyne.KeyModifierShift, geometry.RectXYWH(10, 20, 80, 20)},
		{"Alt keeps the middle", topRight, geometry.Pt(20, -10), fyne.KeyModifierAlt, geometry.RectXYWH(-10, 10, 80, 40)},
		{"never through the other side", bottomRight, geometry.Pt(-400, -400), fyne.KeyModifierShift, geometry.RectXYWH(10, 20, least, least)},
	} {
		m, _ := h.shapeTo(c.grip, geometry.Pt(3, 3), geometry.Pt(3, 3).Add(c.pull), c.mod, nil, 0)
		got := m.MapRect(h.bounds)
		if got.Min.Sub(c.want.Min).Len()+got.Max.Sub(c.want.Max).Len() > 1e-9 {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	m, text := h.shapeTo(turning, geometry.Pt(30, 0), geometry.Pt(59, 32), fyne.KeyModifierShift, nil, 0)
	if angle := math.Atan2(m.B, m.A); math.Abs(angle-math.Pi/2) > 1e-12 || text != "90°" {
		t.Errorf("turned by %g (%s), want a quarter", angle, text)
	}
}

func TestBoard_CornerAndBox(t *testing.T) {
	b, w, got := newBoard(t)
	var shaped []geometry.Affine
	b.OnShaped = func(m geometry.Affine) { shaped = append(shaped, m) }
	// A box over empty ground around the right square picks that one.
	from, to := b.at(50, 2), b.at(96, 55)
	down(b, from, desktop.MouseButtonPrimary)
	drag(b, b.at(70, 30))
	drag(b, to)
	up(b, to, true)
	if len(got.selected) != 1 || got.selected[0] != 2 {
		t.Fatalf("the box picks %v", got.selected)
	}
	w.Canvas().Capture()
	// Its bottom right corner pulled half its size further, and given up once.
	down(b, b.at(90, 40), desktop.MouseButtonPrimary)
	drag(b, b.at(99, 49))
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	up(b, b.at(99, 49), true)
	if len(shaped) != 0 || got.cancels != 1 {
		t.Fatalf("Escape: %d shapings, %d cancelled", len(shaped), got.cancels)
	}
	down(b, b.at(90, 40), desktop.MouseButtonPrimary)
	drag(b, b.at(97, 47))
	drag(b, b.at(105, 55))
	up(b, b.at(105, 55), true)
	if len(shaped) != 1 {
		t.Fatalf("%d shapings", len(shaped))
	}
	r := shaped[0].MapRect(geometry.RectXYWH(60, 10, 30, 30))
	if math.Abs(r.Width()-45) > 0.5 || math.Abs(r.Height()-45) > 0.5 || r.Min.Sub(geometry.Pt(60, 10)).Len() > 1e-9 {
		t.Errorf("it becomes %v", r)
	}
	if len(got.moves) != 0 {
		t.Error("a handle moves")
	}
}
