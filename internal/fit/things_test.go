package fit

import (
	"context"
	"math"
	"testing"

	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
)

func TestThings_AreWhatShowsWithWhatLiesBeside(t *testing.T) {
	j := sketch.Art(t, "#ff0000 rect 0 0 20 10", "#0000ff rect 10 0 10 10", "#00ff00 rect 2 2 4 4", "#000000 rect 15 5 0.3 0.3")
	list, err := new(Cache).Things(context.Background(), j, 0.25)
	if err != nil {
		t.Fatal(err)
	}
	type share struct {
		beside string
		of     float64
	}
	want := map[string]struct {
		area   float64
		shares []share
	}{
		"#ff0000": {84, []share{{"bare", 30.0 / 56}, {"#00ff00", 16.0 / 56}, {"#0000ff", 10.0 / 56}}},
		"#0000ff": {99.91, []share{{"bare", 30 / 41.2}, {"#ff0000", 10 / 41.2}, {"#000000", 1.2 / 41.2}}},
		"#00ff00": {16, []share{{"#ff0000", 1}}},
	}
	if len(list) != len(want) {
		t.Errorf("%+v", list)
	}
	for _, thing := range list {
		w := want[thing.Of.Colour.String()]
		if math.Abs(thing.AreaMM2-w.area) > 1e-6 || len(thing.Beside) != len(w.shares) {
			t.Errorf("%+v", thing)
			continue
		}
		for i, b := range thing.Beside {
			name := b.Of.Colour.String()
			if b.Of == own.Bare {
				name = "bare"
			}
			if name != w.shares[i].beside || math.Abs(b.Share-w.shares[i].of) > 1e-6 {
				t.Errorf("%v: %+v", thing.Of.Colour, b)
			}
		}
	}
}
