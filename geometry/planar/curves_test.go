package planar

import (
	"context"
	"math"
	"testing"

	"abut/geometry"

	"pgregory.net/rapid"
)

// Two neighbours print the same curve, and curves that belong to different
// seams never cross: flattened anew, far finer, the pieces still share nothing.
func TestSmooth_CurvesShareNoArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, err := Build(context.Background(), anyLayers(t), Options{})
		if err != nil {
			t.Fatal(err)
		}
		labels := topmost(m)
		if rapid.Bool().Draw(t, "heal") {
			healed(m, labels)
		}
		checkSmooth(t, m, labels)
	})
}

func checkSmooth(t failer, m *Map, labels []int32) {
	d := divided(m, labels)
	if err := d.Smooth(context.Background()); err != nil {
		t.Fatalf("%v", err)
	}
	var pieces []Layer
	length := 0.0
	for i, p := range d.Pieces {
		path := d.Outline(i)
		pieces = append(pieces, layer(geometry.EvenOdd, path))
		// ⅔ of chord length × sagitta bounds the area between curve and chords.
		bound := 2.0/3*2*m.in.sagitta*d.CutLengthMM(i) + 1e-6
		if got := math.Abs(path.SignedArea()); math.Abs(got-p.AreaMM2()) > bound {
			t.Fatalf("piece %d: area %v as curves, %v on the map, allowed %v apart", i, got, p.AreaMM2(), bound)
		}
		length += d.CutLengthMM(i)
	}
	again, err := Build(context.Background(), pieces, Options{SagittaMM: 0.0005})
	if err != nil {
		t.Fatalf("%v", err)
	}
	overlap := 0.0
	for f := range again.NumFaces() {
		if len(again.Cover(FaceID(f))) > 1 {
			overlap += again.AreaMM2(FaceID(f))
		}
	}
	// Rounding to the grid may bend two chords over each other by half a step
	// where curves come close at a vertex.
	if bound := 0.5 / StepsPerMM * length * 0.01; overlap > bound {
		t.Fatalf("pieces overlap by %v mm² as curves", overlap)
	}
}

func TestSmooth_KeepsWholeCurvesWhole(t *testing.T) {
	disc := geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 20, 20)}
	m := build(t, rect(-50, -50, 100, 100), layer(geometry.NonZero, disc))
	d := divided(m, topmost(m))
	if err := d.Smooth(context.Background()); err != nil {
		t.Fatal(err)
	}
	for _, p := range []int{0, 1} {
		outline := d.Outline(p)
		n := 0
		for _, s := range outline[0].Segments {
			if s.Cubic {
				n++
			}
		}
		if n != len(disc[0].Segments) {
			t.Errorf("piece %d: %d curves, want the disc's own %d", p, n, len(disc[0].Segments))
		}
	}
}

// Two circles nearer to each other than their chords may stray: what fits between
// the one's chords and the other's would not between the curves.
func TestSmooth_KeepsChordsWhereCurvesComeTooNear(t *testing.T) {
	disc := func(r float64) Layer {
		return layer(geometry.NonZero, geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), r, r)})
	}
	for _, c := range []struct {
		gap  float64
		near bool
	}{{0.002, true}, {0.2, false}} {
		m := build(t, disc(20), disc(20-c.gap))
		d := divided(m, topmost(m))
		if err := d.Smooth(context.Background()); err != nil {
			t.Fatal(err)
		}
		curves, lines := 0, 0
		for _, s := range d.Seams {
			for _, g := range s.Curve {
				if g.Cubic {
					curves++
				} else {
					lines++
				}
			}
		}
		if c.near && curves > 0 || !c.near && lines > 0 {
			t.Errorf("%v mm apart: %d curves, %d lines", c.gap, curves, lines)
		}
	}
}

func TestSmooth_StaysWithinTheSagittaOfItsSource(t *testing.T) {
	a := geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), 20, 20)}
	b := geometry.Path{geometry.Ellipse(geometry.Pt(15, 3), 20, 20)}
	m := build(t, layer(geometry.NonZero, a), layer(geometry.NonZero, b))
	d := divided(m, topmost(m))
	if err := d.Smooth(context.Background()); err != nil {
		t.Fatal(err)
	}
	for i, s := range d.Seams {
		from := s.Points[0].MM()
		for _, seg := range s.Curve {
			for k := range 101 {
				p := seg.At(from, float64(k)/100)
				off := math.Min(math.Abs(p.Len()-20), math.Abs(p.Sub(geometry.Pt(15, 3)).Len()-20))
				if off > 0.01 {
					t.Fatalf("seam %d is %v mm off both circles", i, off)
				}
			}
			from = seg.End
		}
	}
}
