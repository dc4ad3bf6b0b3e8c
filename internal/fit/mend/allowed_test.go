package mend

import (
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// A slanted slit of 1.2 mm that was drawn small is no disc of 2 mm once it is mended: it stays and is listed. A dot may become larger,
// for it stays a dot.
func TestAllowed_NoThinThingBecomesADisc(t *testing.T) {
	slit := []geometry.Point{geometry.Pt(20, 20), geometry.Pt(20.4, 20), geometry.Pt(21.2, 20.9), geometry.Pt(20.8, 20.9)}
	dot := []geometry.Point{geometry.Pt(20, 20), geometry.Pt(21, 20), geometry.Pt(21, 21), geometry.Pt(20, 21)}
	for name, c := range map[string]struct {
		corners []geometry.Point
		grows   bool
	}{"slit": {slit, false}, "dot": {dot, true}} {
		j := shaped(sketch.Art(t, "green rect 0 0 40 40 knock", "red rect 0 0 1 1 knock"), 1, c.corners...)
		m, spot := spotOf(t, j)
		s := &settler{mending: m, settings: j.Settings, spent: new(int)}
		options, _ := s.allowed(t.Context(), &problem{spot: &spot})
		if grows := slices.ContainsFunc(options, func(m job.Mend) bool { return m.Do == job.Widen }); grows != c.grows {
			t.Errorf("%s, a %v of %.2f mm²: may it grow? %t", name, spot.Kind, spot.AreaMM2, grows)
		}
	}
}
