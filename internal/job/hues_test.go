package job

import (
	"slices"
	"testing"

	"abut/internal/colour"
)

func TestHues_TheLastWordCounts(t *testing.T) {
	red, blue, green := colour.RGB{R: 200}, colour.RGB{B: 200}, colour.RGB{G: 200}
	h := Hues{}.Join(Pair{red, blue}).Part(Pair{red, green}).Part(Pair{blue, red})
	if len(h.Together) != 0 || !slices.Equal(h.Apart, []Pair{{red, green}, {blue, red}}) {
		t.Errorf("%+v", h)
	}
	was := h
	h = h.Join(Pair{green, red}).Lock(red, true).Lock(red, true)
	if !slices.Equal(h.Apart, []Pair{{blue, red}}) || len(h.Together) != 1 || !slices.Equal(h.Locked, []colour.RGB{red}) {
		t.Errorf("%+v", h)
	}
	if len(was.Apart) != 2 || len(was.Locked) != 0 {
		t.Errorf("what was before became %+v", was)
	}
	if h = h.Lock(red, false).Join(Pair{red, red}); len(h.Locked) != 0 || len(h.Together) != 1 || !h.Says() || (Hues{}).Says() {
		t.Errorf("%+v", h)
	}
}
