package dxf

import (
	"bytes"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/oracle"
)

// disc is a circle as drawing programs write it: four Béziers.
func disc(m geometry.Point, r float64) geometry.Contour {
	const k = 0.5522848
	at := func(x, y float64) geometry.Point { return m.Add(geometry.Pt(x, y).Mul(r)) }
	return geometry.Contour{Start: at(1, 0), Closed: true, Segments: []geometry.Segment{
		geometry.CubicTo(at(1, k), at(k, 1), at(0, 1)), geometry.CubicTo(at(-k, 1), at(-1, k), at(-1, 0)),
		geometry.CubicTo(at(-1, -k), at(-k, -1), at(0, -1)), geometry.CubicTo(at(k, -1), at(1, -k), at(1, 0)),
	}}
}

// letters is a page with an F of 30 × 50 mm, its stem on the left and a round hole
// in it, in a frame, a second sheet, and a line for a pen on the first.
func letters(t *testing.T) *cutfile.Page {
	t.Helper()
	f := geometry.Path{disc(geometry.Pt(4, 25), 2), geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(30, 0), geometry.Pt(30, 8),
		geometry.Pt(8, 8), geometry.Pt(8, 20), geometry.Pt(24.1234, 20), geometry.Pt(24.1234, 28), geometry.Pt(8, 28), geometry.Pt(8, 50), geometry.Pt(0, 50))}
	egg := geometry.Path{geometry.Ellipse(geometry.Pt(22, 40), 6, 9)}
	page := f.Bounds().Grow(5)
	p, err := cutfile.New(&fit.Plan{
		Assembly: assemble.Assembly{Extent: f.Bounds(), Page: page, Frame: &fit.Frame{Outline: page.Path(), Bounds: page, MarginMM: 5}, Separations: []fit.Separation{
			{Name: "Puffin black", Outline: f}, {Name: "Egg & shell", Colour: colour.RGB{R: 250, G: 240, B: 30}, Outline: egg},
		}},
		Drawings: []fit.Drawing{{Name: "Red", Colour: colour.RGB{R: 255}, Lines: geometry.Path{{Start: geometry.Pt(1, 2), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(5, 2)), geometry.CubicTo(geometry.Pt(9, 2), geometry.Pt(9, 6), geometry.Pt(5, 6))}}}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func readBack(t *testing.T, write func(io.Writer) error) oracle.DXF {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "a.dxf")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	d, err := oracle.ReadDXF(t, file)
	if err != nil {
		t.Fatal(err)
	}
	if len(d[0].Wrong) > 0 {
		t.Errorf("an audit finds %v", d[0].Wrong)
	}
	return d[0]
}

// apart returns how far two lines lie from each other at most.
func apart(a, b geometry.Path) float64 {
	a, b = a.Flatten(0.0005), b.Flatten(0.0005)
	worst := 0.0
	for _, x := range [][2]geometry.Path{{a, b}, {b, a}} {
		for p := range x[0][0].Sides() {
			worst = math.Max(worst, x[1].Distance(p))
		}
	}
	return worst
}

func TestWrite_IsTheMirroredPageInMillimetresForAnotherReader(t *testing.T) {
	page := letters(t)
	for _, c := range []struct {
		name, version, kind string
		units               int
		layer               string
		write               func(io.Writer, *cutfile.Page, int) error
	}{
		{"release 2000", "AC1015", "LWPOLYLINE", 4, "01-puffin-black", Write},
		{"release 12", "AC1009", "POLYLINE", 0, "01-PUFFIN-BLACK", WriteR12},
	} {
		d := readBack(t, func(w io.Writer) error { return c.write(w, page, 0) })
		if d.Version != c.version || d.Units != c.units || len(d.Lines) != 3 || !slices.Contains(d.Layers, c.layer) {
			t.Fatalf("%s: version %s, unit %d, %d lines, layers %v", c.name, d.Version, d.Units, len(d.Lines), d.Layers)
		}
		s := page.Separations[0]
		want := append(slices.Clone(s.Contours), *s.Frame)
		for i, l := range d.Lines {
			if l.Kind != c.kind || !l.Closed || l.Layer != c.layer {
				t.Errorf("%s: line %d is a %s on %s, closed %v", c.name, i, l.Kind, l.Layer, l.Closed)
			}
			if off := apart(l.Path(page.Height.MM()), geometry.Path{want[i].MM()}); off > sagittaMM+0.001 {
				t.Errorf("%s: line %d is %.4f mm off", c.name, i, off)
			}
		}
		// The foot of the F, its lowest corners, is at the right: reversed, and not upside down.
		for _, q := range d.Lines[1].Points {
			if q[1] < 20 && q[0] < 27 {
				t.Errorf("%s: a corner at %v, where a reversed F has none", c.name, q)
			}
		}
	}
}

func TestWriteLayers_HasALayerForEachSheetAndPen(t *testing.T) {
	page := letters(t)
	d := readBack(t, func(w io.Writer) error { return WriteLayers(w, page) })
	var on []string
	for _, l := range d.Lines {
		on = append(on, l.Layer)
		if open := strings.Contains(l.Layer, "drawn"); l.Closed == open {
			t.Errorf("a line on %s is closed: %v", l.Layer, l.Closed)
		}
	}
	if got := strings.Join(slices.Compact(on), " "); got != "01-puffin-black 01-puffin-black-drawn-red 02-egg-shell" {
		t.Errorf("layers in order: %s", got)
	}
}

func TestWriteDrawing_OpenLinesStayOpen(t *testing.T) {
	page := letters(t)
	for name, write := range map[string]func(io.Writer, *cutfile.Page, int) error{"release 2000": WriteDrawing, "release 12": WriteR12Drawing} {
		d := readBack(t, func(w io.Writer) error { return write(w, page, 0) })
		if len(d.Lines) != 1 || d.Lines[0].Closed {
			t.Fatalf("%s: %+v", name, d.Lines)
		}
		// From 1, 2 on the art: mirrored on a page of 40 mm with a margin of 5.
		if p := d.Lines[0].Points; math.Hypot(p[0][0]-34, p[0][1]-53) > 1e-9 || math.Hypot(p[len(p)-1][0]-30, p[len(p)-1][1]-49) > 1e-9 {
			t.Errorf("%s: from %v to %v", name, p[0], p[len(p)-1])
		}
	}
}

func TestWrite_RoundIsWrittenAsFewArcs(t *testing.T) {
	page := letters(t)
	d := readBack(t, func(w io.Writer) error { return Write(w, page, 0) })
	if n := d.Lines[0].Vertices; n != 4 {
		t.Errorf("a circle has %d vertices", n)
	}
	old := readBack(t, func(w io.Writer) error { return WriteR12(w, page, 0) })
	if n := old.Lines[0].Vertices; n < 30 {
		t.Errorf("a circle of 4 mm has %d chords", n)
	}
}

func TestArcs_StayWithinTheirSagittaWhateverTheCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(0, 60)
		pt := func(name string) geometry.Point { return geometry.Pt(mm.Draw(t, name+"x"), mm.Draw(t, name+"y")) }
		from := pt("from")
		s := geometry.CubicTo(pt("c1"), pt("c2"), pt("end"))
		if rapid.Bool().Draw(t, "cusp") {
			s.C1, s.C2 = s.End, from
		}
		var p polyline
		p.arcs(from, s, 0, 1, 0)
		p.add(s.End, 0)
		curve := geometry.Path{{Start: from, Segments: []geometry.Segment{s}}}.Flatten(0.0001)
		for i, v := range p.vertices[:len(p.vertices)-1] {
			a, b := v.Point, p.vertices[i+1].Point
			chord := b.Sub(a)
			across := geometry.Pt(-chord.Y, chord.X).Mul(1 / chord.Len())
			for k := range 8 {
				x := chord.Len() * float64(k) / 8
				q := a.Lerp(b, float64(k)/8).Add(across.Mul(rise(x, chord.Len(), v.Bulge)))
				if off := curve.Distance(q); off > sagittaMM+0.0004 {
					t.Fatalf("arc %d of %d, bulge %g, is %.5f mm off", i, len(p.vertices), v.Bulge, off)
				}
			}
		}
		// From the other side it is the same line.
		var q polyline
		q.arcs(s.End, geometry.CubicTo(s.C2, s.C1, from), 0, 1, 0)
		q.add(from, 0)
		if len(q.vertices) != len(p.vertices) {
			t.Fatalf("%d vertices one way, %d the other", len(p.vertices), len(q.vertices))
		}
		for i, v := range p.vertices {
			w := q.vertices[len(q.vertices)-1-i]
			if v.Sub(w.Point).Len() > 2e-4 || i > 0 && math.Abs(p.vertices[i-1].Bulge+w.Bulge) > 1e-6 {
				t.Fatalf("vertex %d: %v one way, %v the other", i, v, w)
			}
		}
	})
}

func TestNearest_NamesTheStandardColour(t *testing.T) {
	for want, c := range []colour.RGB{{R: 220, G: 20, B: 20}, {R: 250, G: 240, B: 30}, {G: 230, B: 20}, {G: 240, B: 250}, {R: 10, B: 240}, {R: 240, B: 240}, {R: 10, G: 10, B: 10}} {
		if got := nearest(c); got != want+1 {
			t.Errorf("%v is %d, want %d", c, got, want+1)
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestWrite_ReportsAWriterThatFails(t *testing.T) {
	page := letters(t)
	for name, err := range map[string]error{"sheet": Write(fullDisk{}, page, 0), "layers": WriteLayers(fullDisk{}, page), "release 12": WriteR12(fullDisk{}, page, 0)} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
