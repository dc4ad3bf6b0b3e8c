package svgimport

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"abut/geometry"
)

// text writes a path with absolute M, L, C and Z.
func text(p geometry.Path) string {
	var b strings.Builder
	pt := func(q geometry.Point) string { return fmt.Sprintf("%.6g,%.6g", q.X, q.Y) }
	for _, c := range p {
		fmt.Fprintf(&b, "M%s", pt(c.Start))
		for _, s := range c.Segments {
			if s.Cubic {
				fmt.Fprintf(&b, " C%s %s %s", pt(s.C1), pt(s.C2), pt(s.End))
			} else {
				fmt.Fprintf(&b, " L%s", pt(s.End))
			}
		}
		if c.Closed {
			b.WriteString(" Z")
		}
		b.WriteString(" ")
	}
	return strings.TrimSpace(b.String())
}

// SVG 2, chapter 9.3: every command, absolute and relative, and the grammar's
// corners.
func TestParsePath_Commands(t *testing.T) {
	for _, c := range []struct{ d, want string }{
		{"M1 2L3 4", "M1,2 L3,4"},
		{"m1 2l3 4", "M1,2 L4,6"},
		{"M1 2 3 4 5 6", "M1,2 L3,4 L5,6"},
		{"m1 2 3 4 5 6", "M1,2 L4,6 L9,12"},
		{"M1 2H5V7", "M1,2 L5,2 L5,7"},
		{"M1 2h5v7", "M1,2 L6,2 L6,9"},
		{"M1 2h1 2 3", "M1,2 L2,2 L4,2 L7,2"},
		{"M0 0L4 0L4 4Z", "M0,0 L4,0 L4,4 Z"},
		{"M1 1h4v4zl2 2", "M1,1 L5,1 L5,5 Z M1,1 L3,3"},
		{"M1 1h4zm2 2h1z", "M1,1 L5,1 Z M3,3 L4,3 Z"},
		{"M0 0C1 2 3 4 5 6", "M0,0 C1,2 3,4 5,6"},
		{"M1 1c1 2 3 4 5 6", "M1,1 C2,3 4,5 6,7"},
		{"M0 0C1 2 3 4 5 6S7 8 9 9", "M0,0 C1,2 3,4 5,6 C7,8 7,8 9,9"},
		{"M1 1c1 2 3 4 5 6s1 1 2 2", "M1,1 C2,3 4,5 6,7 C8,9 7,8 8,9"},
		{"M3 3S7 8 9 9", "M3,3 C3,3 7,8 9,9"},
		{"M0 0L1 1S7 8 9 9", "M0,0 L1,1 C1,1 7,8 9,9"},
		{"M0 0Q3 3 6 0", "M0,0 C2,2 4,2 6,0"},
		{"M1 1q3 3 6 0", "M1,1 C3,3 5,3 7,1"},
		{"M0 0Q3 3 6 0T12 0", "M0,0 C2,2 4,2 6,0 C8,-2 10,-2 12,0"},
		{"M0 0q3 3 6 0t6 0t6 0", "M0,0 C2,2 4,2 6,0 C8,-2 10,-2 12,0 C14,2 16,2 18,0"},
		{"M3 3T6 6", "M3,3 C3,3 4,4 6,6"},
		{"M0 0C1 2 3 4 5 6T9 9", "M0,0 C1,2 3,4 5,6 C5,6 6.33333,7 9,9"},
		{"M0 0A0 5 0 0 1 9 9", "M0,0 L9,9"},
		{"M0 0A5 5 0 0 1 0 0L1 1", "M0,0 L1,1"},
		// Numbers run together, exponents, signs, commas.
		{"M.5.5-.5-.5", "M0.5,0.5 L-0.5,-0.5"},
		{"M1e1-2E-1+3.e0,4", "M10,-0.2 L3,4"},
		{"M 1 , 2 L 3 , 4 , 5 , 6", "M1,2 L3,4 L5,6"},
		{"M1-2-3-4", "M1,-2 L-3,-4"},
		{"\n\tM\r\n1\f2", ""},
		{"", ""},
		{"M5 5z", "M5,5 Z"},
		{"M5 5zz", "M5,5 Z"},
	} {
		p, err := parsePath(c.d, nil)
		if err != nil {
			t.Errorf("%q: %v", c.d, err)
		}
		if got := text(p); got != c.want {
			t.Errorf("%q: got %s, want %s", c.d, got, c.want)
		}
	}
}

