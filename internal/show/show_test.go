package show

import (
	"bytes"
	"context"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"abut/assets"
	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
)

func demo(t *testing.T, id string) job.Job {
	t.Helper()
	for _, d := range assets.Demos() {
		if d.ID == id {
			j, err := workshop.OpenSVG(context.Background(), d.ID, bytes.NewReader(d.SVG))
			if err != nil {
				t.Fatal(err)
			}
			return j
		}
	}
	t.Fatalf("no demo %s", id)
	return job.Job{}
}

func lesson(t *testing.T, j job.Job) *Show {
	t.Helper()
	s, err := Make(context.Background(), new(fit.Cache), j)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func ids(steps []Step) []string {
	var out []string
	for _, s := range steps {
		out = append(out, s.ID)
	}
	return out
}

// What a pen draws is part of the picture, and of what comes out in the end: as broad as
// the pen, where the line is, over the sheet that it is drawn on.
func TestShow_PenLinesAreSeen(t *testing.T) {
	ctx := context.Background()
	j, err := workshop.OpenSVG(ctx, "beam", strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="60" height="40" fill="#f0e0c0"/><path d="M5 10h50" stroke="#203060" stroke-width="0.3"/></svg>`))
	if err == nil {
		j, err = job.DrawWithPen(j, j.LayerIDs()[1:])
	}
	if err != nil {
		t.Fatal(err)
	}
	s := lesson(t, j)
	pen := colour.RGB{R: 0x20, G: 0x30, B: 0x60}
	inked := func(marks []Mark) (n int) {
		for _, m := range marks {
			if m.Fill == pen && m.Alpha == 1 {
				n++
			}
		}
		return n
	}
	for _, x := range s.Steps {
		switch x.ID {
		case "picture", "mirror", "sheets", "lay-1", "done":
			if n := inked(x.Scene(&LightRoom, 960, 1).Marks); n != 1 {
				t.Errorf("%s: %d lines", x.ID, n)
			}
		}
	}
	d := s.WhatIf(&LightRoom, 960, 0, geometry.Pt(3, 0))
	last := d.Marks[len(d.Marks)-1]
	b := last.Shape.Path.Bounds()
	if inked(d.Marks) != 1 || last.Fill != pen || math.Abs(b.Height()-fit.PenMM) > 0.01 || math.Abs(b.Width()-50-fit.PenMM) > 0.01 {
		t.Errorf("%d lines, the last mark is %v of %v", inked(d.Marks), last.Fill, b)
	}
	if sheet := d.Marks[len(d.Marks)-2]; last.Place != sheet.Place {
		t.Error("it does not move with its sheet")
	}
}

func TestMake_LeavesOutStepsThatDoNotApply(t *testing.T) {
	for id, c := range map[string]struct{ with, without string }{
		"spread":  {"picture frame mirror sheets press done", "apart pressed ask where knock-1 what-if edges"}, // nothing touches
		"pair":    {"picture apart pressed ask where knock-1 knock-2 what-if edges mirror sheets lay-1 lay-2 lay-3 press done", "knock-3 frame lay-4"},
		"nested":  {"apart where knock-3 edges lay-6", "frame lay-7"},
		"bracket": {"picture mirror", "apart frame knock-1"},
		"rich":    {"apart knock-3 edges fine frame lay-6", "lay-7 knock-4"},
	} {
		have := ids(lesson(t, demo(t, id)).Steps)
		for _, step := range strings.Fields(c.with) {
			if !slices.Contains(have, step) {
				t.Errorf("%s has no step %s: %v", id, step, have)
			}
		}
		for _, step := range strings.Fields(c.without) {
			if slices.Contains(have, step) {
				t.Errorf("%s has a step %s", id, step)
			}
		}
	}
}

func TestMake_NothingToCutIsNoLesson(t *testing.T) {
	if s := lesson(t, job.Job{}); len(s.Steps) != 0 {
		t.Errorf("%v", ids(s.Steps))
	}
}

func TestMake_LeavesTheJobAsItIs(t *testing.T) {
	j := demo(t, "pair")
	before := demo(t, "pair")
	lesson(t, j)
	if !reflect.DeepEqual(j, before) {
		t.Error("the job is another one")
	}
}

// Once all is knocked out the lesson still begins with the picture as it was drawn.
func TestMake_IsTheSameBeforeAndAfterKnockingOut(t *testing.T) {
	j := demo(t, "pair")
	k, err := job.KnockOutAll(j)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := ids(lesson(t, j).Steps), ids(lesson(t, k).Steps); !slices.Equal(a, b) {
		t.Errorf("%v, after knocking out %v", a, b)
	}
}

func TestScene_IsTheSameForTheSameTime(t *testing.T) {
	s := lesson(t, demo(t, "rich"))
	for i := range s.Steps {
		for _, at := range []float64{0, 0.3, 0.5, 0.77, 1} {
			a, b := s.Steps[i].Scene(&DarkRoom, 1280, at), s.Steps[i].Scene(&DarkRoom, 1280, at)
			if !reflect.DeepEqual(a, b) {
				t.Errorf("%s at %g", s.Steps[i].ID, at)
			}
			for _, m := range a.Marks {
				if m.Shape == nil || !m.Place.Finite() {
					t.Fatalf("%s at %g: %+v", s.Steps[i].ID, at, m)
				}
			}
		}
	}
}

// What stands at the end of a step lies within the stage, 16:9 and 4:3, but for close-ups.
func TestScene_EndsWithinTheStage(t *testing.T) {
	for _, id := range []string{"spread", "pair", "nested", "bracket", "rich"} {
		s := lesson(t, demo(t, id))
		for i := range s.Steps {
			if id := s.Steps[i].ID; id == "edges" || id == "fine" {
				continue
			}
			for _, wide := range []float64{1280, 960} {
				stage := geometry.RectXYWH(0, 0, wide, PictureHeight).Grow(1e-6)
				for _, m := range s.Steps[i].Scene(&LightRoom, wide, 1).Marks {
					if r := m.Shape.Path.Transform(m.Place).Bounds(); !stage.Encloses(r) {
						t.Errorf("%s, %s at %g: %v reaches over the stage", id, s.Steps[i].ID, wide, r)
						break
					}
				}
			}
		}
	}
}

// A dye on a dye, half of it held back: darker than neither, paler than the upper one.
func TestImpress_IsPaleAndMixed(t *testing.T) {
	upper, lower := colour.RGB{R: 0xF2, G: 0xC1, B: 0x4E}, colour.RGB{R: 0x1F, G: 0x6F, B: 0x8B}
	got := impress(upper, lower, colour.White).Lab()
	if got.L <= lower.Lab().L || impress(upper, upper, colour.White).Lab().L <= upper.Lab().L {
		t.Errorf("%v is no paler", got)
	}
	if got.DeltaE(upper.Lab()) < 10 || got.DeltaE(lower.Lab()) < 10 {
		t.Errorf("%v is not mixed", got)
	}
}

// Every knock-out's hole lies under its shape: what lifts covers all of what it leaves.
func TestMake_HolesLieUnderWhatLifts(t *testing.T) {
	for _, id := range []string{"pair", "nested", "rich"} {
		for i, k := range lesson(t, demo(t, id)).art.knocks {
			over := geometry.NewEnclosure(k.upper.Path.Flatten(0.01))
			outside := 0
			points := k.hole.Path.Samples(geometry.EvenOdd, 40)
			for _, p := range points {
				if !over.Holds(p) {
					outside++
				}
			}
			if len(points) == 0 || outside > len(points)/100 { // chords differ at edges
				t.Errorf("%s, knock-out %d: %d of %d places lie beside it", id, i+1, outside, len(points))
			}
		}
	}
}

func TestArranged_HidesReordersAndCaptions(t *testing.T) {
	s := lesson(t, demo(t, "pair"))
	all := ids(s.Steps)
	j, err := job.SetLesson(job.Job{}, job.Lesson{
		Hidden: []string{"apart", "gone"}, Order: []string{"where", "pressed"}, Captions: map[string]string{"picture": "Our boat", "press": "  "},
	})
	if err != nil {
		t.Fatal(err)
	}
	got := s.Arranged(j.Settings.Lesson)
	if have := ids(got.Steps); len(have) != len(all)-1 || !slices.Equal(have[:4], []string{"picture", "where", "ask", "pressed"}) {
		t.Errorf("%v", have)
	}
	if m := got.Steps[0].Sentence; m.ID != "class-own" || m.Args["text"] != "Our boat" {
		t.Errorf("%v", m)
	}
	if m := got.Steps[len(got.Steps)-2].Sentence; m.ID != "class-press" {
		t.Errorf("a caption of spaces counts: %v", m)
	}
	if !slices.Equal(ids(s.Steps), all) {
		t.Error("the lesson itself changed")
	}
}

func TestReady_LessonsTakeTenMinutesAndHaveAllTheirSteps(t *testing.T) {
	for _, r := range ReadyLessons {
		seconds := 0
		for _, p := range r.parts {
			seconds += p.seconds
		}
		if seconds != 600 {
			t.Errorf("%s takes %d seconds", r.ID, seconds)
		}
		made := r.Of(lesson(t, demo(t, r.ID)))
		if len(made.Steps) != len(r.parts) {
			t.Errorf("%s has the steps %v of %d", r.ID, ids(made.Steps), len(r.parts))
		}
		for _, s := range made.Steps {
			for _, l := range words.Languages() {
				if text := words.For(l.Tag).Message(s.Notes); len(text) < 30 || strings.Contains(text, "[") {
					t.Errorf("%s, %s in %s: %q", r.ID, s.ID, l.Tag, text)
				}
			}
		}
	}
}

// What lies edge to edge does so on the mug: of two halves of a square every side
// bends, that which closes an outline as well.
func TestOnMug_NeighboursStayNeighbours(t *testing.T) {
	half := func(top, bottom float64) geometry.Path {
		return geometry.Path{{Start: geometry.Pt(-100, top), Closed: true, Segments: []geometry.Segment{
			geometry.LineTo(geometry.Pt(-100, bottom)), geometry.LineTo(geometry.Pt(100, bottom)), geometry.LineTo(geometry.Pt(100, top)),
		}}}
	}
	area := func(p geometry.Path) float64 { return math.Abs(onMug(p, geometry.Identity()).SignedArea()) }
	if all, halves := area(half(-100, 100)), area(half(-100, 0))+area(half(0, 100)); math.Abs(all-halves) > 1e-6*all {
		t.Errorf("the halves cover %g, the whole %g", halves, all)
	}
}

// Once a shape has sunk into its hole nothing is dashed: the dashes would stand out beneath its own line.
func TestKnock_TheHoleIsDashedUntilItIsFilled(t *testing.T) {
	for _, s := range lesson(t, demo(t, "nested")).Steps {
		if !strings.HasPrefix(s.ID, "knock-") {
			continue
		}
		dashed := func(at float64) (n int) {
			for _, m := range s.Scene(&LightRoom, 1280, at).Marks {
				if m.Dash > 0 {
					n++
				}
			}
			return n
		}
		if dashed(0.6) != 1 || dashed(1) != 0 {
			t.Errorf("%s: dashed %d times while the shape is up, %d times once it is down", s.ID, dashed(0.6), dashed(1))
		}
	}
}
