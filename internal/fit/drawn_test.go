package fit

import (
	"math"
	"slices"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
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
	// A stroke 0.6 mm wide from within red across green and 10 mm out of it.
	line := geometry.Path{{Start: geometry.Pt(50, 20), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(100, 20))}}}
	p := pen(t, job.Shape{Path: box(50, 19.7, 50, 0.6).Path(), Centre: line})
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

// No sheet is drawn on for the end of a line that lies on another, as long as that is shorter than
// the pen is broad; a dot of its own is.
func TestDrawn_NoSheetIsLoadedForTheEndOfALine(t *testing.T) {
	for _, c := range []struct {
		from, to float64
		drawings int
	}{{30, 60.4, 1}, {30, 60.6, 2}, {60.1, 60.4, 1}, {59.8, 60.2, 2}} {
		line := geometry.Path{{Start: geometry.Pt(c.from, 20), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(c.to, 20))}}}
		p := pen(t, job.Shape{Path: box(c.from, 19.7, c.to-c.from, 0.6).Path(), Centre: line})
		if len(p.Drawings) != c.drawings || warned(p, "drawn-off") {
			t.Errorf("from %g to %g: %+v", c.from, c.to, p.Drawings)
		}
	}
}

// What other layers hide of a line is not drawn on them: the picture does not show it there. What lies
// along their edge shows, and so does what is behind ink or something translucent.
func TestDrawn_WhatIsHiddenIsNotDrawn(t *testing.T) {
	line := func(from, to geometry.Point) geometry.Path {
		return geometry.Path{{Start: from, Segments: []geometry.Segment{geometry.LineTo(to)}}}
	}
	over := box(20, 10, 20, 20)
	for _, c := range []struct {
		name string
		line geometry.Path
		edit func(*job.Layer) // of the layer above
		want float64          // mm that are drawn
	}{
		{"across", line(geometry.Pt(10, 20), geometry.Pt(50, 20)), func(*job.Layer) {}, 20},
		{"along the edge", line(geometry.Pt(20, 5), geometry.Pt(20, 35)), func(*job.Layer) {}, 30},
		{"all of it", line(geometry.Pt(25, 20), geometry.Pt(35, 20)), func(*job.Layer) {}, 0},
		{"bare", line(geometry.Pt(10, 20), geometry.Pt(50, 20)), func(l *job.Layer) { l.Use = job.Bare }, 20},
		{"translucent", line(geometry.Pt(10, 20), geometry.Pt(50, 20)), func(l *job.Layer) { l.Alpha = 0.5 }, 40},
		{"ink", line(geometry.Pt(10, 20), geometry.Pt(50, 20)), func(l *job.Layer) { l.Use = job.Drawn }, 40},
		{"beneath it", line(geometry.Pt(10, 20), geometry.Pt(50, 20)), func(l *job.Layer) { l.Use = job.LeftOut }, 40},
	} {
		var id job.LayerID
		p := roomy(t, func(j *job.Job) {
			b := c.line.Bounds().Grow(0.2)
			l := &j.Items[0].Layers[1]
			id, l.Use, l.Content = l.ID, job.Drawn, job.Outlines{Shapes: []job.Shape{{Path: b.Path(), Centre: c.line}}}
			c.edit(&j.Items[0].Layers[2])
		}, box(0, 0, 60, 40), box(0, 0, 1, 1), over)
		drawn := 0.0
		for _, d := range p.Drawings {
			if slices.Contains(d.Layers, id) {
				drawn += d.LengthMM
			}
		}
		if math.Abs(drawn-c.want) > 0.11 || warned(p, "drawn-off") {
			t.Errorf("%s: %.2f mm are drawn, want %g; off %.2f", c.name, drawn, c.want, p.Off.LengthMM)
		}
	}
}

