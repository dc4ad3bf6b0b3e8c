package thing

import (
	"context"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

func polyline(points ...geometry.Point) geometry.Contour {
	c := geometry.Contour{Start: points[0]}
	for _, p := range points[1:] {
		c.Segments = append(c.Segments, geometry.LineTo(p))
	}
	return c
}

func rect(x, y, w, h float64) job.Shape {
	return job.Shape{Path: geometry.RectXYWH(x, y, w, h).Path()}
}

// pen is a straight stroke from left to right with ends cut off straight.
func pen(x, y, length, width float64) job.Shape {
	s := rect(x, y-width/2, length, width)
	s.Centre = geometry.Path{polyline(geometry.Pt(x, y), geometry.Pt(x+length, y))}
	return s
}

func find(t *testing.T, shapes ...job.Shape) []Thing {
	t.Helper()
	things, err := Find(context.Background(), shapes, geometry.Identity(), false)
	if err != nil {
		t.Fatal(err)
	}
	return things
}

func draw(t *testing.T, page geometry.Rect, m job.Mend, shapes ...job.Shape) ([]job.Shape, []Made) {
	t.Helper()
	out, made, err := Draw(context.Background(), Layer{Shapes: shapes, Transform: geometry.Identity()}, page, []job.Mend{m})
	if err != nil {
		t.Fatal(err)
	}
	return out, made
}

var wide = geometry.RectXYWH(-100, -100, 300, 300)

func TestFind_TellsLinesDotsAndFiguresApart(t *testing.T) {
	ring := job.Shape{Rule: geometry.EvenOdd, Path: geometry.Path{geometry.Ellipse(geometry.Pt(5, 5), 4, 4), geometry.Ellipse(geometry.Pt(5, 5), 3.5, 3.5)}}
	for name, x := range map[string]struct {
		shape job.Shape
		kind  Kind
		width float64
	}{
		"a stroke":  {pen(0, 0, 10, 0.5), Line, 0.5},
		"a bar":     {rect(0, 0, 10, 0.4), Line, 0.4},
		"a ring":    {ring, Line, 0.5},
		"a dot":     {job.Shape{Path: geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 1, 1)}}, Dot, 1},
		"a plank":   {rect(0, 0, 6, 2), Line, 2},
		"a tile":    {rect(0, 0, 3, 3), Dot, 3},
		"a hairpin": {rect(0, 0, 0.3, 3), Line, 0.3},
	} {
		things := find(t, x.shape)
		if len(things) != 1 || things[0].Kind != x.kind || math.Abs(things[0].WidthMM-x.width) > 0.01 {
			t.Errorf("%s: %v, %.3f mm", name, things[0].Kind, things[0].WidthMM)
		}
	}
}

func TestFind_LinesOfOnePenBelongTogether(t *testing.T) {
	things := find(t, pen(0, 0, 10, 0.5), pen(0, 5, 7, 0.5), pen(0, 10, 10, 2))
	if things[0].Group != things[1].Group || things[0].Group == things[2].Group {
		t.Errorf("groups %d, %d and %d", things[0].Group, things[1].Group, things[2].Group)
	}
}

// Rays go round, dashes follow each other.
func TestFind_RaysAreNoDashes(t *testing.T) {
	run, rays := job.Shape{}, job.Shape{}
	for k := range 8 {
		dash := pen(3*float64(k), 0, 2, 0.4)
		run.Path, run.Centre = append(run.Path, dash.Path...), append(run.Centre, dash.Centre...)
		ray := job.TransformShapes([]job.Shape{pen(5, 0, 2, 0.4)}, geometry.Rotate(float64(k)*math.Pi/4))[0]
		rays.Path, rays.Centre = append(rays.Path, ray.Path...), append(rays.Centre, ray.Centre...)
	}
	if k := find(t, run)[3].Kind; k != Dash {
		t.Errorf("a dash is a %v", k)
	}
	if k := find(t, rays)[3].Kind; k != Line {
		t.Errorf("a ray is a %v", k)
	}
}

