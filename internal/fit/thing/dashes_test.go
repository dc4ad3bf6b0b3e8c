package thing

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// Where a dash begins a rounding before a corner of its line, that rounding has no
// direction: what lies across it was no number, and the picture could not be cut.
func TestPart_HasNoSideThatIsButRounding(t *testing.T) {
	line := []geometry.Point{geometry.Pt(100, 50), geometry.Pt(100.3, 50), geometry.Pt(100.9, 50.1), geometry.Pt(102, 50.4)}
	corner := lengthOf(line[:2])
	for _, from := range []float64{corner, math.Nextafter(corner, 0), math.Nextafter(corner, 1)} {
		for _, to := range []float64{lengthOf(line[:3]), math.Nextafter(lengthOf(line[:3]), 3)} {
			p := part(line, from, to)
			if len(p) < 2 || math.Abs(lengthOf(p)-(to-from)) > 1e-9 {
				t.Fatalf("from %v to %v: %v", from, to, p)
			}
			for _, c := range band(p, 0.5, roundCap) {
				for a := range c.Sides() {
					if math.IsNaN(a.X) || math.IsNaN(a.Y) {
						t.Fatalf("from %v to %v: %v", from, to, c)
					}
				}
			}
		}
	}
}

// stitches returns a shape of dashes along a polygon, closed or not, each with a gap behind it: as a pen of
// half a millimetre draws them.
func stitches(line []geometry.Point, closed bool, caps lineCap, lengths ...float64) job.Shape {
	l := dashedLine{closed: closed}
	l.goOn(line)
	if closed {
		l.goOn(line[:1])
	}
	var dashes [][2]float64
	for at, n := 0.0, 0; at < l.length-1e-9; n++ {
		on := lengths[n%len(lengths)]
		if n%2 == 0 {
			dashes = append(dashes, [2]float64{at, math.Min(at+on, l.length)})
		}
		at += on
	}
	// On a closed line a dash that runs over its start is one.
	if last := len(dashes) - 1; closed && dashes[last][1] == l.length {
		dashes[0][0] = dashes[last][0] - l.length
		dashes = append(dashes[1:last], dashes[0])
	}
	var out job.Shape
	for _, d := range dashes {
		centre := l.part(d[0], d[1])
		out.Path = append(out.Path, band(centre, 0.25, caps)...)
		out.Centre = append(out.Centre, polyline(centre...))
	}
	return out
}

func triangle(turn float64) []geometry.Point {
	m := geometry.Rotate(turn)
	return []geometry.Point{m.Apply(geometry.Pt(-20, 4)), m.Apply(geometry.Pt(20, 4)), m.Apply(geometry.Pt(0, 50))}
}

// stronger returns the things of a shape when its dashes are drawn 1 mm broad, and 2 mm or more large.
func stronger(t *testing.T, s job.Shape) []Thing {
	t.Helper()
	out, made := draw(t, wide, job.Mend{Do: job.Broaden, At: s.Centre[1].Start.Lerp(s.Centre[1].End(), 0.5), Drawn: 0.5, WidthMM: 1, LengthMM: 2}, s)
	if len(made) != 1 {
		t.Fatalf("%+v", made)
	}
	things := find(t, job.Shape{Path: out[0].Path})
	if n := len(s.Centre) - made[0].Fewer; len(things) != n || made[0].AreaMM2 <= 0 {
		t.Errorf("%d dashes, said to be %d; %.2f mm² more", len(things), n, made[0].AreaMM2)
	}
	for i := range things {
		if b := things[i].Bounds; b.Longer() < 1.99 {
			t.Errorf("a dash of %.2f × %.2f mm", b.Width(), b.Height())
		}
		things[i].Group = 0
	}
	if gap := Gap(things, 0); gap < 1 {
		t.Errorf("a gap of %.2f mm", gap)
	}
	return things
}

