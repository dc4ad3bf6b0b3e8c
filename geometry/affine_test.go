package geometry

import (
	"math"
	"testing"
)

// SVG 2, 8.5 'The transform property': the worked example of nested
// transforms, its six numbers to the digits printed there.
func TestAffine_NestedTransformsOfTheSVGExample(t *testing.T) {
	got := Translate(50, 90).Mul(Rotate(-45 * math.Pi / 180)).Mul(Translate(130, 160))
	want := Affine{0.70710678, -0.70710678, 0.70710678, 0.70710678, 255.0609665, 111.2132034}
	for i, d := range []float64{got.A - want.A, got.B - want.B, got.C - want.C, got.D - want.D, got.E - want.E, got.F - want.F} {
		if math.Abs(d) > 5e-8 {
			t.Errorf("coefficient %d is off by %g: got %+v", i, d, got)
		}
	}
}

func TestAffine_InverseUndoes(t *testing.T) {
	m := Translate(3, -7).Mul(Rotate(0.3)).Mul(Scale(2, -5)).Mul(SkewX(0.2))
	inv, ok := m.Invert()
	if !ok {
		t.Fatal("no inverse")
	}
	p := Pt(12.5, -3)
	if q := inv.Apply(m.Apply(p)); q.Sub(p).Len() > 1e-12 {
		t.Errorf("came back to %v, want %v", q, p)
	}
	if _, ok := Scale(1, 0).Invert(); ok {
		t.Error("a map onto a line has an inverse")
	}
}

func TestAffine_MirroringTwiceIsTheArt(t *testing.T) {
	m := MirrorX(80)
	if m.Mul(m) != Identity() {
		t.Errorf("got %+v", m.Mul(m))
	}
	if p := m.Apply(Pt(10, 4)); p != Pt(70, 4) {
		t.Errorf("(10, 4) mirrored in 80 is %v, want (70, 4)", p)
	}
}

func TestAffine_MaxScaleIsTheLargestStretch(t *testing.T) {
	m := Rotate(0.7).Mul(Scale(3, -0.5)).Mul(Rotate(1.1))
	if got := m.MaxScale(); math.Abs(got-3) > 1e-12 {
		t.Errorf("got %v, want 3", got)
	}
}