// Broader keeps corners to within 5° and ends where they are; the width is right to
// within 3 % of the narrowest.
func TestDraw_BroadensAStrokeEvenly(t *testing.T) {
	out, made := draw(t, wide, job.Mend{Do: job.Broaden, At: geometry.Pt(5, 0), Drawn: 0.5, WidthMM: 1}, pen(0, 0, 10, 0.5), pen(0, 5, 7, 0.5))
	if len(made) != 1 {
		t.Fatalf("%+v", made)
	}
	for i, want := range []geometry.Rect{geometry.RectXYWH(0, -0.5, 10, 1), geometry.RectXYWH(0, 4.5, 7, 1)} {
		got := out[i].Path.Bounds()
		if got.Min.Sub(want.Min).Len() > 0.03 || got.Max.Sub(want.Max).Len() > 0.03 || math.Abs(out[i].Path.SignedArea()-want.Area()) > 0.03*want.Area() {
			t.Errorf("%v, want %v", got, want)
		}
		if n := len(out[i].Path[0].Segments); n > 4 {
			t.Errorf("%d sides", n)
		}
		if out[i].Centre == nil {
			t.Error("a pen cannot follow it any more")
		}
	}
}

// A bent line is as broad everywhere: both sides of a ring of half a millimetre move by a
// quarter of one, to within 3 % of the narrowest width.
func TestDraw_BroadensABentStrokeEvenly(t *testing.T) {
	ring := job.Shape{Rule: geometry.EvenOdd, Path: geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 5.25, 5.25), geometry.Ellipse(geometry.Pt(0, 0), 4.75, 4.75)}}
	out, made := draw(t, wide, job.Mend{Do: job.Broaden, At: geometry.Pt(5, 0), Drawn: 0.5, WidthMM: 1}, ring)
	if len(made) != 1 {
		t.Fatalf("%+v", made)
	}
	for _, c := range out[0].Path.Flatten(0.001) {
		for a, b := range c.Sides() {
			if r := a.Lerp(b, 0.5).Len(); math.Abs(math.Abs(r-5)-0.5) > 0.015 {
				t.Errorf("a side runs %.3f mm from the middle of the line", math.Abs(r-5))
			}
		}
	}
}

// What is drawn heavier keeps its corners: as many, and each to within 5°.
func TestDraw_KeepsCorners(t *testing.T) {
	letter := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(0.5, 0), geometry.Pt(0.5, 5.5), geometry.Pt(4, 5.5), geometry.Pt(4, 6), geometry.Pt(0, 6))}
	slanted := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(0.6, 0), geometry.Pt(3, 6), geometry.Pt(2.4, 6))}
	for name, path := range map[string]geometry.Path{"an L": letter, "a slanted bar": slanted} {
		out, made := draw(t, wide, job.Mend{Do: job.Broaden, At: path[0].Start.Lerp(path[0].Segments[1].End, 0.3), Drawn: 0.5, WidthMM: 1}, job.Shape{Path: path})
		if len(made) != 1 {
			t.Fatalf("%s: %+v", name, made)
		}
		want, got := corners(path[0]), corners(out[0].Path[0])
		if len(got) != len(want) {
			t.Fatalf("%s: corners of %.0f°, drawn %.0f°", name, got, want)
		}
		for i := range want {
			if math.Abs(got[i]-want[i]) > 5 {
				t.Errorf("%s: a corner of %.1f°, drawn %.1f°", name, got[i], want[i])
			}
		}
	}
}

// corners returns by how much a polygon turns at its corners, in degrees, ascending.
func corners(c geometry.Contour) (out []float64) {
	before := c.Segments[len(c.Segments)-1].End
	if before == c.Start {
		before = c.Segments[len(c.Segments)-2].End
	}
	for a, b := range c.Sides() {
		u, v := a.Sub(before), b.Sub(a)
		if turn := math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) * 180 / math.Pi; turn > 1 {
			out = append(out, turn)
		}
		before = a
	}
	slices.Sort(out)
	return out
}

// On a larger picture less has to be done, and in the end nothing.
func TestDraw_DoesNoMoreThanTheSizeNeeds(t *testing.T) {
	m := job.Mend{Do: job.Broaden, At: geometry.Pt(5, 0), Drawn: 0.5, WidthMM: 1}
	for scale, want := range map[float64]float64{1: 1, 1.6: 1, 2: 1, 3: 1.5} {
		out, made, err := Draw(context.Background(), Layer{Shapes: []job.Shape{pen(0, 0, 10, 0.5)}, Transform: geometry.Scale(scale, scale)}, wide, []job.Mend{m})
		if err != nil || len(made) != 1 {
			t.Fatal(made, err)
		}
		if got := out[0].Path.Bounds().Height() * scale; math.Abs(got-want) > 0.01 {
			t.Errorf("%g times as large: %.3f mm broad, want %g", scale, got, want)
		}
	}
}

