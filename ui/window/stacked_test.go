package window

import (
	"testing"

	"fyne.io/fyne/v2"

	"abut/geometry"
	"abut/ui/controls"
	"abut/ui/theme"
)

// A word over something stacks once for each of its letters: that is one row, which goes from place to place.
func TestDetails_ListWhatStacksByLayers(t *testing.T) {
	s := newStage(t, fyne.NewSize(1100, 800), theme.AlwaysLight)
	s.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="40mm" viewBox="0 0 80 40">
<rect id="Plank" width="80" height="30" fill="#7a4e00"/><path id="Knots" d="M5 5h8v8h-8zM25 5h9v9h-9zM45 5h10v10h-10z" fill="#1e6b34"/>
<path id="Rope" d="M60 20h6v20h-6z" fill="#6a3a7c"/></svg>`)
	s.settle()
	if n := len(s.planNow().Stacked.Places); n != 4 {
		t.Fatalf("%d places", n)
	}
	for _, want := range []string{"Knots over Plank", "3 places · 245 mm²", "Rope over Plank", "60 mm²"} {
		if !s.said(want) {
			t.Errorf("%q is not said", want)
		}
	}
	next := func() *controls.Press {
		for _, p := range inDetails[*controls.Press](s) {
			if p.Hint == say("ui-stacked-next") {
				return p
			}
		}
		t.Fatal("nothing goes to the next place")
		return nil
	}
	// The largest first, and round again.
	for _, want := range []struct {
		said string
		x    float64
	}{{"Place 1 of 3", 50}, {"Place 2 of 3", 29.5}, {"Place 3 of 3", 9}, {"Place 1 of 3", 50}} {
		next().Tapped(nil)
		s.settle()
		if !s.said(want.said) {
			t.Errorf("%q is not said", want.said)
		}
		if got := middle(s.board.Seen()); got < want.x-2 || got > want.x+2 {
			t.Errorf("%s: the board shows %v, want %v", want.said, got, want.x)
		}
	}
}

func middle(r geometry.Rect) float64 { return (r.Min.X + r.Max.X) / 2 }
