package words

import (
	"math"
	"strings"
	"testing"

	"abut/internal/job"
)

func TestNumbers_HaveAtMostOneDecimal(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Length(86.44, job.Millimetres), "86.4 mm"},
		{Length(90, job.Millimetres), "90 mm"},
		{Length(89.96, job.Millimetres), "90 mm"},
		{Length(0, job.Millimetres), "0 mm"},
		{Length(0.02, job.Millimetres), "under 0.1 mm"},
		{Length(-0.01, job.Millimetres), "0 mm"},
		{Length(-3.25, job.Millimetres), "−3.3 mm"},
		{MM2(412.04), "412 mm²"},
		{MM2(1e-6), "under 0.1 mm²"},
		{MM2(99.94), "99.9 mm²"},
		{MM2(99.96), "100 mm²"},
		{MM2(4720.9), "4721 mm²"},
		{MM2(12345.6), "12,346 mm²"},
		{MM2(1234567), "12,346 cm²"},
		{Length(math.NaN(), job.Millimetres), "? mm"},
		{Size(90, 86.44), "90 × 86.4 mm"},
		{Length(25.4, job.Inches), "1 in"},
		{Length(10, job.Inches), "0.39 in"},
		{Length(10, job.Millimetres), "10 mm"},
		{English().Put(Count(3)), "3"},
		{List(nil), ""},
		{List([]string{"a"}), "a"},
		{List([]string{"a", "b"}), "a and b"},
		{List([]string{"a", "b", "c"}), "a, b and c"},
		{List([]string{"harbour", "houses, blue 3", "sky"}), "harbour; houses, blue 3 and sky"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestParseLength(t *testing.T) {
	for text, want := range map[string]float64{"90": 90, " 90 mm ": 90, "9cm": 90, "12,5": 12.5, "2 in": 50.8, "0": 0, "-3": 0, "wide": 0, "": 0, "NaN": 0, "Inf": 0} {
		got, ok := ParseLength(text)
		if got != want || ok != (want > 0) {
			t.Errorf("%q is %g (%v), want %g", text, got, ok, want)
		}
	}
}

// What is shown in a field to be typed over says the same as the sentence beside it, halves too.
func TestNumbers_AreRoundedAlikeEverywhere(t *testing.T) {
	for _, v := range []float64{50.25, 50.35, 0.05, 2.5, 1234.75, -0.25, 50.249} {
		if field, said := Typed(v, 1), strings.ReplaceAll(Number(v), "−", "-"); field != said {
			t.Errorf("%v is %s to be typed and %s to be read", v, field, said)
		}
	}
}
