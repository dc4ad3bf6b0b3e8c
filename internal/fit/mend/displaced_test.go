package mend

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// A dot grows by half a millimetre all around. With 1.2 mm to the bar below it moves up by 0.3
// mm; with 0.7 mm that would be too far, and with 2 mm it stays.
func TestAway_KeepsADotApartFromWhatIsNear(t *testing.T) {
	for _, c := range []struct {
		bar, up float64
		moves   bool
	}{{11.7, 0.3, true}, {11.2, 0, false}, {12.5, 0, false}} {
		j := sketch.Art(t, "green rect 0 0 20 20 knock", "red circle 10 10 0.5 knock", "blue rect 5 5 10 3 knock")
		j.Items[0].Layers[2].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(5, c.bar, 10, 3).Path()}}}
		m, err := start(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		things, err := thing.Find(context.Background(), job.Shapes(j.Items[0].Layers[1].Content), geometry.Identity(), false)
		if err != nil {
			t.Fatal(err)
		}
		by, ok := m.away(things, things[0].Group, 0.5, 1)
		if ok != c.moves || ok && (math.Abs(by.X) > 0.05 || math.Abs(by.Y+c.up) > 0.05) {
			t.Errorf("with a bar at %g it moves by %v, %v", c.bar, by, ok)
		}
	}
}

// A hole in the middle of a hub has nowhere to move to: it would lie beside the middle.
func TestAway_LeavesAHoleInTheMiddleOfARing(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 20 20 knock", "red circle 10 10 1.6 knock", "green circle 10 10 0.45 knock")
	m, err := start(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	things, err := thing.Find(context.Background(), job.Shapes(j.Items[0].Layers[2].Content), geometry.Identity(), false)
	if err != nil {
		t.Fatal(err)
	}
	if by, ok := m.away(things, things[0].Group, 0.35, 1); ok {
		t.Errorf("it moves by %v", by)
	}
}

// Hairlines of letters become broader, and their stems stay as they are.
func TestAll_LettersWithHairlinesKeepTheirStems(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 20 20 knock", "black rect 5 5 5 0.4 + rect 7 5 1.6 10 + rect 5 14.6 5 0.4 knock")
	l := &j.Items[0].Layers[1]
	shapes := job.Shapes(l.Content)
	var letter job.Shape
	letter.Element = "text"
	for _, s := range shapes {
		letter.Path = append(letter.Path, s.Path...)
	}
	l.Content = job.Outlines{Shapes: []job.Shape{letter}}
	laid, spots := allMended(t, j)
	if len(spots) > 0 || len(laid.made) != 1 || !laid.made[0].Fine {
		t.Errorf("%d spots are left, %+v", len(spots), laid.made)
	}
}

// The four holes of a button, 0.8 mm apart, grow as one: none of what lies between them is thin.
func TestAll_HolesOfAButtonStayApart(t *testing.T) {
	j := sketch.Art(t, "green rect 0 0 20 20 knock", "red circle 8.7 8.7 0.9 + circle 11.3 8.7 0.9 + circle 8.7 11.3 0.9 + circle 11.3 11.3 0.9 knock")
	out, err := All(context.Background(), j, nil)
	if err != nil {
		t.Fatal(err)
	}
	mends := out.Items[0].Mends
	if len(mends) != 1 || mends[0].Do != job.Enlarge || !mends[0].Together {
		t.Errorf("%+v", mends)
	}
}

// Windows of which one is a little smaller grow all alike, until the smallest is large enough.
func TestAll_AlikeThingsGrowUntilTheSmallestIsLargeEnough(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "black rect 8 8 1.6 2.1 + rect 18 8 1.6 1.85 knock")
	laid, spots := allMended(t, j)
	if len(spots) > 0 || len(laid.made) != 1 || laid.made[0].Do != job.Enlarge {
		t.Errorf("%d spots are left, %+v", len(spots), laid.made)
	}
}
