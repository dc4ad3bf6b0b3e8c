package entry

import (
	"math"
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/internal/job"
)

// A number that is no length is told apart from what is no number.
func TestLength_TellsTooSmallFromNoNumber(t *testing.T) {
	test.NewTempApp(t)
	for _, c := range []struct {
		text     string
		units    job.Units
		signed   bool
		mm       float64
		ok, less bool
	}{
		{"3 cm", job.Millimetres, false, 30, true, false},
		{"1,5", job.Inches, false, 38.1, true, false},
		{"0", job.Millimetres, false, 0, false, true},
		{"-2", job.Inches, false, -50.8, false, true},
		{"-2", job.Millimetres, true, -2, true, false},
		{"abc", job.Millimetres, false, 0, false, false},
		{"", job.Millimetres, false, 0, false, false},
	} {
		e := NewLength(c.units)
		e.Signed = c.signed
		e.SetText(c.text)
		mm, ok := e.Parse()
		if ok != c.ok || ok && math.Abs(mm-c.mm) > 1e-9 || e.TooSmall() != c.less {
			t.Errorf("%q: %g, %v, too small %v", c.text, mm, ok, e.TooSmall())
		}
	}
}
