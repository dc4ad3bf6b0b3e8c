package mend

import (
	"context"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// What looks out of a letter beside the one that hides most of it has points that are none of its own: they end sooner, and are given
// to what both lie on, never to what lies in front. Points of a letter that nothing hides stay, as do those of what is no letter.
func TestShadowOf_TheEndsOfAShadow(t *testing.T) {
	around := []geometry.Rect{geometry.RectXYWH(0, 0, 40, 40)}
	for _, c := range []struct {
		name   string
		art    []string
		things []keptThing
		front  bool
	}{
		{"shadow", []string{"yellow rect 0 0 40 40 knock", "red circle 21 21 10 knock", "blue circle 19 19 10 knock"}, []keptThing{{of: sheet("red"), areas: around, word: true, letters: true}}, true},
		{"no letter", []string{"yellow rect 0 0 40 40 knock", "red circle 21 21 10 knock", "blue circle 19 19 10 knock"}, nil, false},
		{"of its own", []string{"yellow rect 0 0 40 40 knock", "red rect 0 0 1 1 knock"}, []keptThing{{of: sheet("red"), areas: around, word: true, letters: true}}, false},
	} {
		j := sketch.Art(t, c.art...)
		if c.name == "of its own" { // a letter in the form of a crescent
			discs := sketch.Art(t, "red circle 21 21 10", "blue circle 19 19 10").Items[0].Layers
			path, err := minus(context.Background(), job.Shapes(discs[0].Content)[0].Path.Flatten(spotSagittaMM), job.Shapes(discs[1].Content)[0].Path.Flatten(spotSagittaMM))
			if err != nil {
				t.Fatal(err)
			}
			j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: path}}}
		}
		m, err := start(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		spots, err := m.spots(context.Background(), j.Settings, nil)
		if err != nil {
			t.Fatal(err)
		}
		spent, points := 0, 0
		s := &settler{mending: m, settings: j.Settings, things: filed(c.things), spent: &spent, sparing: true}
		for i := range spots {
			p := &spots[i]
			if p.Of != sheet("red") || p.Kind != weak.Point {
				continue
			}
			points++
			front := s.shadowOf(p)
			if want := []own.Material{sheet("blue")}; c.front && !slices.Equal(front, want) || !c.front && front != nil {
				t.Errorf("%s: %v in front of the point at %v", c.name, front, p.At)
			}
			if c.things != nil && s.spares(p) == c.front {
				t.Errorf("%s: the point at %v is spared: %t", c.name, p.At, !c.front)
			}
			options, _ := s.allowed(t.Context(), &problem{spot: p})
			for _, o := range options {
				if c.front && (o.Do != job.Give || o.To != sheet("yellow").Colour) {
					t.Errorf("%s: %v to %v", c.name, o.Do, o.To)
				}
			}
			if len(options) == 0 {
				t.Errorf("%s: there is nothing to do about the point at %v", c.name, p.At)
			}
		}
		if points != 2 {
			t.Errorf("%s: %d points", c.name, points)
		}
	}
}
