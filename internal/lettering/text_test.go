package lettering

import (
	"context"
	"errors"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/typeset"
)

func boundsOf(t job.Text) geometry.Rect {
	r := geometry.EmptyRect()
	for _, s := range t.Shapes {
		r = r.Union(s.Path.Bounds())
	}
	return r
}

func outlined(t *testing.T, text job.Text) job.Text {
	t.Helper()
	if text.Weight == 0 {
		text.Weight = 400
	}
	out, notes, err := set(typeset.Embedded(), text)
	if err != nil || len(notes) > 0 {
		t.Fatal(notes, err)
	}
	return out
}

func TestSet_SizeWeightAndSpacing(t *testing.T) {
	plain := boundsOf(outlined(t, job.Text{Text: "Hamburg", SizeMM: 10}))
	// The Go fonts' capitals are about 0.71 of the size high (measured).
	if got := -boundsOf(outlined(t, job.Text{Text: "HH", SizeMM: 10})).Min.Y; math.Abs(got-7.11) > 0.2 {
		t.Errorf("capitals of %.2f mm", got)
	}
	if got := boundsOf(outlined(t, job.Text{Text: "Hamburg", SizeMM: 20})); math.Abs(got.Width()-2*plain.Width()) > 1e-6 {
		t.Errorf("twice the size is %v, once %v", got, plain)
	}
	if got := boundsOf(outlined(t, job.Text{Text: "Hamburg", SizeMM: 10, Weight: 700})); got.Width() <= plain.Width() {
		t.Errorf("bold is %v, regular %v", got, plain)
	}
	if got := boundsOf(outlined(t, job.Text{Text: "Hamburg", SizeMM: 10, SpacingMM: 1})); math.Abs(got.Width()-plain.Width()-6) > 1e-6 {
		t.Errorf("with 6 gaps of 1 mm %v, without %v", got, plain)
	}
}

func TestSet_LinesAndAlignment(t *testing.T) {
	one := boundsOf(outlined(t, job.Text{Text: "HH", SizeMM: 10}))
	two := boundsOf(outlined(t, job.Text{Text: "HH\r\nHH", SizeMM: 10}))
	if math.Abs(two.Height()-one.Height()-12) > 1e-6 {
		t.Errorf("two lines are %v, one %v", two, one)
	}
	for a, want := range map[job.TextAlign]float64{job.TextMiddle: 0, job.TextStart: one.Centre().X, job.TextEnd: -one.Centre().X} {
		if got := boundsOf(outlined(t, job.Text{Text: "HH", SizeMM: 10, Align: a})).Centre().X; math.Abs(got-want) > 0.01 { // an H is not quite in the middle of its width
			t.Errorf("%v: middle at %g, want %g", a, got, want)
		}
	}
}

// Letters around a circle of 50 mm stand on it: outside they reach from it to a
// capital's height further, inside as much less.
func TestSet_OnAnArc(t *testing.T) {
	reach := func(text job.Text) (lo, hi float64) {
		lo = math.Inf(1)
		for _, s := range text.Shapes {
			for _, c := range s.Path.Flatten(0.01) {
				for _, seg := range c.Segments {
					lo, hi = min(lo, seg.End.Len()), max(hi, seg.End.Len())
				}
			}
		}
		return lo, hi
	}
	out := outlined(t, job.Text{Text: "HIH HIH", SizeMM: 10, Align: job.TextMiddle, Arc: &job.Arc{RadiusMM: 50}})
	// A letter's feet are a chord, which lies up to w²/8r inside.
	if lo, hi := reach(out); lo < 49.7 || lo > 50.2 || hi < 56.8 || hi > 57.8 {
		t.Errorf("outside: from %.2f to %.2f mm", lo, hi)
	}
	if r := boundsOf(out); r.Max.Y > 0 || math.Abs(r.Centre().X) > 0.2 {
		t.Errorf("outside: %v is not at the top", r)
	}
	in := outlined(t, job.Text{Text: "HIH HIH", SizeMM: 10, Align: job.TextMiddle, Arc: &job.Arc{RadiusMM: 50, Inside: true}})
	if lo, hi := reach(in); lo < 42.4 || lo > 43.4 || hi < 49.9 || hi > 50.4 {
		t.Errorf("inside: from %.2f to %.2f mm", lo, hi)
	}
	if r := boundsOf(in); r.Min.Y < 0 || math.Abs(r.Centre().X) > 0.2 {
		t.Errorf("inside: %v is not at the bottom", r)
	}
	// An L's stem is at its left, whichever way it stands.
	l := outlined(t, job.Text{Text: "L", SizeMM: 10, Align: job.TextMiddle, Arc: &job.Arc{RadiusMM: 50, Inside: true}})
	r := boundsOf(l)
	left, right := 0.0, 0.0
	for _, c := range l.Shapes[0].Path {
		for _, s := range c.Segments {
			if s.End.Y < r.Centre().Y && s.End.X < r.Centre().X {
				left++
			} else if s.End.Y < r.Centre().Y {
				right++
			}
		}
	}
	if left == 0 || right > 0 {
		t.Errorf("the L at the bottom is mirrored or upside down: %v", l.Shapes[0].Path)
	}
}

func TestSet_SaysWhatIsNotAsAskedFor(t *testing.T) {
	_, notes, err := set(typeset.Embedded(), job.Text{Text: "Hi", Family: "No Such Family", Weight: 400, SizeMM: 10})
	if err != nil || len(notes) != 1 || notes[0].ID != "text-font" {
		t.Errorf("%v, %v", notes, err)
	}
	_, notes, err = set(typeset.Embedded(), job.Text{Text: "a long line around", Weight: 400, SizeMM: 10, Align: job.TextMiddle, Arc: &job.Arc{RadiusMM: 5}})
	if err != nil || len(notes) != 1 || notes[0].ID != "text-past-arc" {
		t.Errorf("%v, %v", notes, err)
	}
	var e *job.EditError
	if _, _, err = Set(context.Background(), job.Text{Text: "  ", Weight: 400, SizeMM: 10}); !errors.As(err, &e) || e.ID != job.EmptyText {
		t.Error(err)
	}
	// Letters for private use, which no font has unless it is made for that, are not no letters.
	if _, _, err = set(typeset.Embedded(), job.Text{Text: "\U0010fff0", Weight: 400, SizeMM: 10}); !errors.As(err, &e) || e.ID != NoLetters || e.Args["letters"] == "" {
		t.Error(err)
	}
	if _, _, err = set(typeset.Embedded(), job.Text{Text: "a\nb\nc", Weight: 400, SizeMM: 10, Arc: &job.Arc{RadiusMM: 20}}); !errors.As(err, &e) || e.ID != job.BadText {
		t.Errorf("a third line of radius −4: %v", err)
	}
}

func TestSet_FamiliesHoldOurOwn(t *testing.T) {
	list, err := Families(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		if f == OwnFamily {
			return
		}
	}
	t.Errorf("%v lack %s", list, OwnFamily)
}
