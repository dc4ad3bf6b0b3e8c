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

func TestAffine_NoInverseThatFloatsCannotHold(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, m := range map[string]Affine{
		"onto a line": Scale(1, 0), "onto a point": {}, "of no number": {A: nan, D: 1}, "without bounds": Scale(inf, 1),
		"too small": Scale(1e-200, 1e-200), "too large": Scale(1e200, 1e200),
		"moved by no number": Translate(nan, 0), "moved too far": {A: 1e-3, D: 1e-3, E: 1e308},
	} {
		if inv, ok := m.Invert(); ok {
			t.Errorf("%s: %+v is inverted to %+v", name, m, inv)
		}
	}
}

func TestAffine_MapRectIsTheBoundsOfTheImage(t *testing.T) {
	r := RectXYWH(0, 0, 2, 1)
	m := Translate(5, 5).Mul(Rotate(math.Pi / 4))
	want := Path{r.Path()[0]}.Transform(m).Bounds()
	if got := m.MapRect(r); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
	if v := m.ApplyVector(Pt(1, 1)); v.Sub(Pt(0, math.Sqrt2)).Len() > 1e-15 {
		t.Errorf("a displacement became %v: it must turn and not shift", v)
	}
}
