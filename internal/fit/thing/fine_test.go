package thing

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// capitalI has a stem of 2 mm and serifs of 0.4 mm, 5 mm long.
func capitalI() job.Shape {
	return job.Shape{Element: "text", Path: geometry.Path{geometry.Polygon(
		geometry.Pt(0, 0), geometry.Pt(5, 0), geometry.Pt(5, 0.4), geometry.Pt(3.5, 0.4), geometry.Pt(3.5, 9.6), geometry.Pt(5, 9.6),
		geometry.Pt(5, 10), geometry.Pt(0, 10), geometry.Pt(0, 9.6), geometry.Pt(1.5, 9.6), geometry.Pt(1.5, 0.4), geometry.Pt(0, 0.4))}}
}

// letterO is broad on both sides, 1.6 mm, and 0.3 mm thin above and beneath.
func letterO() job.Shape {
	return job.Shape{Element: "text", Rule: geometry.EvenOdd, Path: geometry.Path{
		geometry.Ellipse(geometry.Pt(0, 0), 4, 4.5), geometry.Ellipse(geometry.Pt(0, 0), 2.4, 4.2)}}
}

// holding returns how much of a line from a to b lies within a shape, in mm.
func holding(s job.Shape, a, b geometry.Point) float64 {
	inside := geometry.NewEnclosure(s.Path)
	n, in := 4000, 0
	for i := range n {
		if inside.Holds(a.Lerp(b, (float64(i)+0.5)/float64(n))) {
			in++
		}
	}
	return b.Sub(a).Len() * float64(in) / float64(n)
}

func TestDraw_FineMakesHairlinesBroaderAndLeavesStems(t *testing.T) {
	out, made := draw(t, wide, job.Mend{At: geometry.Pt(2.5, 5), Do: job.Broaden, Fine: true, Drawn: 0.4, WidthMM: 1}, capitalI())
	if len(made) != 1 || made[0].AreaMM2 <= 0 {
		t.Fatalf("%+v", made)
	}
	for _, x := range []struct {
		what     string
		from, to geometry.Point
		mm       float64
	}{
		{"serif", geometry.Pt(0.5, -2), geometry.Pt(0.5, 3), 1},
		{"serif beneath", geometry.Pt(4.5, 7), geometry.Pt(4.5, 12), 1},
		{"stem", geometry.Pt(-2, 5), geometry.Pt(7, 5), 2},
		{"serif's length", geometry.Pt(-2, 0.2), geometry.Pt(7, 0.2), 5},
		{"height at the stem", geometry.Pt(2.5, -2), geometry.Pt(2.5, 12), 10.6}, // a serif stays flat
	} {
		if got := holding(out[0], x.from, x.to); math.Abs(got-x.mm) > 0.02 {
			t.Errorf("%s: %.3f mm, not %.2f", x.what, got, x.mm)
		}
	}
	if n := len(out[0].Path.Simplified(0.01)[0].Segments) + 1; n != 12 {
		t.Errorf("%d corners, not 12", n)
	}
}

func TestDraw_FineGoesOverIntoWhatIsBroadEnough(t *testing.T) {
	out, _ := draw(t, wide, job.Mend{At: geometry.Pt(3.2, 0), Do: job.Broaden, Fine: true, Drawn: 0.3, WidthMM: 1}, letterO())
	for angle := 0.0; angle < 360; angle += 5 {
		sin, cos := math.Sincos(angle / 180 * math.Pi)
		drawn := holding(letterO(), geometry.Pt(0, 0), geometry.Pt(8*cos, 8*sin))
		got := holding(out[0], geometry.Pt(0, 0), geometry.Pt(8*cos, 8*sin))
		if got < 0.97 {
			t.Errorf("at %g° it is %.3f mm broad", angle, got)
		}
		if math.Abs(cos) > 0.98 && math.Abs(got-drawn) > 0.02 {
			t.Errorf("at %g° it was %.3f mm broad and is %.3f", angle, drawn, got)
		}
	}
	// It turns as an O does: twice around, and not more than a little to and fro.
	if turn := turns(out[0].Path); turn > 1.15*4*math.Pi {
		t.Errorf("it turns by %.2f, an O by %.2f", turn, 4*math.Pi)
	}
}

// A line that is drawn broader twice ends where it did, all across.
func TestDraw_ALineEndsStraightHoweverOftenItGrows(t *testing.T) {
	mends := []job.Mend{
		{At: geometry.Pt(5, 0), Do: job.Broaden, Drawn: 0.5, WidthMM: 1.1},
		{At: geometry.Pt(5, 0), Do: job.Broaden, Drawn: 0.9, WidthMM: 1},
	}
	out, made, err := Draw(t.Context(), Layer{Shapes: []job.Shape{pen(0, 0, 10, 0.5)}, Transform: geometry.Identity()}, wide, mends)
	if err != nil || len(made) != 2 {
		t.Fatal(made, err)
	}
	b := out[0].Path.Bounds()
	if math.Abs(b.Min.X) > 0.001 || math.Abs(b.Max.X-10) > 0.001 || math.Abs(b.Height()-1.2) > 0.01 {
		t.Errorf("it lies in %+v", b)
	}
}