func TestDraw_EnlargesEachDotAboutItsMiddle(t *testing.T) {
	dots := []job.Shape{{Path: geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 0.4, 0.4)}}, {Path: geometry.Path{geometry.Ellipse(geometry.Pt(9, 0), 0.4, 0.4)}}}
	out, _ := draw(t, wide, job.Mend{Do: job.Enlarge, At: geometry.Pt(0, 0), Drawn: 0.8, WidthMM: 2}, dots...)
	for i, x := range []float64{0, 9} {
		if b := out[i].Path.Bounds(); math.Abs(b.Width()-2) > 0.02 || math.Abs(b.Height()-2) > 0.02 || b.Centre().Sub(geometry.Pt(x, 0)).Len() > 0.02 {
			t.Errorf("dot %d lies in %v", i, b)
		}
	}
}

// Dots of one pattern go apart as they grow; one that lies elsewhere grows about its own middle.
func TestDraw_APatternGrowsAsAWhole(t *testing.T) {
	dot := func(x, y float64) job.Shape {
		return job.Shape{Path: geometry.Path{geometry.Ellipse(geometry.Pt(x, y), 0.5, 0.5)}}
	}
	out, _ := draw(t, wide, job.Mend{Do: job.Enlarge, Together: true, At: geometry.Pt(0, 0), Drawn: 1, WidthMM: 2}, dot(0, 0), dot(1.5, 0), dot(20, 0))
	for i, x := range []float64{-0.75, 2.25, 20} {
		if c := out[i].Path.Bounds().Centre(); c.Sub(geometry.Pt(x, 0)).Len() > 0.02 {
			t.Errorf("dot %d lies at %v, want %g", i, c, x)
		}
	}
}

func TestDraw_MovesWhatItMakesLarger(t *testing.T) {
	dot := job.Shape{Path: geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 0.5, 0.5)}}
	out, _ := draw(t, wide, job.Mend{Do: job.Enlarge, Moved: geometry.Pt(0, -0.3), At: geometry.Pt(0, 0), Drawn: 1, WidthMM: 2}, dot)
	if c := out[0].Path.Bounds().Centre(); c.Sub(geometry.Pt(0, -0.3)).Len() > 0.02 {
		t.Errorf("it lies at %v", c)
	}
}

// A ring at the edge of the picture grows inwards, a line there moves in.
func TestDraw_KeepsThePictureAsLargeAsItWas(t *testing.T) {
	page := geometry.RectXYWH(0, 0, 20, 20)
	out, _ := draw(t, page, job.Mend{Do: job.Broaden, At: geometry.Pt(5, 0.2), Drawn: 0.4, WidthMM: 1}, pen(2, 0.2, 10, 0.4))
	if b := out[0].Path.Bounds(); !page.Grow(1e-4).Encloses(b) || math.Abs(b.Height()-1) > 0.01 {
		t.Errorf("%v", b)
	}
	frame := job.Shape{Rule: geometry.EvenOdd, Path: append(geometry.RectXYWH(0, 0, 20, 20).Path(), geometry.RectXYWH(0.4, 0.4, 19.2, 19.2).Path()...)}
	out, _ = draw(t, page, job.Mend{Do: job.Broaden, Side: job.Inwards, At: geometry.Pt(5, 0.2), Drawn: 0.4, WidthMM: 1}, frame)
	if area := math.Abs(out[0].Path.SignedArea()); math.Abs(area-(400-18*18)) > 0.1 {
		t.Errorf("a frame of %.2f mm²", area)
	}
	// A line from side to side half beneath the lower edge: it grows there, and not to the sides.
	out, _ = draw(t, page, job.Mend{Do: job.Broaden, At: geometry.Pt(5, 19.9), Drawn: 0.4, WidthMM: 1}, job.Shape{Path: geometry.Path{geometry.Polygon(
		geometry.Pt(0, 19.8), geometry.Pt(20, 19.8), geometry.Pt(20, 20.2), geometry.Pt(0, 20.2))}})
	if b := out[0].Path.Bounds(); b.Min.X < -1e-4 || b.Max.X > 20+1e-4 || math.Abs(b.Min.Y-19.5) > 0.01 || math.Abs(b.Max.Y-20.5) > 0.01 {
		t.Errorf("beyond an edge it becomes %v", b)
	}
}

