package drawer

import (
	"reflect"
	"testing"
)

func TestTake_PrefersTheSmallestOffcutAndPutsTheRestBack(t *testing.T) {
	for _, c := range []struct {
		name  string
		sheet Sheet
		w, h  float64
		want  Sheet
		taken Taken
	}{
		{"a whole sheet", Sheet{WidthMM: 300, HeightMM: 200, Count: 2}, 100, 80,
			Sheet{WidthMM: 300, HeightMM: 200, Count: 1, Offcuts: []Size{{200, 200}, {100, 120}}},
			Taken{Left: []Size{{200, 200}, {100, 120}}}},
		{"cut the other way", Sheet{WidthMM: 300, HeightMM: 200, Count: 1}, 280, 80,
			Sheet{WidthMM: 300, HeightMM: 200, Offcuts: []Size{{300, 120}}},
			Taken{Left: []Size{{300, 120}}}},
		{"an offcut, turned", Sheet{WidthMM: 300, HeightMM: 200, Count: 1, Offcuts: []Size{{290, 190}, {60, 100}, {50, 50}}}, 100, 50,
			Sheet{WidthMM: 300, HeightMM: 200, Count: 1, Offcuts: []Size{{290, 190}, {50, 50}}},
			Taken{Offcut: &Size{60, 100}}},
		{"a pattern is not turned", Sheet{WidthMM: 300, HeightMM: 200, Count: 1, Direction: Upright, Offcuts: []Size{{60, 100}}}, 100, 50,
			Sheet{WidthMM: 300, HeightMM: 200, Direction: Upright, Offcuts: []Size{{60, 100}, {300, 150}, {200, 50}}},
			Taken{Left: []Size{{300, 150}, {200, 50}}}},
		{"all of it", Sheet{WidthMM: 100, HeightMM: 50, Count: 1}, 100, 50,
			Sheet{WidthMM: 100, HeightMM: 50}, Taken{}},
		{"none there", Sheet{WidthMM: 100, HeightMM: 50}, 10, 10, Sheet{WidthMM: 100, HeightMM: 50}, Taken{Missing: true}},
		{"too small", Sheet{WidthMM: 100, HeightMM: 50, Count: 3}, 101, 10, Sheet{WidthMM: 100, HeightMM: 50, Count: 3}, Taken{Missing: true}},
		{"nobody counts them", Sheet{WidthMM: 100, HeightMM: 50, Count: -1}, 100, 40, Sheet{WidthMM: 100, HeightMM: 50, Count: -1}, Taken{}},
		{"of unknown size", Sheet{Count: 3}, 1000, 40, Sheet{Count: 2}, Taken{}},
	} {
		before := []Sheet{{Name: "other"}, c.sheet}
		got, taken := Take(before, 1, c.w, c.h)
		if len(got[1].Offcuts) == 0 {
			got[1].Offcuts = nil
		}
		if len(taken.Left) == 0 {
			taken.Left = nil
		}
		if !reflect.DeepEqual(got[1], c.want) || !reflect.DeepEqual(taken, c.taken) {
			t.Errorf("%s: %+v, %+v", c.name, got[1], taken)
		}
		if !reflect.DeepEqual(before, []Sheet{{Name: "other"}, c.sheet}) || got[0].Name != "other" {
			t.Errorf("%s: the list that was given changed", c.name)
		}
	}
}

func TestTakeLaid_TakesThisVeryOffcutOrNone(t *testing.T) {
	have := []Sheet{{Count: 1, Offcuts: []Size{{60, 100}, {200, 200}}}}
	left := []Size{{60, 40}}
	got, taken := TakeLaid(have, 0, &Size{60, 100}, left)
	if want := []Size{{200, 200}, {60, 40}}; !reflect.DeepEqual(got[0].Offcuts, want) || taken.Missing || got[0].Count != 1 || len(have[0].Offcuts) != 2 {
		t.Errorf("%+v, %+v", got, taken)
	}
	if again, taken := TakeLaid(got, 0, &Size{60, 100}, left); !taken.Missing || !reflect.DeepEqual(again, got) {
		t.Errorf("an offcut that is gone: %+v, %+v", again, taken)
	}
	for count, want := range map[int]int{3: 2, 0: 0, -1: -1} {
		if got, _ := TakeLaid([]Sheet{{Count: count}}, 0, nil, left); got[0].Count != want || !reflect.DeepEqual(got[0].Offcuts, left) {
			t.Errorf("of %d: %+v", count, got)
		}
	}
}