// Where the arch of an r leaves its stem both become broader, and what they pass on their way is theirs: the outline that is
// drawn anew crosses itself there, and left a hole in the stem of a tenth of a millimetre.
func TestStrengthened_ANotchIsFilledAndNotCutDeeper(t *testing.T) {
	pts := []geometry.Point{geometry.Pt(0, 0), geometry.Pt(0.9, 0), geometry.Pt(0.9, 1.15)}
	arc := func(r, from, to float64) {
		for k := range 31 {
			sin, cos := math.Sincos((from + (to-from)*float64(k)/30) * math.Pi / 180)
			pts = append(pts, geometry.Pt(2.2+r*cos, 1.9+r*sin))
		}
	}
	arc(1.5, 211, 270)
	arc(1, 270, 180)
	pts = append(pts, geometry.Pt(0.9, 3), geometry.Pt(0.9, 6), geometry.Pt(0, 6))
	broad, err := strengthened(t.Context(), geometry.Path{geometry.Polygon(pts...)}, 1)
	if err != nil || len(broad) != 1 {
		t.Fatal(err, len(broad))
	}
	inside := geometry.NewEnclosure(broad)
	for y := 0.02; y < 5.98; y += 0.02 {
		if !inside.Holds(geometry.Pt(-0.04, y)) || !inside.Holds(geometry.Pt(0.94, y)) {
			t.Errorf("the stem is not as broad at %.2f", y)
		}
	}
	if inside.Holds(geometry.Pt(2.24, 0.65)) {
		t.Error("the end of the arch moved")
	}
}

// Where an arch leaves its stem just below the stem's top, the sides that move out cross each other: what lies beyond is neither a
// spur above the letter nor a slit in it.
func TestStrengthened_ANotchNearAnEndHasNoSpur(t *testing.T) {
	outline := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(0.5, 0), geometry.Pt(0.5, 0.12), geometry.Pt(0.8, -0.2), geometry.Pt(1.3, -0.4),
		geometry.Pt(3, -0.4), geometry.Pt(3, 0.2), geometry.Pt(1.4, 0.2), geometry.Pt(0.8, 0.6), geometry.Pt(0.5, 1.2), geometry.Pt(0.5, 6), geometry.Pt(0, 6))}
	broad, err := strengthened(t.Context(), outline, 1)
	if err != nil || len(broad) != 1 {
		t.Fatal(err, len(broad))
	}
	if was, is := turns(outline), turns(broad); is > was+0.1 {
		t.Errorf("it turns by %.2f, and by %.2f as drawn", is, was)
	}
}

// turns returns by how much outlines turn in all, in radians.
func turns(p geometry.Path) (sum float64) {
	for _, c := range p {
		var ways []geometry.Point
		for a, b := range c.Sides() {
			if d := b.Sub(a); d.Len() > 0 {
				ways = append(ways, d)
			}
		}
		for i, w := range ways {
			v := ways[(i+1)%len(ways)]
			sum += math.Abs(math.Atan2(w.Cross(v), w.Dot(v)))
		}
	}
	return sum
}

// A letter that fills the page fills it when it is bolder, and is as round at its head and foot as it was.
func TestDraw_BolderLettersKeepTheirFeetWithinThePage(t *testing.T) {
	o := letterO()
	page := o.Path.Bounds()
	for _, fine := range []bool{true, false} {
		out, _ := draw(t, page, job.Mend{At: geometry.Pt(3.2, 0), Do: job.Broaden, Fine: fine, Drawn: 0.3, WidthMM: 1}, o)
		b := out[0].Path.Bounds()
		if b.Min.Sub(page.Min).Len() > 0.02 || b.Max.Sub(page.Max).Len() > 0.02 {
			t.Errorf("fine %v: it is %.3f × %.3f mm large, not %.3f × %.3f", fine, b.Width(), b.Height(), page.Width(), page.Height())
		}
		for _, y := range []float64{page.Min.Y + 0.05, page.Max.Y - 0.05} {
			drawn, got := holding(o, geometry.Pt(-5, y), geometry.Pt(5, y)), holding(out[0], geometry.Pt(-5, y), geometry.Pt(5, y))
			if got > 1.3*drawn {
				t.Errorf("fine %v: it is %.2f mm broad at %.2f, and was %.2f", fine, got, y, drawn)
			}
		}
		if got := holding(out[0], geometry.Pt(0, 0), geometry.Pt(0, 8)); got < 0.97 {
			t.Errorf("fine %v: its foot is %.3f mm thick", fine, got)
		}
	}
}