// The outline of something, half beneath that, stays around it at the edge of the picture: it ends there, and does not move in.
func TestDraw_AnOutlineAtTheEdgeStaysAroundWhatItIsOf(t *testing.T) {
	ring := job.Shape{Rule: geometry.EvenOdd, Path: append(geometry.RectXYWH(0, 5, 10, 10).Path(), geometry.RectXYWH(0.6, 5.6, 8.8, 8.8).Path()...)}
	for seen, want := range map[float64][2]float64{0.3: {0, 10.35}, 0.6: {0, 10.4}} {
		out, _ := draw(t, geometry.RectXYWH(0, 0, 20, 20), job.Mend{Do: job.Broaden, At: geometry.Pt(5, 5.3), Drawn: seen, WidthMM: 1}, ring)
		if b := out[0].Path.Bounds(); math.Abs(b.Min.X-want[0]) > 0.01 || math.Abs(b.Max.X-want[1]) > 0.01 {
			t.Errorf("%v: it lies at %v", seen, b)
		}
	}
}

// Dashes become fewer and longer where there is no room for as many.
func TestDraw_DashesKeepTheirGapsOpen(t *testing.T) {
	var run job.Shape
	for k := range 10 {
		dash := pen(2*float64(k), 0, 1.2, 0.4)
		run.Path, run.Centre = append(run.Path, dash.Path...), append(run.Centre, dash.Centre...)
	}
	out, _ := draw(t, wide, job.Mend{Do: job.Broaden, At: geometry.Pt(0.5, 0), Drawn: 0.4, WidthMM: 1}, run)
	things := find(t, job.Shape{Path: out[0].Path})
	if len(things) < 5 || len(things) > 7 {
		t.Fatalf("%d dashes", len(things))
	}
	for i := range things {
		if b := things[i].Bounds; math.Abs(b.Height()-1) > 0.01 || b.Width() < 2 {
			t.Errorf("a dash of %.2f × %.2f mm", b.Width(), b.Height())
		}
	}
	if gap := Gap([]Thing{things[0], things[1]}, things[0].Group); gap < 1 {
		t.Errorf("a gap of %.2f mm", gap)
	}
	if b := out[0].Path.Bounds(); math.Abs(b.Min.X) > 0.01 || math.Abs(b.Max.X-19.2) > 0.01 {
		t.Errorf("the run goes from %.2f to %.2f", b.Min.X, b.Max.X)
	}
}

// star returns a star of n points, as far from its middle as outer says, and the corners between them as inner does.
func star(n int, outer, inner float64) geometry.Path {
	var out []geometry.Point
	for k := range 2 * n {
		r := outer
		if k%2 == 1 {
			r = inner
		}
		sin, cos := math.Sincos(math.Pi * float64(k) / float64(n))
		out = append(out, geometry.Pt(r*cos, r*sin))
	}
	return geometry.Path{geometry.Polygon(out...)}
}

// The laces of a shoe are lines, short as they are and however they are turned, with round ends
// or straight ones; an oval, a square and a star are dots: a star's outline is long for its points.
func TestFind_ShortBarsAreLinesHoweverTheyAreTurned(t *testing.T) {
	capsule := geometry.Path{geometry.RectXYWH(0.3, 0, 1.4, 0.6).Path()[0], geometry.Ellipse(geometry.Pt(0.3, 0.3), 0.3, 0.3), geometry.Ellipse(geometry.Pt(1.7, 0.3), 0.3, 0.3)}
	for name, x := range map[string]struct {
		path geometry.Path
		kind Kind
	}{
		"a lace":   {capsule, Line},
		"a bar":    {geometry.RectXYWH(0, 0, 2, 0.7).Path(), Line},
		"an oval":  {geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 1, 0.5)}, Dot},
		"a square": {geometry.RectXYWH(0, 0, 2, 2).Path(), Dot},
		"a leaf":   {geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 1.5, 0.5)}, Figure},
		"a star":   {star(5, 2, 0.76), Dot},
	} {
		for _, turn := range []float64{0, 0.3, math.Pi / 4, 2} {
			if things := find(t, job.Shape{Path: x.path.Transform(geometry.Rotate(turn))}); len(things) != 1 || things[0].Kind != x.kind {
				t.Errorf("%s turned by %g: %v", name, turn, things[0].Kind)
			}
		}
	}
}

