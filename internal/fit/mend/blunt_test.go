package mend

import (
	"context"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// spiked is red with a green spike of an angle, in degrees, whose apex lies at 20, 4 and
// whose foot at the height 24.
func spiked(t *testing.T, degrees float64) job.Job {
	j := sketch.Art(t, "red rect 0 0 40 30 knock", "green rect 17 4 6 16 knock")
	half := 20 * math.Tan(degrees/2*math.Pi/180)
	foot := geometry.Polygon(geometry.Pt(20, 4), geometry.Pt(20+half, 24), geometry.Pt(20-half, 24))
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{foot}}}}
	return j
}

// Of a spike no more is cut off than it takes for the rest to be no weak spot: of 46°, as a
// flag's teeth have, hardly anything, of a star's 36° less than half of what is thin, and a needle
// ends where it gets as broad as it must be.
func TestBlunt_TakesNoMoreThanItMust(t *testing.T) {
	for _, c := range []struct{ degrees, least, most float64 }{
		{46, 0.005, 0.15}, {36, 0.1, 0.45}, {25, 0.4, 0.85}, {12, 0.85, 1.02},
	} {
		j := spiked(t, c.degrees)
		m, spot := spotOf(t, j)
		if spot.Kind != weak.Point {
			t.Fatalf("%g°: %v", c.degrees, spot.Kind)
		}
		green := func() (area float64) {
			for i, of := range m.Materials {
				if of == sheet("green") {
					area = m.Separations[i].AreaMM2
				}
			}
			return area
		}
		before := green()
		give := m.about(&spot, 0)
		give.Do = job.Give
		given(t, m, &spot, give, j.Settings)
		spots, err := m.spots(context.Background(), j.Settings, nil)
		if err != nil || len(spots) != 0 {
			t.Errorf("%g°: %v, %d spots are left", c.degrees, err, len(spots))
		}
		share := (before - green()) / spot.AreaMM2
		if share < c.least || share > c.most {
			t.Errorf("%g°: %.3f of what is thin was cut off, want %g to %g", c.degrees, share, c.least, c.most)
		}
		if guess := spot.bluntAreaMM2(1) / spot.AreaMM2; math.Abs(guess-share) > 0.15 {
			t.Errorf("%g°: %.3f of what is thin is cut off, %.3f was thought", c.degrees, share, guess)
		}
	}
}

// Half of a segment of a disc of 6 mm is as sharp at its tip as a spike of such an angle, and sharper
// further in: it is cut off there, so that the rest is no weak spot.
func TestBlunt_OfAHornTakesSoMuchThatTheRestIsBroadEnough(t *testing.T) {
	const r = 6.0
	for _, degrees := range []float64{38, 45, 50} {
		a := degrees * math.Pi / 180
		corners := []geometry.Point{geometry.Pt(20, 15)}
		for i := range 41 {
			at := a * float64(i) / 40
			corners = append(corners, geometry.Pt(20-r*math.Sin(at), 15+r*(math.Cos(at)-math.Cos(a))))
		}
		j := sketch.Art(t, "red rect 0 0 40 30 knock", "green rect 0 0 1 1 knock")
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{geometry.Polygon(corners...)}}}}
		m, spot := spotOf(t, j)
		if spot.Kind != weak.Point {
			t.Fatalf("%g°: %v", degrees, spot.Kind)
		}
		give := m.about(&spot, 0)
		give.Do = job.Give
		given(t, m, &spot, give, j.Settings)
		spots, err := m.spots(context.Background(), j.Settings, nil)
		if err != nil || len(spots) != 0 {
			t.Errorf("%g°: %v, left are %v", degrees, err, spots)
		}
	}
}

// Where a pale wedge ends between dark hair and the blank, its tip is left to the blank:
// given to the hair it would be a thorn. A dark one's tip goes to the hair.
func TestEnd_AtThePicturesEdgeGoesToWhatItLooksLike(t *testing.T) {
	for colour, drops := range map[string]bool{"#ccd6dd": true, "#40201c": false} {
		j := sketch.Art(t, "#292f33 rect 0 20 40 20 knock", colour+" rect 0 0 1 1 knock")
		wedge := geometry.Polygon(geometry.Pt(10, 20), geometry.Pt(30, 20), geometry.Pt(30, 10))
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{wedge}}}}
		m, spot := spotOf(t, j)
		options, _ := m.remedies(&spot, j.Settings)
		if spot.Kind != weak.Point || len(options) == 0 || (options[0].Do == job.Drop) != drops {
			t.Errorf("%s: a %v, for which is tried first %+v", colour, spot.Kind, options)
		}
		if !drops {
			continue
		}
		at := given(t, m, &spot, options[0], j.Settings)
		if of := at(10.5, 19.9); of != own.Bare {
			t.Errorf("its tip is cut from %v", of)
		}
	}
}