// A word that fills the page is no larger than that in either direction, though it needs to be smaller once more in one of them:
// its letters lean, and have larger corners to the right.
func TestDraw_BolderLettersAreSqueezedInBothDirections(t *testing.T) {
	var word []job.Shape
	all := geometry.EmptyRect()
	for k := range 4 {
		o := letterO()
		o.Path = o.Path.Transform(geometry.Translate(9*float64(k), 0).Mul(geometry.Affine{A: 1, C: -0.5, D: 1}))
		o.Element = "text"
		word, all = append(word, o), all.Union(o.Path.Bounds())
	}
	for _, fine := range []bool{true, false} {
		out, made := draw(t, all, job.Mend{At: geometry.Pt(3.2, 0), Do: job.Broaden, Fine: fine, Drawn: 0.3, WidthMM: 1}, word...)
		is := geometry.EmptyRect()
		for _, s := range out {
			is = is.Union(s.Path.Bounds())
		}
		if made[0].CutOff || is.Min.Sub(all.Min).Len() > 0.03 || is.Max.Sub(all.Max).Len() > 0.03 {
			t.Errorf("fine %v: cut off %v: %v on %v", fine, made[0].CutOff, is, all)
		}
	}
}

// Letters that move apart stay a width away from the page's edge where they were further away, and as near as they were elsewhere.
func TestRoom_IsAWidthWithinThePage(t *testing.T) {
	page := geometry.RectXYWH(0, 0, 60, 20)
	got := Room(geometry.Rect{Min: geometry.Pt(5, 0.4), Max: geometry.Pt(61, 16)}, page, 1)
	if want := (geometry.Rect{Min: geometry.Pt(1, 0.4), Max: geometry.Pt(60, 19)}); got != want {
		t.Errorf("%v, want %v", got, want)
	}
}

// The hairline of an e, 0.3 mm thin, above whose counter there is room and in which there is not: it becomes broad upwards, and
// the counter stays as high as it was. One with room on both sides becomes so on both.
func TestStrengthened_KeepsCountersOpen(t *testing.T) {
	for high, inwards := range map[float64]float64{0.9: 0, 4: 0.35} {
		ring := geometry.Path{geometry.RectXYWH(0, 0, 12, high+2.3).Path()[0], geometry.RectXYWH(2, 0.3, 8, high).Path().Reverse()[0]}
		out, err := strengthened(t.Context(), ring, 1)
		if err != nil {
			t.Fatal(err)
		}
		s := job.Shape{Path: out}
		if up := holding(s, geometry.Pt(6, -2), geometry.Pt(6, 0.15)); math.Abs(up-(0.15+0.7-inwards)) > 0.02 {
			t.Errorf("over a counter of %g mm it grows by %.3f mm upwards", high, up-0.15)
		}
		if open := high + 2.3 - 0.15 - holding(s, geometry.Pt(6, 0.15), geometry.Pt(6, high+2.3)); math.Abs(open-(high-inwards)) > 0.02 {
			t.Errorf("a counter of %g mm is %.3f mm high", high, open)
		}
	}
}

// Where two strokes of a font meet there may be a side of a hundredth of a millimetre that goes any way: nothing grows out of it.
func TestStrengthened_ASideThatNobodySeesGrowsNothing(t *testing.T) {
	for k := range 8 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 4)
		bar := geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(10, 0), geometry.Pt(10, 0.6), geometry.Pt(5, 0.6), geometry.Pt(5+0.014*cos, 0.6+0.014*sin), geometry.Pt(0, 0.7))}
		out, err := strengthened(t.Context(), bar, 1)
		if err != nil {
			t.Fatal(err)
		}
		if b := out.Bounds(); len(out) != 1 || b.Min.Y < -0.22 || b.Max.Y > 0.9 {
			t.Errorf("a side towards %.2f, %.2f: %d contours in %v", cos, sin, len(out), b)
		}
	}
}

// The outlines of two letters, of which the one on the left reaches to the page's edge, become broader where they are: as letters
// they would move in, or become smaller, and lie beside those whose outlines they are.
func TestDraw_WhatLiesAroundLettersStaysThere(t *testing.T) {
	ring := func(x float64) job.Shape {
		s := job.Shape{Path: append(geometry.RectXYWH(x, 0, 6, 8).Path(), geometry.RectXYWH(x+2, 2, 2, 4).Path().Reverse()...)}
		s.Element = "text"
		return s
	}
	m := job.Mend{At: geometry.Pt(1, 4), Do: job.Broaden, Drawn: 0.8, WidthMM: 1.2, Around: true}
	out, _ := draw(t, geometry.RectXYWH(0, -5, 30, 20), m, ring(0), ring(12))
	for i, want := range []geometry.Rect{geometry.RectXYWH(0, -0.2, 6.2, 8.4), geometry.RectXYWH(11.8, -0.2, 6.4, 8.4)} {
		if b := out[i].Path.Bounds(); b.Min.Sub(want.Min).Len() > 0.01 || b.Max.Sub(want.Max).Len() > 0.01 {
			t.Errorf("outline %d is at %v, want %v", i, b, want)
		}
	}
	m.Around = false
	if out, _ = draw(t, geometry.RectXYWH(0, -5, 30, 20), m, ring(0), ring(12)); out[1].Path.Bounds().Min.X < 11.9 {
		t.Error("letters that nothing lies over do not move in")
	}
}