// Lines that stand in a row on one line are letters where each stands by itself; the creases of
// a fist, of which one lies in the bend of another, are lines.
func TestFind_NoLetterLiesWithinAnother(t *testing.T) {
	bend := job.Shape{Path: geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(4, 0), geometry.Pt(4, 4), geometry.Pt(3.5, 4),
		geometry.Pt(3.5, 0.5), geometry.Pt(0.5, 0.5), geometry.Pt(0.5, 4), geometry.Pt(0, 4))}}
	for x, letters := range map[float64]bool{1.5: false, 5: true} {
		for _, thing := range find(t, bend, rect(x, 1.6, 0.6, 2.4), rect(6.5, 0, 0.72, 4), rect(8, 1, 0.87, 3)) {
			if (thing.Kind == Letter) != letters {
				t.Errorf("with one at %g, %v is a %v", x, thing.Bounds, thing.Kind)
			}
		}
	}
}

// The belt of a pair of trousers, its loops and a patch are no word, and neither is the line under a word part of it.
func TestFind_WhatSpansOthersIsNoLetter(t *testing.T) {
	patch := job.Shape{Path: geometry.Path{geometry.Polygon(geometry.Pt(19, 12), geometry.Pt(17, 12), geometry.Pt(13, 10), geometry.Pt(23, 10))}}
	for i, x := range find(t, rect(10, 2, 16, 2), patch, rect(12, 0, 2, 3), rect(22, 0, 2, 3), rect(16, 4, 2, 7)) {
		if x.Kind == Letter {
			t.Errorf("%d of the trousers is a letter", i)
		}
	}
	bend := job.Shape{Path: geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(4, 0), geometry.Pt(4, 4), geometry.Pt(3.5, 4),
		geometry.Pt(3.5, 0.5), geometry.Pt(0.5, 0.5), geometry.Pt(0.5, 4), geometry.Pt(0, 4))}}
	for i, x := range find(t, bend, rect(5, 1.6, 0.6, 2.4), rect(6.5, 0, 0.72, 4), rect(8, 1, 0.87, 3), rect(0, 4.6, 9, 0.6)) {
		if line := i == 4; (x.Kind == Letter) == line {
			t.Errorf("%d of the word is a %v", i, x.Kind)
		}
	}
}

// A word of one pen is one, though all its strokes are as broad as each other; the pales of a fence are
// none, of whatever height, nor are six times the same hook.
func TestFind_ALineOfDifferentLettersIsAWord(t *testing.T) {
	shape := func(points ...geometry.Point) job.Shape {
		return job.Shape{Path: geometry.Path{geometry.Polygon(points...)}}
	}
	ell := func(x float64) job.Shape {
		return shape(geometry.Pt(x, 0), geometry.Pt(x+1, 0), geometry.Pt(x+1, 3), geometry.Pt(x+3, 3), geometry.Pt(x+3, 4), geometry.Pt(x, 4))
	}
	tee := func(x float64) job.Shape {
		return shape(geometry.Pt(x, 0), geometry.Pt(x+3.6, 0), geometry.Pt(x+3.6, 1), geometry.Pt(x+2.3, 1), geometry.Pt(x+2.3, 4), geometry.Pt(x+1.3, 4), geometry.Pt(x+1.3, 1), geometry.Pt(x, 1))
	}
	aitch := func(x float64) job.Shape {
		return shape(geometry.Pt(x, 0), geometry.Pt(x+1, 0), geometry.Pt(x+1, 1.5), geometry.Pt(x+2.6, 1.5), geometry.Pt(x+2.6, 0), geometry.Pt(x+3.6, 0),
			geometry.Pt(x+3.6, 4), geometry.Pt(x+2.6, 4), geometry.Pt(x+2.6, 2.5), geometry.Pt(x+1, 2.5), geometry.Pt(x+1, 4), geometry.Pt(x, 4))
	}
	for name, c := range map[string]struct {
		row     []job.Shape
		letters bool
	}{
		"LITHL": {[]job.Shape{ell(0), rect(4, 0, 1, 4), tee(6), aitch(11), ell(16)}, true},
		"pales": {[]job.Shape{rect(0, 0, 1, 4), rect(2, 1, 1, 3), rect(4, 0.5, 1, 3.5), rect(6, 1.5, 1, 2.5), rect(8, 0, 1, 4)}, false},
		"LTLT":  {[]job.Shape{ell(0), tee(4), ell(9), tee(13)}, true},
		"LTLTL": {[]job.Shape{ell(0), tee(4), ell(9), tee(13), ell(18)}, false},
		"hooks": {[]job.Shape{ell(0), ell(4), ell(8), ell(12), ell(16), ell(20)}, false},
	} {
		for i, x := range find(t, c.row...) {
			if (x.Kind == Letter) != c.letters {
				t.Errorf("%s: %d is a %v", name, i, x.Kind)
			}
		}
	}
}