// Of a stroke of which a clip hides some the pen draws what is seen, and not the line all along.
func TestDrawn_AClippedLineEndsAtItsClip(t *testing.T) {
	line := geometry.Path{{Start: geometry.Pt(10, 20), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(50, 20))}}}
	clip := &job.Clip{Shapes: []job.Shape{{Path: box(0, 0, 30, 40).Path()}}}
	p := pen(t, job.Shape{Path: box(10, 19.7, 40, 0.6).Path(), Centre: line, Clips: []*job.Clip{clip}})
	if len(p.Drawings) == 0 {
		t.Fatal("nothing is drawn")
	}
	for _, d := range p.Drawings {
		if b := d.Lines.Bounds(); b.Max.X > 30.01 || b.Min.X > 10.5 {
			t.Errorf("%+v", d)
		}
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

// A dot that a pen draws is a dot and no ring: lines within each other fill it in. What is
// too broad for that has its outline alone.
func TestDrawn_WhatIsNarrowIsFilledIn(t *testing.T) {
	disc := func(r float64) job.Shape {
		return job.Shape{Path: geometry.Path{geometry.Ellipse(geometry.Pt(30, 20), r, r)}}
	}
	const r = 1.0
	p := pen(t, disc(r))
	if len(p.Drawings) != 1 || len(p.Drawings[0].Lines) != 3 {
		t.Fatalf("%+v", p.Drawings)
	}
	for i, line := range p.Drawings[0].Lines {
		want := 2 * math.Pi * (r - PenMM/2 - float64(i)*penStepMM)
		if got := lengthMM(line); !line.Closed || math.Abs(got-want) > 0.05 {
			t.Errorf("line %d is %.3f mm long, want %.3f", i, got, want)
		}
	}
	// What is thinner than the pen is not lost: it is gone around.
	if p := pen(t, job.Shape{Path: box(10, 10, 20, 0.1).Path()}); len(p.Drawings[0].Lines) != 1 || math.Abs(p.Drawings[0].LengthMM-40.2) > 0.01 {
		t.Errorf("%+v", p.Drawings)
	}
	if p := pen(t, disc(5)); len(p.Drawings[0].Lines) != 1 {
		t.Errorf("%d lines fill in a disc of 10 mm", len(p.Drawings[0].Lines))
	}
}

// A stroke that is broader than a pen draws in one go stays as broad: it is filled in.
func TestDrawn_BroadStrokesStayBroad(t *testing.T) {
	line := geometry.Path{{Start: geometry.Pt(10, 20), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(30, 20))}}}
	p := pen(t, job.Shape{Path: box(10, 19.4, 20, 1.2).Path(), Centre: line})
	if len(p.Drawings) != 1 || len(p.Drawings[0].Lines) != 2 {
		t.Fatalf("%+v", p.Drawings)
	}
	if b := p.Drawings[0].Lines.Bounds(); math.Abs(b.Height()+PenMM-1.2) > 1e-3 || math.Abs(b.Width()+PenMM-20) > 1e-3 {
		t.Errorf("the lines reach %v", b)
	}
}

// Ink is transparent (common practice): yellow on red shows nothing, black does.
func TestDrawn_PaleInkIsSaid(t *testing.T) {
	line := geometry.Path{{Start: geometry.Pt(5, 20), Segments: []geometry.Segment{geometry.LineTo(geometry.Pt(50, 20))}}}
	for _, c := range []struct {
		ink  colour.RGB
		pale bool
	}{{colour.White, true}, {colour.RGB{R: 255, G: 230}, true}, {colour.RGB{}, false}, {colour.RGB{R: 90}, false}} {
		p := roomy(t, func(j *job.Job) {
			l := &j.Items[0].Layers[2]
			l.Use, l.Colour, l.Content = job.Drawn, c.ink, job.Outlines{Shapes: []job.Shape{{Path: box(5, 19, 45, 2).Path(), Centre: line}}}
		}, box(0, 0, 60, 40), box(60, 0, 30, 40), box(0, 0, 1, 1))
		if got := warned(p, "drawn-pale"); got != c.pale {
			t.Errorf("%v on %v: said to be pale: %v", c.ink, p.Drawings[0].Of.Colour, got)
		}
	}
}