// SVG 2, 9.5.4: an error ends the path, what came before is drawn.
func TestParsePath_ErrorsKeepWhatCameBefore(t *testing.T) {
	for _, c := range []struct{ d, want string }{
		{"L5 5", ""},
		{"5 5", ""},
		{"M5", ""},
		{"M0 0L5 5X9 9", "M0,0 L5,5"},
		{"M0 0L5 5 6", "M0,0 L5,5"},
		{"M0 0L5 5 L NaN 3", "M0,0 L5,5"},
		{"M0 0h1z 5 5", "M0,0 L1,0 Z"},
		{"M0 0A5 5 0 2 0 9 9", ""},
		{"M0 0A5 5 0 0 2 9 9", ""},
		{"M0 0A5 5 0 0 1 9", ""},
		{"M0 0A5 5 0 0 1", ""},
		{"M0 0A5", ""},
		{"M0 0C1 2 3 4 5", ""},
		{"M0 0L1 1,,2 2", "M0,0 L1,1"},
		{"M0 0h1#", "M0,0 L1,0"},
	} {
		p, err := parsePath(c.d, nil)
		if err == nil {
			t.Errorf("%q: no error", c.d)
		}
		if got := text(p); got != c.want {
			t.Errorf("%q: got %s, want %s", c.d, got, c.want)
		}
	}
}

// An arc that no float can hold is a line.
func TestParsePath_EndlessArcsAreLines(t *testing.T) {
	for _, arc := range []string{"1e999 5 0 0 1", "5 1e999 0 0 1", "1e999 1e999 0 1 0", "5 5 1e999 0 1", "1e308 1e-308 5 1 1"} {
		if got := text(mustPath(t, "M0 0A"+arc+" 9 9h1")); got != "M0,0 L9,9 L10,9" {
			t.Errorf("%s: %s", arc, got)
		}
	}
	if p := mustPath(t, "M0 0A5 5 0 0 1 1e999 9"); within(p, math.MaxFloat64) {
		t.Errorf("an endless end became %s", text(p))
	}
}

// Flags may stand without anything between them and the next number.
func TestParsePath_PackedArcFlags(t *testing.T) {
	want := text(mustPath(t, "M10 10 a 25 25 -30 0 1 50 -25"))
	for _, d := range []string{
		"M10 10a25 25-30 0150-25", "M10 10a25,25 -30 0,150,-25", "M10 10a25 25-30 01 50-25", "m10 10a25 25-30,0,1,50-25",
	} {
		if got := text(mustPath(t, d)); got != want {
			t.Errorf("%q: got %s, want %s", d, got, want)
		}
	}
	want = text(mustPath(t, "M0 0 a 4 4 0 0 1 .4 4 a 1 2 3 1 0 -1 0.5"))
	if got := text(mustPath(t, "M0 0a4 4 0 01.4 4 1 2 3 10-1 .5")); got != want {
		t.Errorf("packed run: got %s, want %s", got, want)
	}
}

// SVG 2 worked examples: the pie slices of 9.3.8 and the out-of-range radii of
// B.2.5 (figures recomputed in closed form: ¾ and ¼ of π·150²).
func TestParsePath_ArcExamplesOfSVG2(t *testing.T) {
	near(t, "three quarters", math.Abs(mustPath(t, "M300,200 h-150 a150,150 0 1,0 150,-150 z").SignedArea()), 53014.3760, 1e-3)
	near(t, "quarter", math.Abs(mustPath(t, "M275,175 v-150 a150,150 0 0,0 -150,150 z").SignedArea()), 17671.4587, 1e-3)
	// The radius 25 is too small for the chord 50,−25: it becomes 27.950850, a
	// half turn about +25,−12.5.
	for _, d := range []string{"M0 0a25,25 -30 0,1 50,-25", "M0 0a-25,25 -30 0,1 50,-25"} {
		p := mustPath(t, d)
		from := p[0].Start
		for _, s := range p[0].Segments {
			near(t, d, s.At(from, 0.3).Sub(geometry.Pt(25, -12.5)).Len(), 27.950850, 1e-5)
			from = s.End
		}
		near(t, d, p.SignedArea(), math.Pi*27.950850*27.950850/2, 1e-3)
	}
	// a25,50 −30 on the same chord becomes 27.913197 × 55.826394: half its
	// ellipse.
	near(t, "ellipse", mustPath(t, "M0 0a25,50 -30 0,1 50,-25").SignedArea(), math.Pi*27.913197*55.826394/2, 1e-3)
}

func TestParsePath_Polls(t *testing.T) {
	stop := fmt.Errorf("stop")
	_, err := parsePath("M0 0"+strings.Repeat("h1", 100000), func(n int) error {
		if n > 10000 {
			return stop
		}
		return nil
	})
	if err != stop {
		t.Errorf("got %v", err)
	}
}

func BenchmarkParsePath(b *testing.B) {
	d := "M0 0" + strings.Repeat("c1.25-3.5 4.75.5 6 2l-3.125 4.5a4 5 6 015 6", 1000)
	b.SetBytes(int64(len(d)))
	for b.Loop() {
		if _, err := parsePath(d, nil); err != nil {
			b.Fatal(err)
		}
	}
}
