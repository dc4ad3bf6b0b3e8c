package mend

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// regular is a polygon about a place, 2 mm from its middle to its corners.
func regular(corners int) geometry.Path {
	var pts []geometry.Point
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		pts = append(pts, geometry.Pt(30+2*cos, 20+2*sin))
	}
	return geometry.Path{geometry.Polygon(pts...)}
}

// An oval that stands askew is round, and the other way round, too; what has corners or straight sides is not, nor is what
// is long.
func TestIsRound_IsAnEllipse(t *testing.T) {
	askew := geometry.Rotate(0.5).Mul(geometry.Scale(2, 1.2))
	for name, c := range map[string]struct {
		outline geometry.Path
		want    bool
	}{
		"disc":      {regular(48), true},
		"hole":      {regular(48).Reverse(), true},
		"oval":      {regular(48).Transform(askew), true},
		"long oval": {regular(48).Transform(geometry.Scale(2.5, 1)), false},
		"octagon":   {regular(8), false},
		"square":    {regular(4), false},
		"crescent":  {crescent(3, 2.5, 1), false},
		"nothing":   {geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(1, 0), geometry.Pt(2, 0))}, false},
	} {
		if is := isRound(c.outline); is != c.want {
			t.Errorf("%s: %v", name, is)
		}
	}
}

// What is too thin between a disc and the blank is not made broad, which would cut the disc flat: the disc moves, or where
// the two touch, the rest of what lies between them is left to the blank. One that is too small grows as a whole.
func TestAll_RoundStaysRound(t *testing.T) {
	for _, c := range []struct {
		radius, at float64 // its middle is so far from an edge of 30
	}{{2.4, 27}, {2.4, 26.9}, {2.4, 27.6}, {2.4, 27.5}, {0.45, 15}} {
		j := sketch.Art(t, "green rect 0 0 40 30 knock", fmt.Sprintf("blue circle 20 %g %g knock", c.at, c.radius))
		laid, spots := allMended(t, j)
		if len(spots) > 0 {
			t.Errorf("%+v: %d spots are left", c, len(spots))
		}
		i := slices.Index(laid.Materials, sheet("blue"))
		if i < 0 || len(laid.Separations[i].Pieces) != 1 {
			t.Fatalf("%+v: it is there no more", c)
		}
		if !isRound(geometry.Path{laid.Separations[i].Pieces[0].Outline.Flatten(spotSagittaMM)[0]}) {
			t.Errorf("%+v: it is not round any more", c)
		}
	}
}

// The side of a mast stays straight: neither a bite nor a bump in the midst of it, but all of it may move, and an end of
// it may be taken. What is not narrow is no mast; the arm of a tick is one.
func TestDents_ABarStaysStraight(t *testing.T) {
	bars := barSidesOf(geometry.RectXYWH(10, 0, 1.5, 30).Path(), 1)
	if len(bars) != 2 || len(barSidesOf(geometry.RectXYWH(10, 0, 4, 30).Path(), 1)) != 0 || len(barSidesOf(geometry.RectXYWH(10, 0, 1.5, 3).Path(), 1)) != 0 || len(barSidesOf(geometry.RectXYWH(10, 0, 1.6, 5).Path(), 1)) != 2 {
		t.Fatal(len(bars))
	}
	before := geometry.RectXYWH(10, 0, 1.5, 30).Path()
	for name, c := range map[string]struct {
		x, y, w, h float64 // what lies over it, or is added to it
		dents      bool
	}{
		"bite":        {9, 10, 1.4, 2, true},
		"bump":        {11, 10, 1, 2, true},
		"end":         {9, -1, 5, 4, false},
		"all of it":   {9, -1, 1.4, 40, false},
		"far away":    {20, 10, 2, 2, false},
		"beside only": {11.5, 10, 2, 2, false},
	} {
		l := layer{path: geometry.RectXYWH(c.x, c.y, c.w, c.h).Path()}
		after := before
		switch name {
		case "bite":
			after = geometry.Path{geometry.Polygon(geometry.Pt(10, 0), geometry.Pt(11.5, 0), geometry.Pt(11.5, 30), geometry.Pt(10, 30), geometry.Pt(10, 12), geometry.Pt(10.4, 12), geometry.Pt(10.4, 10), geometry.Pt(10, 10))}
		case "bump":
			after = geometry.Path{geometry.Polygon(geometry.Pt(10, 0), geometry.Pt(11.5, 0), geometry.Pt(11.5, 10), geometry.Pt(12, 10), geometry.Pt(12, 12), geometry.Pt(11.5, 12), geometry.Pt(11.5, 30), geometry.Pt(10, 30))}
		case "end":
			after = geometry.RectXYWH(10, 3, 1.5, 27).Path()
		case "all of it":
			after = geometry.RectXYWH(10.4, 0, 1.1, 30).Path()
		}
		if got := dents(bars, sidesIn(before), sidesIn(after), &Spot{}, job.Mend{}, []layer{l}); got != c.dents {
			t.Errorf("%s: %t", name, got)
		}
	}
}