// The capital of a script, three times as high as what follows it, a full stop and an apostrophe are of its word, and stay as far
// from it as it moves; two eyes far off are not.
func TestFind_AWordHasItsCapitalsAndItsMarks(t *testing.T) {
	ell := func(x, high float64) job.Shape {
		return job.Shape{Path: geometry.Path{geometry.Polygon(geometry.Pt(x, 9-high), geometry.Pt(x+0.6, 9-high), geometry.Pt(x+0.6, 8.4),
			geometry.Pt(x+2, 8.4), geometry.Pt(x+2, 9), geometry.Pt(x, 9))}}
	}
	things := find(t, ell(0, 9), ell(2.5, 3), ell(5, 3.6), rect(7.5, 6, 0.6, 3), ell(9, 3.2), rect(11.3, 8.2, 0.8, 0.8), rect(2.3, 0, 0.5, 1.5), rect(18, 1, 0.9, 0.9), rect(21, 1, 0.9, 0.9))
	for i, x := range things {
		if word := i < 7; (x.Kind == Letter) != word || word && x.Group != things[0].Group {
			t.Errorf("%d is a %v of group %d", i, x.Kind, x.Group)
		}
	}
}

// Condensed capitals are all of about one size, and a heavy word has dots half as broad as its stems: both are words. Six times the
// same capital is none.
func TestFind_CapitalsOfOneSizeAndHeavyLettersAreWords(t *testing.T) {
	bars := func(x float64, boxes ...geometry.Rect) (s job.Shape) {
		s.Rule = geometry.NonZero
		for _, b := range boxes {
			s.Path = append(s.Path, b.Path().Transform(geometry.Translate(x, 0))...)
		}
		return s
	}
	box := geometry.RectXYWH
	e := func(x float64) job.Shape {
		return bars(x, box(0, 0, 1.2, 8), box(0, 0, 3.6, 1.2), box(0, 3.4, 3, 1.2), box(0, 6.8, 3.6, 1.2))
	}
	h := func(x float64) job.Shape {
		return bars(x, box(0, 0, 1.2, 8), box(2.4, 0, 1.2, 8), box(0, 3.4, 3.6, 1.2))
	}
	u := func(x float64) job.Shape {
		return bars(x, box(0, 0, 1.2, 8), box(2.4, 0, 1.2, 8), box(0, 6.8, 3.6, 1.2))
	}
	heavy := func(x, high float64) job.Shape { return bars(x, box(0, 10-high, 2.4, high), box(0, 7.6, 7, 2.4)) }
	for name, c := range map[string]struct {
		row     []job.Shape
		letters bool
	}{
		"EHUEHU": {[]job.Shape{e(0), h(4.4), u(8.8), e(13.2), h(17.6), u(22)}, true},
		"crumbs": {[]job.Shape{rect(0, 2, 0.7, 5), rect(2, 1, 0.6, 6), bars(4, box(0, 0, 0.7, 7), box(0, 6.3, 2, 0.7)), rect(0.3, 7.05, 0.05, 0.05), rect(2.3, 7.05, 0.04, 0.06)}, false},
		"EEEEEE": {[]job.Shape{e(0), e(4.4), e(8.8), e(13.2), e(17.6), e(22)}, false},
		"heavy":  {[]job.Shape{heavy(0, 10), bars(8, box(0, 4, 2.2, 6), box(4.4, 4, 2.2, 6), box(0, 7.8, 6.6, 2.2)), rect(8.5, 1, 1.2, 1.2), rect(12, 1, 1.2, 1.2), heavy(16, 6)}, true},
	} {
		for i, x := range find(t, c.row...) {
			if (x.Kind == Letter) != c.letters {
				t.Errorf("%s: %d is a %v", name, i, x.Kind)
			}
		}
	}
}
