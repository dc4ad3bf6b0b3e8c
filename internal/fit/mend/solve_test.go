package mend

import (
	"testing"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/colour"
	"abut/internal/fit/own"
	"abut/internal/fit/sketch"
	"abut/internal/job"
)

// Of two states that solve nothing the one with less left to do is better; where that differs by rounding the cleaner one.
func TestBetter_IsTheCleanerOfTwoThatLeaveAsMuch(t *testing.T) {
	v := &solver{settings: sketch.Art(t, "green rect 0 0 60 30").Settings, start: state{left: 3}}
	p := &problem{own: 2}
	first := &state{left: 1.101, bends: 2}
	for _, c := range []struct {
		next state
		wins bool
	}{
		{state{left: 1.1, bends: 5}, false},
		{state{left: 1.102, bends: 1}, true},
		{state{left: 1.05, bends: 5}, true},
		{state{left: 1.15, bends: 1}, false},
	} {
		if got := v.better(first, &c.next, p); (got == &c.next) != c.wins {
			t.Errorf("%+v wins: %t", c.next, !c.wins)
		}
	}
}

// What hardly lessens what is left to do is not worth outlines that turn much more: an eye had a bridge to the edge of its
// face for a twentieth of a mm².
func TestBetter_AsksMoreOfWhatTurnsMore(t *testing.T) {
	v := &solver{settings: sketch.Art(t, "green rect 0 0 60 30").Settings, start: state{left: 1.658}}
	p := &problem{own: 0.865}
	for _, c := range []struct {
		left, bends float64
		wins        bool
	}{{1.611, 9.39, false}, {1.611, 0.5, true}, {1.611, -3, true}, {1.3, 9.39, true}, {1.64, -3, false}} {
		next := &state{left: c.left, bends: c.bends}
		if got := v.better(nil, next, p); (got == next) != c.wins {
			t.Errorf("%+v", c)
		}
	}
}

// The end of a shade goes to what it is a shade of, though the dark line on its other side would turn a little less.
func TestBetter_KeepsAShadeFromAnOutline(t *testing.T) {
	rgb := func(s string) colour.RGB { return rgbOf(t, s) }
	v := &solver{settings: sketch.Art(t, "green rect 0 0 60 30").Settings, start: state{left: 2.4}}
	to := func(s string, bends float64) *state {
		return &state{bends: bends, mends: []job.Mend{{Do: job.Give, To: rgb(s), Chosen: true}}}
	}
	for _, c := range []struct {
		of, first, next string
		less            float64
		wins            bool
	}{
		{"#ff6242", "#ff866e", "#45413c", 0.5, false},
		{"#ff6242", "#ff866e", "#45413c", 4, true},
		{"#ff6242", "#ff866e", "#ff7a60", 0.5, true}, // another shade
		{"#c68d7b", "#f92f60", "#593b39", 0.5, true}, // neither is one
		{"#ff6242", "#45413c", "#ff866e", -2, true},  // liked less
		{"#ff6242", "#45413c", "#ff866e", -4, false},
	} {
		p := &problem{spot: &Spot{Of: own.OwnSheet(rgb(c.of))}, own: 2.4}
		first, next := to(c.first, 2.7), to(c.next, 2.7-c.less)
		if got := v.better(first, next, p); (got == next) != c.wins {
			t.Errorf("%+v", c)
		}
	}
}

// A knob over the picture's edge, or a notch in it, is worse than outlines that turn a little more within the picture: the more of
// the edge it moves. What is left to the blank on purpose stays so.
func TestBetter_KeepsThePicturesEdge(t *testing.T) {
	v := &solver{settings: sketch.Art(t, "green rect 0 0 60 30").Settings, start: state{left: 2.4}}
	p := &problem{spot: &Spot{Of: sheet("green")}, own: 2.4}
	for _, c := range []struct {
		do           job.MendKind
		edge         float64
		first, bends float64
		wins         bool
	}{
		{job.Widen, 0.1, 2, 2.7, true},
		{job.Widen, 0.1, 2, 3.2, false},
		{job.Widen, 0.9, 2, 3.2, true},
		{job.Widen, 2.5, -3, 2, false}, // so much simpler
		{job.Drop, 0.9, 0.1, 1.4, false},
	} {
		first := &state{edge: c.edge, bends: c.first, mends: []job.Mend{{Do: c.do}}}
		next := &state{bends: c.bends, mends: []job.Mend{{Do: job.Give}}}
		if got := v.better(first, next, p); (got == next) != c.wins {
			t.Errorf("%+v", c)
		}
	}
	// Nobody sees that a blunted corner has left the edge.
	for edge, want := range map[float64]bool{0.06: true, 0.3: false} {
		first, next := &state{bends: 2.3, mends: []job.Mend{{Do: job.Give}}}, &state{edge: edge, mends: []job.Mend{{Do: job.Drop}}}
		if got := v.better(first, next, p); (got == next) != want {
			t.Errorf("%g mm² of the edge", edge)
		}
	}
}

