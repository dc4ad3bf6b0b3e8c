package mend

import (
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A disc leaves a band of which a hundredth is left on either side: the band is cut apart there,
// and the picture's edge stays as straight as it is.
func TestAll_PartsWhatHardlyHangsTogether(t *testing.T) {
	at, listed := mended(t, "#99aab5 rect 10 5 10 30 knock", "#292f33 circle 15 20 4.97 knock", "#ffcc4d rect 22 5 6 30 knock")
	if listed != 0 {
		t.Errorf("%d spots are listed", listed)
	}
	for y := 18.5; y < 21.6; y += 0.5 {
		if out, in := at(9.9, y), at(10.02, y); out != "bare" || in != "#292f33" {
			t.Errorf("at %g mm: %s, %s", y, out, in)
		}
	}
	if got := at(10.5, 12); got != "#99aab5" {
		t.Errorf("the band is %s", got)
	}
}

// The tip of a wing is a tenth of it: it is cut off rather than listed. All three of a
// caltrop's would be most of that.
func TestBlunting_AnEndButNotAStar(t *testing.T) {
	wing := geometry.Polygon(geometry.Pt(5, 5.5), geometry.Pt(11, 7), geometry.Pt(5, 8.5))
	star := geometry.Polygon(geometry.Pt(3, 2), geometry.Pt(6.4, 6.2), geometry.Pt(12, 7), geometry.Pt(6.4, 7.8), geometry.Pt(3, 12), geometry.Pt(4.8, 7))
	for want, c := range map[int]geometry.Contour{1: wing, 0: star} {
		j := sketch.Art(t, "#ffe51e rect 5 5 4 4 knock", "#99aab5 rect 20 5 6 6 knock")
		j.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{c}}}}
		m, err := start(t.Context(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(t.Context(), j.Settings, nil)
		if err != nil || len(spots) == 0 {
			t.Fatalf("%v, %d spots", err, len(spots))
		}
		s := &settler{mending: m, settings: j.Settings}
		for i := range spots {
			s.open = append(s.open, &openSpot{Spot: spots[i]})
		}
		for _, o := range s.open {
			if got := s.blunting(&o.Spot); len(got) != want {
				t.Errorf("%v of %.2f mm² of %.2f: %d mends, want %d", o.Kind, o.AreaMM2, o.whole.SignedArea(), len(got), want)
			}
		}
	}
}