// A tyre of 30 mm under a mudguard keeps its rim: what is opened between them is not cut flat into it, wherever its outline
// begins. Given up to a straight edge that it nearly touches, it may be.
func TestDents_TheRimOfALargeDiscStaysRound(t *testing.T) {
	disc := geometry.Path{geometry.Ellipse(geometry.Pt(20, 20), 15, 15)}.Flatten(0.005)
	rim := round{bounds: disc.Bounds(), rim: evenly(disc[0]), open: true, large: true}
	rim.rim = append(rim.rim, rim.rim[:len(rim.rim)/4]...)
	for turn := range 8 { // cut flat 0.8 mm deep, all around
		angle := float64(turn) * math.Pi / 4
		place := geometry.Translate(20, 20).Mul(geometry.Rotate(angle)).Mul(geometry.Translate(-20, -20))
		var flat []geometry.Point
		for a := range disc[0].Sides() {
			flat = append(flat, geometry.Pt(math.Min(a.X, 34.2), a.Y))
		}
		after := geometry.Path{geometry.Polygon(flat...)}.Transform(place)
		l := layer{path: geometry.RectXYWH(34.2, 14, 2, 12).Path().Transform(place)}
		for do, want := range map[job.MendKind]bool{job.Widen: true, job.Give: false} {
			if got := dents([]round{rim}, sidesIn(disc), sidesIn(after), &Spot{}, job.Mend{Do: do}, []layer{l}); got != want {
				t.Errorf("turned by %d eighths, %v: %t", turn, do, got)
			}
		}
	}
}

// A shade of a face runs along a ring around it, and gets thin towards both ends: it becomes broader into the face, of which it is a
// shade, though that is round, too, and never into the ring.
func TestAll_AShadeAlongARingLeavesThatAsBroad(t *testing.T) {
	j := sketch.Art(t, "#ffe500 circle 30 30 25 knock", "#ebcb00 rect 0 0 1 1 knock", "#45413c rect 0 0 1 1 knock")
	disc := func(y, r float64) geometry.Contour { return geometry.Ellipse(geometry.Pt(30, y), r, r) }
	for i, c := range [][2]geometry.Contour{{disc(30, 25), disc(27.8, 22.8)}, {disc(30, 25.6), disc(30, 24.4)}} {
		j.Items[0].Layers[1+i].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{c[0], c[1]}, Rule: geometry.EvenOdd}}}
	}
	at, listed := mendedJob(t, j)
	if listed != 0 {
		t.Errorf("%d spots are listed", listed)
	}
	ends := 0
	for a := range 360 {
		sin, cos := math.Sincos(float64(a) * math.Pi / 180)
		if got := at(30+24.46*cos, 30+24.46*sin); got != "#45413c" {
			t.Errorf("the ring is %s at %d°", got, a)
		}
		if at(30+24.3*cos, 30+24.3*sin) == "#ebcb00" {
			if ends++; at(30+23.45*cos, 30+23.45*sin) != "#ebcb00" {
				t.Errorf("the shade is thin at %d°", a)
			}
		}
	}
	if ends < 180 || ends > 330 {
		t.Errorf("the shade goes around %d°", ends)
	}
}