// Nobody sees a hairline that goes; a bar in its place is one like any other, and makes a wart.
func TestTry_ABarInPlaceOfAHairlineIsALump(t *testing.T) {
	j := sketch.Art(t, "yellow rect 0 0 40 30 knock", "#d9d9d9 rect 0 0 40 10 knock", "green rect 20 9.99 0.6 0.06 knock")
	m, spot := spotOf(t, j)
	if !hair(&spot) {
		t.Fatalf("%.3f mm² in %.2f mm", spot.AreaMM2, spot.LengthMM)
	}
	ctx := t.Context()
	v := &solver{mending: m, settings: j.Settings, area: m.page, spent: new(int)}
	outlines, err := m.outlines(ctx)
	if err == nil {
		v.before = sidesIn(outlines)
		err = v.look(ctx, &v.start)
	}
	if err != nil {
		t.Fatal(err)
	}
	for do, want := range map[job.MendKind]bool{job.Give: true, job.Recolour: false} {
		mend := v.about(&spot, 0)
		mend.Do, mend.To, mend.Chosen = do, rgbOf(t, "#d9d9d9"), true
		if do == job.Recolour {
			mend.WidthMM = 1
		}
		layers, err := v.layersOf(ctx, &spot, mend, j.Settings)
		if err != nil || len(layers) == 0 {
			t.Fatalf("%v: %v, %d layers", do, err, len(layers))
		}
		if next, err := v.try(ctx, &v.start, &spot, mend, layers); err != nil || (next != nil) != want {
			t.Errorf("%v: %v, may be made: %t", do, err, next != nil)
		}
	}
}

// A shirt ends at its side in a rim that nobody sees, beside the band that covers the rest of it: the band takes all of that
// end. Left to the blank it would be a notch, and made broad a knob.
func TestAll_TheEndOfAPointGoesWhollyToWhoLiesBesideIt(t *testing.T) {
	j := sketch.Art(t, "#6adbc6 rect 0 0 1 1 knock", "#ffce31 rect 0 0 1 1 knock")
	shirt := geometry.Polygon(geometry.Pt(8, 5), geometry.Pt(40, 5), geometry.Pt(40, 45), geometry.Pt(4, 45))
	band := geometry.Polygon(geometry.Pt(5.54, 30), geometry.Pt(30.5, 5), geometry.Pt(40, 5), geometry.Pt(40, 45), geometry.Pt(4, 45))
	for i, c := range []geometry.Contour{shirt, band} {
		j.Items[0].Layers[i].Content = job.Outlines{Shapes: []job.Shape{{Path: geometry.Path{c}}}}
	}
	at, listed := mendedJob(t, j)
	if listed != 0 {
		t.Errorf("%d spots are listed", listed)
	}
	for y := 6.0; y < 45; y += 0.25 {
		edge := 8 - (y-5)/10
		if got := at(edge+0.1, y); got == "bare" {
			t.Errorf("a notch at %g", y)
		}
		if got := at(edge-0.1, y); got != "bare" {
			t.Errorf("%s sticks out at %g", got, y)
		}
	}
}

func rgbOf(t *testing.T, s string) colour.RGB {
	t.Helper()
	c, err := colour.Parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Whether nothing is left of a spot is told by what is found of it in the window: as found on the whole map it may be larger, and
// then nothing seemed to solve it, so that the end of a shade went to whatever left a little less.
func TestOwnOf_IsWhatTheWindowHas(t *testing.T) {
	w := sketch.Art(t, "green rect 0 0 60 30").Settings
	found := func(area, x float64) Spot {
		at := geometry.Pt(x, 5)
		return Spot{Of: sheet("green"), Spot: weak.Spot{Kind: weak.Point, At: at, AreaMM2: area, Bounds: geometry.RectXYWH(x-1, 4, 2, 2), Outline: geometry.RectXYWH(x-1, 4, 2, 2).Path()}}
	}
	v := &solver{mending: &mending{}, settings: w, start: state{left: 3, spots: []Spot{found(0.2, 10), found(0.7, 11.5)}}}
	o := &openSpot{Spot: found(0.3, 10)}
	if got, want := v.ownOf(o), v.toDo(&v.start.spots[0], w); got != want || v.start.left != 3 {
		t.Errorf("%.3f instead of %.3f; %.3f is left", got, want, v.start.left)
	}
	// As broad as it must be to within rounding it is not found again.
	o = &openSpot{Spot: found(0.3, 30)}
	if got, want := v.ownOf(o), v.toDo(&o.Spot, w); got != want || v.start.left != 3+want {
		t.Errorf("%.3f instead of %.3f; %.3f is left", got, want, v.start.left)
	}
}
