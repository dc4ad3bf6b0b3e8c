package geometry

import (
	"math"
	"testing"
)

func TestPoint_FiniteKnowsWhatIsNoNumber(t *testing.T) {
	if !Pt(0, math.MaxFloat64).Finite() {
		t.Error("the largest float is an ordinary number")
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if Pt(bad, 0).Finite() || Pt(0, bad).Finite() {
			t.Errorf("%v counts as ordinary", bad)
		}
	}
}

// Clockwise on screen, y down: the hand of a clock goes from right to below.
func TestCross_IsPositiveClockwiseOnScreen(t *testing.T) {
	if Pt(1, 0).Cross(Pt(0, 1)) != 1 || Pt(0, 1).Cross(Pt(1, 0)) != -1 {
		t.Error("the sign is the wrong way round")
	}
	if got := (Path{RectXYWH(1, 2, 3, 4).Path()[0]}).SignedArea(); got != 12 {
		t.Errorf("a rectangle's outline has area %v, want 12: clockwise", got)
	}
}

func TestRect_EmptyIsNeutral(t *testing.T) {
	box := RectXYWH(0, 0, 1, 1)
	apart := box.Intersect(RectXYWH(5, 3, 1, 1))
	shrunk := box.Grow(-2)
	for name, empty := range map[string]Rect{"EmptyRect": EmptyRect(), "no intersection": apart, "shrunk away": shrunk, "negative": RectXYWH(4, 4, -1, 2), "NaN": RectXYWH(math.NaN(), 0, 1, 1)} {
		if !empty.Empty() || empty.Width() > 0 && empty.Height() > 0 {
			t.Errorf("%s: %v is not empty", name, empty)
		}
		if got := empty.Union(box); got != box {
			t.Errorf("%s: united with %v it is %v", name, box, got)
		}
		if got := box.Union(empty); got != box {
			t.Errorf("%s: %v united with it is %v", name, box, got)
		}
		if !box.Encloses(empty) || !empty.Grow(9).Empty() || !Identity().MapRect(empty).Empty() || !empty.Intersect(box).Empty() {
			t.Errorf("%s: does not stay empty", name)
		}
	}
	if line := RectXYWH(2, 2, 5, 0); line.Empty() || !line.Contains(Pt(3, 2)) || !RectXYWH(0, 0, 9, 9).Encloses(line) {
		t.Error("a straight line's bounds count as empty")
	}
	if box.Encloses(RectXYWH(0.5, 0.5, 1, 0.2)) {
		t.Error("encloses what reaches out of it")
	}
}

func TestRect_GrowMovesEverySide(t *testing.T) {
	if got := RectXYWH(1, 2, 3, 4).Grow(0.5); got != RectXYWH(0.5, 1.5, 4, 5) {
		t.Errorf("got %v", got)
	}
	if got := RectXYWH(1, 2, 3, 4).Centre(); got != Pt(2.5, 4) {
		t.Errorf("centre %v", got)
	}
}
