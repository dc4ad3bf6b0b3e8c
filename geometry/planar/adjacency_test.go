package planar

import (
	"math"
	"testing"
)

func TestBorders_SayWhoTouchesWhomAndHowLong(t *testing.T) {
	// A square with a smaller one over its right half's middle, and a third that
	// touches the first at a corner only.
	d := build(t, rect(0, 0, 10, 10), rect(6, 3, 8, 4), rect(10, 10, 2, 2))
	div := d.Divide(topmost(d))
	want := []Border{
		{A: None, B: 0, LengthMM: 40 - 4}, {A: None, B: 1, LengthMM: 4 + 4 + 4}, {A: None, B: 2, LengthMM: 8},
		{A: 0, B: 1, LengthMM: 4 + 4 + 4},
	}
	got := div.Borders()
	if len(got) != len(want) {
		t.Fatalf("%d borders, want %d: %+v", len(got), len(want), got)
	}
	for i, b := range got {
		if b.A != want[i].A || b.B != want[i].B || math.Abs(b.LengthMM-want[i].LengthMM) > 1e-9 {
			t.Errorf("border %d is %d–%d, %v mm; want %d–%d, %v mm", i, b.A, b.B, b.LengthMM, want[i].A, want[i].B, want[i].LengthMM)
		}
	}
}
