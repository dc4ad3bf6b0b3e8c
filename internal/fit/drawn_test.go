package fit

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/job"
)

// pen is a job of a red field 60 × 40, a green one beside it up to 90, and a
// drawn layer of the shapes.
func pen(t *testing.T, shapes ...job.Shape) *Plan {
	t.Helper()
	return roomy(t, func(j *job.Job) {
		l := &j.Items[0].Layers[2]
		l.Use, l.Content = job.Drawn, job.Outlines{Shapes: shapes}
	}, box(0, 0, 60, 40), box(60, 0, 30, 40), box(0, 0, 1, 1))
}

func TestDrawn_LinesGoToTheSheetThatTheyLieOn(t *testing.T) {
	// A stroke 2 mm wide from within red across green and 10 mm out of it.
	line := geometry.Path{{Start: geometry.Pt(50, 20), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(100, 20))}}}
	p := pen(t, job.Shape{Path: box(50, 19, 50, 2).Path(), Centre: line})
	if len(p.Drawings) != 2 || p.Drawings[0].Of != p.Separations[0].Of || p.Drawings[1].Of != p.Separations[1].Of {
		t.Fatalf("%+v", p.Drawings)
	}
	for i, want := range []float64{10, 30} {
		if d := p.Drawings[i]; math.Abs(d.LengthMM-want) > 0.11 || len(d.Lines) != 1 || d.Lines[0].Closed {
			t.Errorf("%d: %+v", i, d)
		}
	}
	if math.Abs(p.Off.LengthMM-10) > 0.11 || math.Abs(p.Off.At.X-95) > 0.2 || !warned(p, "drawn-off") {
		t.Errorf("%+v %v", p.Off, p.Warnings)
	}
	// The art is what it was: the pen knocks nothing out and never stacks.
	if len(p.Separations) != 2 || p.Stacked.AreaMM2 != 0 || p.Separations[0].AreaMM2 != 2400 || p.Separations[1].AreaMM2 != 1200 {
		t.Errorf("%+v", p.Stacked)
	}
}

func TestDrawn_WhatIsFilledIsDrawnAround(t *testing.T) {
	// Two squares that overlap, clipped to a band: one line around what is seen.
	clip := &job.Clip{Shapes: []job.Shape{{Path: box(0, 10, 90, 10).Path()}}}
	p := pen(t, job.Shape{Path: box(10, 5, 20, 20).Path(), Clips: []*job.Clip{clip}}, job.Shape{Path: box(20, 5, 20, 20).Path(), Clips: []*job.Clip{clip}})
	if len(p.Drawings) != 1 || len(p.Drawings[0].Lines) != 1 || !p.Drawings[0].Lines[0].Closed || math.Abs(p.Drawings[0].LengthMM-80) > 1e-3 {
		t.Errorf("%+v", p.Drawings)
	}
	if p.Off.LengthMM != 0 || warned(p, "drawn-off") {
		t.Errorf("%+v", p.Off)
	}
}

func TestDrawn_ALineAroundAPieceLiesOnIt(t *testing.T) {
	edge := box(0, 0, 60, 40).Path()
	p := pen(t, job.Shape{Path: box(0, 0, 60, 1).Path(), Centre: edge})
	if len(p.Drawings) != 1 || p.Drawings[0].Of != p.Separations[0].Of || math.Abs(p.Drawings[0].LengthMM-200) > 1e-6 || p.Off.LengthMM != 0 {
		t.Errorf("%+v %+v", p.Drawings, p.Off)
	}
}

func TestDrawn_CurvesStayWhereNothingIsCrossed(t *testing.T) {
	p := pen(t, job.Shape{Path: box(1, 1, 1, 1).Path(), Centre: geometry.Path{geometry.Ellipse(geometry.Pt(30, 20), 8, 8)}})
	if len(p.Drawings) != 1 || !p.Drawings[0].Lines[0].Segments[0].Cubic || math.Abs(p.Drawings[0].LengthMM-16*math.Pi) > 0.1 {
		t.Errorf("%+v", p.Drawings)
	}
}

// A line within reach of a piece lies on it, at whichever side that is.
func TestLieOn_ReachesAsFarOnAllSides(t *testing.T) {
	first, second := geometry.NewEnclosure(box(0, 0, 1e-3, 1e-3).Path()), geometry.NewEnclosure(box(5, 5, 1e-3, 1e-3).Path())
	sheets := []*geometry.Enclosure{first, second}
	const m, r = 0.5e-3, penReachMM
	for _, v := range []geometry.Point{{}, {X: r}, {X: -r}, {Y: r}, {Y: -r}} {
		if k := lieOn(geometry.Pt(m, m).Add(v), sheets); k != 0 {
			t.Errorf("%v from the first: on %d", v, k)
		}
		if k := lieOn(geometry.Pt(5+m, 5+m).Add(v), sheets); k != 1 {
			t.Errorf("%v from the second: on %d", v, k)
		}
		if k := lieOn(geometry.Pt(m, m).Add(v.Mul(1.1)).Add(geometry.Pt(9, 9)), sheets); k != -1 {
			t.Errorf("far from both: on %d", k)
		}
	}
}