// However a closed line of stitches is turned, longer ones go all around it, and one around each
// corner.
func TestDraw_StitchesGoAroundCorners(t *testing.T) {
	for _, turn := range []float64{0, 0.1, 0.34, 1, 2, 3} {
		things := stronger(t, stitches(triangle(turn), true, buttCap, 1.5, 1))
		if len(things) < 40 || len(things) > 48 { // 140 mm, 3.05 mm each
			t.Errorf("turned by %g: %d dashes", turn, len(things))
		}
		for _, at := range triangle(turn) {
			if k := NewFinder(things).At(at, 0); k < 0 {
				t.Errorf("turned by %g: none goes around the corner at %v", turn, at)
			}
		}
	}
}

// A corner of the line may lie in a gap, or where a dash ends.
func TestDraw_StitchesGoAroundCornersInGaps(t *testing.T) {
	for _, corner := range []float64{0, 0.4, 1} { // behind the end of a dash
		long, broad := 14+corner, 12.0
		rect := []geometry.Point{geometry.Pt(0, 0), geometry.Pt(long, 0), geometry.Pt(long, broad), geometry.Pt(0, broad)}
		things := stronger(t, stitches(rect, true, buttCap, 2, 1))
		for _, at := range rect {
			if k := NewFinder(things).At(at, 0); k < 0 {
				t.Errorf("%g mm behind a dash: none goes around the corner at %v", corner, at)
			}
		}
	}
}

// A gap that ends where its line does has a dash of no length behind it, which draws nothing.
func TestDraw_ADashOfNoLengthDrawsNothing(t *testing.T) {
	s := stitches([]geometry.Point{geometry.Pt(0, 0), geometry.Pt(51, 0)}, false, buttCap, 1, 1)
	s.Centre = append(s.Centre, polyline(geometry.Pt(52, 0), geometry.Pt(52+2e-7, 0)))
	out, _ := draw(t, wide, job.Mend{Do: job.Broaden, At: geometry.Pt(0.5, 0), Drawn: 0.5, WidthMM: 1, LengthMM: 2}, s)
	if n := len(find(t, job.Shape{Path: out[0].Path})); n < 15 || n > 17 {
		t.Errorf("%d dashes", n)
	}
}

// bow is a line around half a circle.
func bow(r float64) (line []geometry.Point) {
	for k := range 65 {
		sin, cos := math.Sincos(math.Pi * float64(k) / 64)
		line = append(line, geometry.Pt(r*cos, r*sin))
	}
	return line
}

// Along a bend, dashes with round ends stay as far apart, are round still, and begin and end where
// the line did.
func TestDraw_DashesFollowABend(t *testing.T) {
	for _, caps := range []lineCap{roundCap, squareCap} {
		s := stitches(bow(12), false, caps, 1.5, 1)
		things := stronger(t, s)
		for i := range things {
			ways := upTo(things[i].Outline)
			if square := ways > 1.2; square != (caps == squareCap) {
				t.Errorf("%v: a corner turns by %.2f", caps, ways)
			}
		}
		reach := 0.5
		for _, at := range []geometry.Point{s.Centre[0].Start, s.Centre[len(s.Centre)-1].End()} {
			if k := NewFinder(things).At(at, 0); k < 0 || math.Abs(things[k].Outline.Distance(at)-reach) > 0.02 {
				t.Errorf("none ends at %v", at)
			}
		}
	}
}

// upTo returns by how much outlines turn at one corner, at most, in radians.
func upTo(p geometry.Path) (most float64) {
	for _, c := range p {
		if turns := corners(c); len(turns) > 0 {
			most = math.Max(most, turns[len(turns)-1]*math.Pi/180)
		}
	}
	return most
}

// A dash and a dot by turns stay a long one and a short one.
func TestDraw_DashesKeepTheirRhythm(t *testing.T) {
	line := []geometry.Point{geometry.Pt(0, 0), geometry.Pt(48, 0)}
	things := stronger(t, stitches(line, false, buttCap, 2.5, 1, 0.5, 1))
	slices.SortFunc(things, func(a, b Thing) int { return cmp.Compare(a.Bounds.Min.X, b.Bounds.Min.X) })
	if len(things) < 8 {
		t.Fatalf("%d dashes", len(things))
	}
	for i := range things {
		long := things[i].Bounds.Width() > 3
		if long != (i%2 == 0) {
			t.Errorf("dash %d is %.2f mm long", i, things[i].Bounds.Width())
		}
	}
}

