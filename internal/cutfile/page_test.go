package cutfile

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
)

// at is a grid coordinate in millimetres, as plans hold them.
func at(steps int64) float64 { return float64(steps) / StepsPerMM }

func onePiece(outline geometry.Path) *fit.Plan {
	b := outline.Bounds()
	return &fit.Plan{Assembly: assemble.Assembly{
		Extent: b, Page: b,
		Separations: []fit.Separation{{
			Name: "red", Colour: colour.RGB{R: 255}, Outline: outline, Bounds: b, AreaMM2: 100, CutMM: 40,
			Pieces: []fit.Piece{{Outline: outline, Bounds: b, Inside: b.Centre(), AreaMM2: 100}},
		}},
	}}
}

func TestSteps_FormatExactly(t *testing.T) {
	for s, want := range map[Steps]string{
		0: "0", 1: "0.0001", 10: "0.001", 12000: "1.2", 10000: "1", -5: "-0.0005",
		-123456: "-12.3456", 1000000: "100", 10203: "1.0203", 19999: "1.9999",
	} {
		if got := s.String(); got != want {
			t.Errorf("%d: %s, want %s", int64(s), got, want)
		}
	}
}

func TestNew_MirroringTwiceIsTheArt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Int64Range(-3_000_000, 3_000_000)
		var pts []geometry.Point
		for range rapid.IntRange(3, 12).Draw(t, "n") {
			pts = append(pts, geometry.Pt(at(coord.Draw(t, "x")), at(coord.Draw(t, "y"))))
		}
		outline := geometry.Path{geometry.Polygon(pts...)}
		page, err := New(onePiece(outline))
		if err != nil {
			t.Fatal(err)
		}
		if len(page.Separations[0].Contours) == 0 {
			return // all points in one place
		}
		back := page.BoardToPage
		inv, _ := back.Invert()
		c := page.Separations[0].Contours[0]
		got := []Point{c.Start}
		for _, s := range c.Segments {
			got = append(got, s.End)
		}
		// The points that remain are the input's, in order, without repeats.
		k := 0
		for _, p := range pts {
			if k < len(got) && (Point{page.Width - got[k].X, got[k].Y}) == (Point{ToSteps(p.X - inv.E), ToSteps(p.Y - inv.F)}) {
				k++
			}
		}
		if k != len(got) {
			t.Fatalf("%d of %d points came back", k, len(got))
		}
	})
}

func TestNew_SharedPointsStayShared(t *testing.T) {
	// Two neighbours meet along a line with awkward coordinates; the page's
	// corner is awkward too.
	x, y := at(1234567), at(7654321)
	left := geometry.Path{geometry.Polygon(geometry.Pt(at(33), at(7)), geometry.Pt(x, at(11)), geometry.Pt(x+at(1), y), geometry.Pt(at(33), y))}
	right := geometry.Path{geometry.Polygon(geometry.Pt(x, at(11)), geometry.Pt(at(9999999), at(7)), geometry.Pt(x+at(1), y))}
	p := onePiece(left)
	p.Separations = append(p.Separations, onePiece(right).Separations[0])
	p.Page = left.Bounds().Union(right.Bounds())
	page, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	if page.Width != 9999999-33 || page.Height != 7654321-7 {
		t.Errorf("page %v × %v", page.Width, page.Height)
	}
	l, r := page.Separations[0].Contours[0], page.Separations[1].Contours[0]
	if l.Segments[0].End != r.Start || l.Segments[1].End != r.Segments[1].End {
		t.Errorf("%v, %v", l, r)
	}
}

