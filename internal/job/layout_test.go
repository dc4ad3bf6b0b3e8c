package job

import (
	"math"
	"testing"
)

func TestSetLayout_KeepsWhatCanBeAndForgetsTheRestWithoutCopies(t *testing.T) {
	want := Layout{Copies: 12, Loose: true, RollMM: 305, SpacingMM: 2}
	j, err := SetLayout(Job{}, want)
	if err != nil || j.Settings.Layout != want || !j.Settings.Layout.On() {
		t.Fatalf("%+v, %v", j.Settings.Layout, err)
	}
	for _, wrong := range []Layout{{Copies: -1}, {Copies: MaxCopies + 1}, {Copies: 1, RollMM: -1}, {Copies: 1, RollMM: 5001}, {Copies: 1, SpacingMM: math.NaN()}, {Copies: 1, SpacingMM: 101}} {
		if got, err := SetLayout(j, wrong); err == nil || got.Settings.Layout != want {
			t.Errorf("%+v: %v, %+v", wrong, err, got.Settings.Layout)
		}
	}
	if j, err = SetLayout(j, Layout{Loose: true, RollMM: 305}); err != nil || j.Settings.Layout != (Layout{}) {
		t.Errorf("%+v, %v", j.Settings.Layout, err)
	}
}