// Where the edge of the picture runs on past that tip beside the hair, who lies there takes it: left to the blank it would be a
// notch, as at the edge of a globe. But one that is pale goes to the blank: a dark thorn is seen before such a notch.
func TestEnd_LeavesNoNotchInAnEdgeThatRunsOn(t *testing.T) {
	for _, c := range []struct {
		colour string
		down   float64 // how far the hair's edge falls over 10 mm past the tip, at which the wedge's falls by 5
		on     bool
	}{{"#5dadec", 5, true}, {"#5dadec", 7, true}, {"#5dadec", 3.5, true}, {"#5dadec", 0, false}, {"#5dadec", 16, false}, {"#c9f7ca", 5, false}} {
		j := sketch.Art(t, "#292f33 rect 0 20 40 40 knock", c.colour+" rect 0 0 1 1 knock")
		hair := geometry.Polygon(geometry.Pt(0, 20+c.down), geometry.Pt(10, 20), geometry.Pt(30, 20), geometry.Pt(40, 20), geometry.Pt(40, 60), geometry.Pt(0, 60))
		j.Items[0].Layers[0].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{hair}}}}
		wedge := geometry.Polygon(geometry.Pt(10, 20), geometry.Pt(30, 20), geometry.Pt(30, 10))
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{wedge}}}}
		m, spot := spotOf(t, j)
		options, _ := m.remedies(&spot, j.Settings)
		if spot.Kind != weak.Point || len(options) == 0 {
			t.Fatalf("%g: a %v, %d options", c.down, spot.Kind, len(options))
		}
		if drops := options[0].Do == job.Drop; drops == c.on {
			t.Errorf("%g: is it left to the blank? %v: %+v", c.down, drops, options)
		}
		if !c.on {
			continue
		}
		at := given(t, m, &spot, options[0], j.Settings)
		if of := at(10.3, 19.9); of == own.Bare || of == spot.Of {
			t.Errorf("%g: its tip is cut from %v", c.down, of)
		}
	}
}

// crescent returns what a disc leaves of a larger one, its horns to the right.
func crescent(radius, within, away float64) geometry.Path {
	var out []geometry.Point
	// Where the circles meet, from their middles.
	x := (radius*radius - within*within + away*away) / (2 * away)
	outer, inner := math.Acos(x/radius), math.Acos((x-away)/within)
	for i := range 60 {
		sin, cos := math.Sincos(outer + float64(i)/60*(2*math.Pi-2*outer))
		out = append(out, geometry.Pt(15+radius*cos, 15+radius*sin))
	}
	for i := range 60 {
		sin, cos := math.Sincos(2*math.Pi - inner - float64(i)/60*(2*math.Pi-2*inner))
		out = append(out, geometry.Pt(15+away+within*cos, 15+within*sin))
	}
	return geometry.Path{geometry.Polygon(out...)}
}

// The horns of a crescent get thin long before they end. Cut off there they would be a third of it;
// they become as broad as they must be.
func TestAll_ACrescentKeepsItsHorns(t *testing.T) {
	moon := crescent(11, 9, 3)
	j := sketch.Art(t, "blue rect 0 0 40 30 knock", "yellow rect 0 0 1 1 knock")
	j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: moon}}}
	laid, spots := allMended(t, j)
	i := slices.Index(laid.Materials, sheet("yellow"))
	if got, want := laid.Separations[i].Outline.Bounds().Max.X, moon.Bounds().Max.X; got < want-0.5 {
		t.Errorf("its horns end %.2f mm before they did", want-got)
	}
	if len(spots) > 0 {
		t.Errorf("%d spots are listed", len(spots))
	}
}

// The rod on a dome, 0.5 mm broad and twice as long, becomes broad; so does a tail that tapers, which would
// be a stump. The rod ends straight, where it ended.
func TestAll_ALimbIsNotCutOff(t *testing.T) {
	for name, c := range map[string]struct {
		limb []geometry.Point
		high float64 // how far up it must still show
	}{
		"rod":  {[]geometry.Point{geometry.Pt(14.75, 8.8), geometry.Pt(14.75, 10.5), geometry.Pt(15.25, 10.5), geometry.Pt(15.25, 8.8)}, 8.9},
		"tail": {[]geometry.Point{geometry.Pt(14.72, 8.6), geometry.Pt(14.2, 10.5), geometry.Pt(15.8, 10.5), geometry.Pt(15.28, 8.6)}, 8.7},
	} {
		j := sketch.Art(t, "yellow rect 0 0 30 30 knock", "red rect 10 10 10 10 knock")
		j.Items[0].Layers[1].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{
			geometry.RectXYWH(10, 10, 10, 10).Path()[0], clockwise(c.limb...)}}}}
		laid, spots := allMended(t, j)
		of := laid.Separations[slices.Index(laid.Materials, sheet("red"))].Outline
		in := geometry.NewEnclosure(of.Flatten(spotSagittaMM))
		if len(spots) > 0 || !in.Holds(geometry.Pt(15, c.high)) || !in.Holds(geometry.Pt(15.4, c.high+0.2)) || name == "rod" && in.Holds(geometry.Pt(15, c.high-0.15)) {
			t.Errorf("%s: %d spots are left, %v", name, len(spots), of)
		}
	}
}