// A dotted line stays one: its dots are larger, and fewer.
func TestDraw_DotsInARowStayDots(t *testing.T) {
	line := []geometry.Point{geometry.Pt(0, 0), geometry.Pt(30, 10)}
	things := stronger(t, stitches(line, false, roundCap, 1e-6, 1.4))
	if len(things) < 8 {
		t.Errorf("%d dots", len(things))
	}
	for i := range things {
		if b := things[i].Bounds; math.Abs(b.Width()-2) > 0.02 || math.Abs(b.Height()-2) > 0.02 {
			t.Errorf("a dot of %.2f × %.2f mm", b.Width(), b.Height())
		}
	}
}

// Each of the lines of one shape has dashes of its own, in whatever order these were drawn; none runs from the
// end of one line to the start of the next.
func TestDraw_EachLineHasItsDashes(t *testing.T) {
	var s job.Shape
	for _, y := range []float64{0, 3, 6} {
		line := stitches([]geometry.Point{geometry.Pt(20, y), geometry.Pt(0, y+1)}, false, buttCap, 1.5, 1)
		s.Path, s.Centre = append(s.Path, line.Path...), append(s.Centre, line.Centre...)
	}
	things := stronger(t, s)
	for i := range things {
		if b := things[i].Bounds; b.Height() > 1.5 {
			t.Errorf("a dash of %.2f × %.2f mm", b.Width(), b.Height())
		}
	}
	if len(things) != 3*6 && len(things) != 3*7 {
		t.Errorf("%d dashes", len(things))
	}
}

// A closed path that says its first point again ends in a side that has no direction.
func TestDraw_DashesMayHaveAPointTwice(t *testing.T) {
	s := stitches(triangle(0.2), true, buttCap, 1.5, 1)
	last := &s.Centre[len(s.Centre)-1]
	end := last.Segments[len(last.Segments)-1].End
	last.Segments = append(last.Segments, geometry.LineTo(end.Add(geometry.Pt(1e-15, 0))))
	if things := stronger(t, s); len(things) < 40 {
		t.Errorf("%d dashes", len(things))
	}
}

// Dashes that move aside go all around to the left of their line, or to the right; where the layer is a mirror image,
// its left is on the other side.
func TestDraw_DashesMoveAside(t *testing.T) {
	var ring []geometry.Point
	for k := range 128 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 128)
		ring = append(ring, geometry.Pt(16*cos, 16*sin)) // clockwise on screen
	}
	s := stitches(ring, true, roundCap, 1.5, 1)
	for name, c := range map[string]struct {
		aside, want float64
		of          geometry.Affine
	}{"outwards": {1.5, 17.5, geometry.Identity()}, "inwards": {-1.5, 14.5, geometry.Identity()}, "as a mirror image": {1.5, 17.5, geometry.Scale(-1, 1)}, "twice as large": {-1.5, 29, geometry.Scale(2, 2)}} {
		m := job.Mend{Do: job.Broaden, At: s.Centre[1].Start.Lerp(s.Centre[1].End(), 0.5), Drawn: 0.5, WidthMM: 1.1, Aside: c.aside}
		out, made, err := Draw(t.Context(), Layer{Shapes: []job.Shape{s}, Transform: c.of}, wide, []job.Mend{m})
		if err != nil || len(made) != 1 {
			t.Fatal(err, made)
		}
		near, far := math.Inf(1), 0.0
		for _, contour := range out[0].Path.Transform(c.of) {
			for p := range contour.Sides() {
				near, far = math.Min(near, p.Len()), math.Max(far, p.Len())
			}
		}
		if math.Abs(near-c.want+0.55) > 0.03 || math.Abs(far-c.want-0.55) > 0.03 {
			t.Errorf("%s: from %.2f to %.2f mm, want %.2f to %.2f", name, near, far, c.want-0.55, c.want+0.55)
		}
	}
}