func TestNew_CurveControlsAreMirroredWithTheirCurve(t *testing.T) {
	c := geometry.Contour{Start: geometry.Pt(0, 0), Closed: true, Segments: []geometry.Segment{
		geometry.CubicTo(geometry.Pt(1, 0), geometry.Pt(10, 4), geometry.Pt(10, 10)), geometry.LineTo(geometry.Pt(0, 10)),
	}}
	page, err := New(onePiece(geometry.Path{c}))
	if err != nil {
		t.Fatal(err)
	}
	got := page.Separations[0].Contours[0].Segments[0]
	want := Segment{C1: Point{90000, 0}, C2: Point{0, 40000}, End: Point{0, 100000}, Cubic: true}
	if got != want {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestNew_DropsWhatEnclosesNothing(t *testing.T) {
	p := onePiece(geometry.Path{
		geometry.Polygon(geometry.Pt(1, 1), geometry.Pt(2, 2)),
		geometry.Polygon(geometry.Pt(1, 1), geometry.Pt(1, 1), geometry.Pt(1, 1)),
		geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(9, 0), geometry.Pt(9, 0), geometry.Pt(9, 9), geometry.Pt(0, 0)),
	})
	page, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	cs := page.Separations[0].Contours
	if len(cs) != 1 || len(cs[0].Segments) != 2 {
		t.Errorf("%v", cs)
	}
}

func TestNew_AnEmptyPlanIsAnEmptyPage(t *testing.T) {
	page, err := New(&fit.Plan{Assembly: assemble.Assembly{Page: geometry.EmptyRect()}})
	if err != nil || len(page.Separations) != 0 || page.Width != 0 {
		t.Errorf("%v, %v", page, err)
	}
	endless := geometry.Rect{Min: geometry.Pt(0, 0), Max: geometry.Pt(math.Inf(1), 10)}
	if page, err := New(&fit.Plan{Assembly: assemble.Assembly{Page: endless}}); err == nil {
		t.Errorf("a page without end became %v", page)
	}
}

func TestNew_FrameStandsOnTheBaseOnly(t *testing.T) {
	p := onePiece(geometry.RectXYWH(0, 0, 10, 10).Path())
	p.Separations = append(p.Separations, p.Separations[0])
	p.Page = geometry.RectXYWH(-5, -5, 20, 20)
	p.Frame = &fit.Frame{Outline: p.Page.Path(), Bounds: p.Page, MarginMM: 5}
	page, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	if page.Separations[0].Frame == nil || page.Separations[1].Frame != nil {
		t.Error("the frame is not on the base alone")
	}
	if w, h := page.Separations[0].TrimMM(); w != 30 || h != 30 {
		t.Errorf("base trimmed to %g × %g", w, h)
	}
	if w, h := page.Separations[1].TrimMM(); w != 20 || h != 20 {
		t.Errorf("second trimmed to %g × %g", w, h)
	}
	p.Frame.Outline = append(p.Frame.Outline, p.Frame.Outline...)
	if _, err := New(p); err == nil {
		t.Error("a frame of two lines was taken")
	}
}

func TestStem_IsOrderAndName(t *testing.T) {
	for _, c := range []struct {
		s    Separation
		want string
	}{
		{Separation{Order: 1, Name: "red"}, "01-red"},
		{Separation{Order: 12, Name: "Deep  Sea / Blue!"}, "12-deep-sea-blue"},
		{Separation{Order: 2, Name: "../..", Colour: colour.RGB{R: 1, G: 2, B: 255}}, "02-0102ff"},
		{Separation{Order: 3, Name: "голубой", Colour: colour.White}, "03-ffffff"},
		{Separation{Order: 4, Name: "Gebrochenes Weiß"}, "04-gebrochenes-weiss"},
		{Separation{Order: 5, Name: "Grün und Tu\u0308rkis"}, "05-gruen-und-tuerkis"},
		{Separation{Order: 6, Name: "Été crème, Żółty"}, "06-ete-creme-zolty"},
		{Separation{Order: 7, Orders: 99, Name: "red", Sheet: 2, Sheets: 9}, "07-red-2"},
		{Separation{Order: 7, Orders: 100, Name: "red", Sheet: 2, Sheets: 10}, "007-red-02"},
		{Separation{Order: 100, Orders: 100, Name: "red", Sheet: 10, Sheets: 120}, "100-red-010"},
	} {
		if got := c.s.Stem(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestNew_PageHoldsBoundsThatMissTheGrid(t *testing.T) {
	p := onePiece(geometry.RectXYWH(0, 0, 10, 10).Path())
	p.Page = geometry.RectXYWH(-1.0/3, -1.0/3, 10+2.0/3, 10+2.0/3)
	page, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(page.Width.MM()-(10+2.0/3)) > 2e-4 || page.Width.MM() < 10+2.0/3 {
		t.Errorf("width %v", page.Width)
	}
}

func TestStem_IsShortAndTellsPensApart(t *testing.T) {
	long := Separation{Order: 1, Name: "the deepest blue of the northern sea in a winter night"}
	if got := long.Stem(); got != "01-the-deepest-blue-of-the-northern-sea-in-a" {
		t.Error(got)
	}
	page := &Page{Separations: []Separation{{Order: 1, Name: "red"}, {Order: 2, Name: "blue"}}}
	for _, d := range []struct {
		sheet int
		name  string
		blue  uint8
		want  string
	}{
		{0, "Black", 1, "01-red-drawn-black"},
		{0, "black!", 2, "01-red-drawn-black-2"}, // another pen, called the same
		{1, "Black", 1, "02-blue-drawn-black"},
		{0, "Black", 3, "01-red-drawn-black-3"},
	} {
		page.Drawings = append(page.Drawings, Drawing{Sheet: d.sheet, Name: d.name, Colour: colour.RGB{B: d.blue}})
		if got := page.DrawingStem(page.Drawings[len(page.Drawings)-1]); got != d.want {
			t.Errorf("%q, want %q", got, d.want)
		}
	}
}

func TestNew_MarksStandOnEverySheetAndCountForItsSize(t *testing.T) {
	p := onePiece(geometry.RectXYWH(0, 0, 10, 10).Path())
	p.Separations = append(p.Separations, p.Separations[0])
	p.Page = geometry.RectXYWH(-20, 0, 50, 10)
	p.Marks = geometry.RectXYWH(-20, 0, 2, 2).Path()
	page, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range page.Separations {
		if len(s.Marks) != 1 || s.Max.X != page.Width {
			t.Errorf("sheet %d: marks %v, reaches %v of %v", i+1, s.Marks, s.Max.X, page.Width)
		}
		if w, h := s.TrimMM(); w != 40 || h != 20 {
			t.Errorf("sheet %d trimmed to %g × %g, want room for the mark at its right", i+1, w, h)
		}
	}
}
