package fit

import (
	"context"
	"slices"
	"testing"

	"abut/internal/job"
)

// Spots are told by what they are part of: three lines of one layer are one entry,
// what lies between two shapes is none of either's.
func TestWeakThings_HoldTheirSpots(t *testing.T) {
	j := knockAll(t, art(t, "red rect 0 0 40 20", "blue rect 2 2 20 0.5 + rect 2 6 20 0.5 + rect 2 10 20 0.5", "green rect 30 5 5 5 + rect 35.4 5 4.6 5"))
	spots := weakSpots(t, j)
	things, err := WeakThings(context.Background(), j, spots)
	if err != nil {
		t.Fatal(err)
	}
	var all []int
	for i := range things {
		all = append(all, things[i].Spots...)
	}
	slices.Sort(all)
	if len(all) != len(spots) || len(slices.Compact(all)) != len(spots) {
		t.Errorf("%d spots, things have %v", len(spots), all)
	}
	at := slices.IndexFunc(things, func(x WeakThing) bool { return x.Name == "blue" || x.Message().ID == "thing-line" })
	if at < 0 || things[at].Count != 3 || things[at].WidthMM < 0.49 || things[at].WidthMM > 0.51 {
		t.Errorf("%+v", things)
	}
	for _, x := range things {
		if x.Layer != 0 && x.Pen != (x.Message().ID == "thing-line") {
			t.Errorf("a pen draws it: %v, %+v", x.Pen, x)
		}
	}
}

// asText has the shapes of a layer be those of a text.
func asText(l *job.Layer) {
	shapes := slices.Clone(job.Shapes(l.Content))
	for i := range shapes {
		shapes[i].Element = "text"
	}
	l.Content = job.Outlines{Shapes: shapes}
}

// Of a word of three letters that can be cut and a small dot the dot is told, and no pen is offered for all of it; of a
// word that is thin one is.
func TestWeakThings_APenDrawsNoWordForItsDots(t *testing.T) {
	for _, c := range []struct {
		line, says string
		pen        bool
	}{
		{"black rect 5 5 1.5 8 + rect 8 5 1.5 8 + rect 11 5 1.5 8 + circle 8.7 3.3 0.6", "thing-small", false},
		{"black rect 5 5 0.4 8 + rect 8 5 0.4 8 + rect 11 5 0.4 8 + circle 8.2 3.3 0.6", "thing-letter", true},
	} {
		j := knockAll(t, art(t, "red rect 0 0 40 20", c.line))
		asText(&j.Items[0].Layers[1])
		things, err := WeakThings(t.Context(), j, weakSpots(t, j))
		if err != nil {
			t.Fatal(err)
		}
		at := slices.IndexFunc(things, func(x WeakThing) bool { return x.Name == "black" })
		if at < 0 || things[at].Message().ID != c.says || things[at].Pen != c.pen {
			t.Errorf("%s: %+v", c.line, things)
		}
	}
}

// What letters leave of the sea within and between them is told by their name, and not by that of the sea; what a rock
// leaves of it is told by the sea's, and where a pen draws the letters it draws over what lies between them.
func TestWeakThings_SpacesAreOfTheirLetters(t *testing.T) {
	for _, c := range []struct {
		letters string
		pen     bool
	}{
		{"black rect 5 5 1.5 8 + rect 7 5 1.5 8 + rect 9 5 1.5 8", false},
		{"black rect 5 5 0.6 8 + rect 6.1 5 0.6 8 + rect 7.2 5 0.6 8", true},
	} {
		j := knockAll(t, art(t, "#ddeeff rect 0 0 40 20", c.letters, "green rect 20 2 5 16 + rect 25.4 2 5 16"))
		asText(&j.Items[0].Layers[1])
		things, err := WeakThings(t.Context(), j, weakSpots(t, j))
		if err != nil {
			t.Fatal(err)
		}
		spaces := slices.IndexFunc(things, func(x WeakThing) bool { return x.Message().ID == "thing-space" })
		sea := slices.IndexFunc(things, func(x WeakThing) bool { return x.Message().ID == "thing-figure" })
		if spaces < 0 || things[spaces].Name != "black" || things[spaces].Count != 2 || things[spaces].Pen != c.pen {
			t.Errorf("%s: %+v", c.letters, things)
		}
		if sea < 0 || things[sea].Name == "black" || things[sea].Pen || len(things[sea].Spots) != 1 {
			t.Errorf("%s: %+v", c.letters, things)
		}
	}
}

// A pen draws what lies on pieces, in ink that is darker than they are.
func TestWeakThings_APenOnlyDrawsWhatShows(t *testing.T) {
	for _, c := range []struct {
		line string
		pen  bool
	}{
		{"black rect 2 10 30 0.5", true},
		{"white rect 2 10 30 0.5", false},
		{"black rect 2 10 60 0.5", false}, // half of it lies on nothing
	} {
		j := knockAll(t, art(t, "red rect 0 0 40 20", c.line))
		things, err := WeakThings(context.Background(), j, weakSpots(t, j))
		if err == nil {
			err = CheckPens(context.Background(), j, things)
		}
		if err != nil {
			t.Fatal(err)
		}
		at := slices.IndexFunc(things, func(x WeakThing) bool { return x.Message().ID == "thing-line" })
		if at < 0 || things[at].Pen != c.pen || len(PenLayers(things)) != map[bool]int{true: 1}[c.pen] {
			t.Errorf("%s: %+v", c.line, things)
		}
	}
}
