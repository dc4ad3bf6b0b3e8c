package own

import (
	"context"
	"testing"

	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// placesOf are the places of a job, and its layers as they lie.
func placesOf(t *testing.T, j job.Job) (*Places, []Placed) {
	t.Helper()
	placed, _, err := new(Surrounds).Place(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	o, err := Lay(context.Background(), placed)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Find(context.Background(), o, NewRules(j, placed), false, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p, placed
}

func TestBackground_IsTheLowestOpaqueLayerOverAllOfThePage(t *testing.T) {
	for _, c := range []struct {
		name   string
		layers []string
		want   int
	}{
		{"a full page", []string{"red rect 5 5 10 10", "green rect 0 0 40 30", "blue rect 0 0 40 30"}, 1},
		{"a translucent one is none", []string{"green rect 0 0 40 30 alpha=0.5", "blue rect 5 5 10 10"}, -1},
		{"a drawn one is none", []string{"green rect 0 0 40 30 drawn", "blue rect 5 5 10 10"}, -1},
		{"all but a corner", []string{"green rect 0 0 40 29.5 + rect 0 29 20 1", "blue rect 5 5 10 10"}, 0},
		{"half of it", []string{"green rect 0 0 40 15 + rect 0 0 1 30", "blue rect 5 5 10 10"}, -1},
	} {
		p, _ := placesOf(t, sketch.Art(t, c.layers...))
		if got := p.Background(); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

func TestOverlay_KnowsWhatItIsOf(t *testing.T) {
	p, placed := placesOf(t, sketch.Art(t, "green rect 0 0 40 30", "blue rect 5 5 10 10"))
	_, others := placesOf(t, sketch.Art(t, "green rect 0 0 40 30", "blue rect 5 5 10 11"))
	if !p.IsOf(placed) || p.IsOf(others) || p.IsOf(placed[:1]) || (*Overlay)(nil).IsOf(placed) {
		t.Error("an overlay takes itself for another's")
	}
}

func TestSurrounds_LieAroundWhatTheyAreOf(t *testing.T) {
	j, _, err := job.AddSurround(sketch.Art(t, "green rect 10 10 20 20"), []job.LayerID{1}, job.Surround{WidthMM: 3, Sharp: true}, "Band", sketch.Palette["blue"])
	if err != nil {
		t.Fatal(err)
	}
	p, _ := placesOf(t, j)
	if e := p.Extent; e.Width() < 25.9 || e.Width() > 26.1 || e.Height() < 25.9 || e.Height() > 26.1 {
		t.Errorf("a band of 3 mm around 20 × 20 mm reaches over %v", e)
	}
}

func TestSet_HoldsWhatWasAddedUntilItIsEmptied(t *testing.T) {
	s := newSet(3)
	for range 2 {
		for i := range int32(3) {
			if !s.add(i) || s.add(i) {
				t.Errorf("%d is new once", i)
			}
		}
		s.empty()
	}
}
