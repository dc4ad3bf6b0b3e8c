package fit

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// drawArt draws a random picture of overlapping rectangles, circles and rings
// on whole and broken coordinates.
func drawArt(t *testing.T, rt *rapid.T) job.Job {
	colours := []string{"red", "green", "blue", "yellow", "black", "white"}
	var lines []string
	for range rapid.IntRange(0, 8).Draw(rt, "layers") {
		num := func(name string, from, to int) float64 {
			return float64(rapid.IntRange(from, to).Draw(rt, name)) / rapid.SampledFrom([]float64{1, 1, 7}).Draw(rt, "part")
		}
		var b strings.Builder
		fmt.Fprint(&b, rapid.SampledFrom(colours).Draw(rt, "colour"))
		for range rapid.IntRange(1, 3).Draw(rt, "shapes") {
			switch rapid.IntRange(0, 2).Draw(rt, "shape") {
			case 0:
				fmt.Fprintf(&b, " rect %g %g %g %g", num("x", 0, 60), num("y", 0, 60), num("w", 1, 40), num("h", 1, 40))
			case 1:
				fmt.Fprintf(&b, " circle %g %g %g", num("x", 0, 60), num("y", 0, 60), num("r", 1, 30))
			case 2:
				r := num("r", 2, 30)
				fmt.Fprintf(&b, " ring %g %g %g %g", num("x", 0, 60), num("y", 0, 60), r, r/2)
			}
		}
		if rapid.IntRange(0, 3).Draw(rt, "translucent") == 0 {
			fmt.Fprint(&b, " alpha=0.5")
		}
		if rapid.IntRange(0, 3).Draw(rt, "grouped") == 0 {
			fmt.Fprint(&b, " group=1")
		}
		fmt.Fprint(&b, rapid.SampledFrom([]string{"", "", " knock"}).Draw(rt, "knock"))
		fmt.Fprint(&b, rapid.SampledFrom([]string{"", "", "", "", " bare", " drawn", " leftout"}).Draw(rt, "use"))
		lines = append(lines, b.String())
	}
	return art(t, lines...)
}

func steps2(mm2 float64) int64 { return int64(math.Round(mm2 * 2e8)) }

// coveredMM2 is the area that the job's layers cover, by a plan in which all
// are cut from one sheet; healed is how much healing may have changed it by.
func coveredMM2(t *testing.T, j job.Job) (area, healed float64) {
	items := make([]job.Item, len(j.Items))
	for i, it := range j.Items {
		items[i] = it
		items[i].Layers = nil
		for _, l := range it.Layers {
			if l.Use != job.LeftOut && l.Use != job.Drawn {
				l.Colour, l.Alpha, l.Use = palette["red"], 1, job.Cut
				items[i].Layers = append(items[i].Layers, l)
			}
		}
	}
	p := mustPlan(t, job.Job{Items: items})
	if len(p.Separations) == 0 {
		return 0, p.Healed.AreaMM2
	}
	return p.Separations[0].AreaMM2, p.Healed.AreaMM2
}

func TestLaw_KnockingOutLeavesNothingStackedAndPartitionsTheArt(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		j := drawArt(t, rt)
		p := mustPlan(t, knockAll(t, j))
		if p.Stacked.AreaMM2 != 0 || len(p.Stacked.Places) != 0 || p.Verdict.State == Trouble {
			rt.Fatalf("still stacked: %+v", p.Stacked)
		}
		sum := p.BareMM2
		for _, s := range p.Separations {
			sum += s.AreaMM2
		}
		// Drawn layers may split edges and so move them by half a step.
		area, healed := coveredMM2(t, j)
		if !near(sum, area, healed+p.Healed.AreaMM2+1e-3) {
			rt.Fatalf("the separations and bare places cover %v mm², the art %v mm² (healed %v)", sum, area, healed)
		}
	})
}

func TestLaw_PiecesMakeUpTheirSeparation(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := mustPlan(t, drawArt(t, rt))
		for i, s := range p.Separations {
			sum, bounds := int64(0), geometry.EmptyRect()
			contours := 0
			for k, piece := range s.Pieces {
				sum += steps2(piece.AreaMM2)
				bounds = bounds.Union(piece.Bounds)
				contours += len(piece.Outline)
				if !piece.Bounds.Contains(piece.Inside) {
					rt.Fatalf("%v is not inside piece %d", piece.Inside, k)
				}
			}
			if sum != steps2(s.AreaMM2) || bounds != s.Bounds || contours != len(s.Outline) || !near(math.Abs(evenOddArea(s.Outline)), s.AreaMM2, 1e-6) {
				rt.Fatalf("%s: area %v, pieces %v, outline %v", s.Name, s.AreaMM2, float64(sum)/2e8, evenOddArea(s.Outline))
			}
			if !p.Page.Encloses(s.Bounds) || len(s.Layers) == 0 && p.Healed.Faces == 0 {
				rt.Fatalf("%s: bounds %v, page %v, layers %v", s.Name, s.Bounds, p.Page, s.Layers)
			}
			if i > 1 && s.Bounds.Area() > p.Separations[i-1].Bounds.Area() {
				rt.Fatal("smaller before larger")
			}
		}
		if !p.Page.Encloses(p.Extent) {
			rt.Fatal(p.Page, p.Extent)
		}
	})
}

// evenOddArea relies on contours that run clockwise around what they hold and
// anticlockwise around holes.
func evenOddArea(p geometry.Path) float64 { return p.SignedArea() }

func TestLaw_InnerContoursComeBeforeTheOneThatHoldsThem(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := mustPlan(t, drawArt(t, rt))
		for _, s := range p.Separations {
			for i := range s.Outline {
				outer := s.Outline[i : i+1].Bounds()
				for k := i + 1; k < len(s.Outline); k++ {
					inner := s.Outline[k : k+1].Bounds()
					if outer.Encloses(inner) && outer != inner && holds(s.Outline[i], s.Outline[k].Start) {
						rt.Fatalf("%s: contour %d %v holds the later contour %d %v", s.Name, i, outer, k, inner)
					}
				}
			}
		}
	})
}

// holds reports whether a contour of straight lines encloses a point.
func holds(c geometry.Contour, q geometry.Point) bool {
	in := false
	a := c.End()
	if a == c.Start && len(c.Segments) > 0 {
		a = c.Start
	}
	for k := -1; k < len(c.Segments); k++ {
		b := c.Start
		if k >= 0 {
			b = c.Segments[k].End
		}
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
		a = b
	}
	return in
}

// What is stacked is counted once, whichever way one counts: the separations
// overlap by at least the stacked area, and by no more than it allows.
func TestLaw_StackedIsWhereSeparationsOverlap(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		j := drawArt(t, rt)
		p := mustPlan(t, j)
		q := mustPlan(t, knockAll(t, j))
		sum, owned := 0.0, 0.0
		for _, s := range p.Separations {
			sum += s.AreaMM2
		}
		for _, s := range q.Separations {
			owned += s.AreaMM2
		}
		slack := p.Healed.AreaMM2*float64(1+len(j.Items[0].Layers)) + q.Healed.AreaMM2 + 1e-6
		over := sum - owned
		if most := p.Stacked.AreaMM2 * float64(len(p.Separations)); over < p.Stacked.AreaMM2-slack || over > most+slack {
			rt.Fatalf("overlap %v, stacked %v", over, p.Stacked.AreaMM2)
		}
		last := math.Inf(1)
		places := 0.0
		for _, s := range p.Stacked.Places {
			if s.AreaMM2 > last {
				rt.Fatal("places are not largest first")
			}
			last = s.AreaMM2
			places += s.AreaMM2
			if p.Healed.Faces == 0 && len(s.Layers) < 2 {
				rt.Fatal("a stacked place of one layer:", s.Layers)
			}
		}
		if alone, err := new(Cache).StackedMM2(context.Background(), j); err != nil || !near(alone, p.Stacked.AreaMM2, 1e-6) {
			rt.Fatal(alone, p.Stacked.AreaMM2, err)
		}
		if !near(places, p.Stacked.AreaMM2, 1e-6) || !near(p.Stacked.Outline.SignedArea(), places, 1e-6) {
			rt.Fatal(places, p.Stacked.AreaMM2, p.Stacked.Outline.SignedArea())
		}
	})
}

func TestLaw_PlansAreRepeatableAndBlindToWhatIsShown(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		j := drawArt(t, rt)
		p := mustPlan(t, j)
		if !reflect.DeepEqual(p, mustPlan(t, j)) {
			rt.Fatal("two plans of one job differ")
		}
		hidden := must(t)(job.SetShown(j, j.LayerIDs(), false))
		if !reflect.DeepEqual(p, mustPlan(t, hidden)) {
			rt.Fatal("hiding changed the plan")
		}
	})
}

func TestLaw_CurvesChangeOutlinesOnlyAndStayWithinTheSagitta(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		j := drawArt(t, rt)
		chords := mustPlan(t, j)
		curves, err := computeCurves(context.Background(), j)
		if err != nil {
			rt.Fatal(err)
		}
		for i, s := range curves.Separations {
			// Chords lose at most ⅔ · sagitta · length, on either side.
			if d := s.Outline.SignedArea() - s.AreaMM2; math.Abs(d) > 0.01*s.CutMM+1e-6 {
				rt.Fatalf("%s: curves enclose %v mm² more than chords along %v mm", s.Name, d, s.CutMM)
			}
			curves.Separations[i].Outline = chords.Separations[i].Outline
		}
		for i := range curves.Separations {
			for k := range curves.Separations[i].Pieces {
				curves.Separations[i].Pieces[k].Outline = chords.Separations[i].Pieces[k].Outline
			}
		}
		for i := range curves.Stacked.Places {
			curves.Stacked.Places[i].Outline = chords.Stacked.Places[i].Outline
		}
		curves.Stacked.Outline = chords.Stacked.Outline
		// Drawn lines end where they meet an outline.
		for _, p := range []*Plan{chords, curves} {
			p.Drawings, p.Off = nil, OffLines{}
			p.Warnings = slices.DeleteFunc(p.Warnings, func(w job.Warning) bool { return w.ID == "drawn-off" || w.ID == "drawn-pale" })
			if len(p.Warnings) == 0 {
				p.Warnings = nil
			}
		}
		if !reflect.DeepEqual(chords, curves) {
			rt.Fatal("more than outlines differs")
		}
	})
}

// A random run of edits, each plan from the cache against one from scratch.
func TestLaw_TheCacheIsNeverStale(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		j := drawArt(t, rt)
		c := new(Cache)
		for range rapid.IntRange(1, 6).Draw(rt, "edits") {
			if rapid.IntRange(0, 3).Draw(rt, "fork") == 0 {
				c = c.Fork()
			}
			compute, fresh := c.Compute, Compute
			if rapid.IntRange(0, 3).Draw(rt, "curves") == 0 {
				compute, fresh = c.ComputeCurves, computeCurves
			}
			got, err := compute(context.Background(), j)
			if err != nil {
				rt.Fatal(err)
			}
			want, err := fresh(context.Background(), j)
			if err != nil {
				rt.Fatal(err)
			}
			if !reflect.DeepEqual(got, want) {
				rt.Fatal("the cache's plan is another one")
			}
			ids := j.LayerIDs()
			if len(ids) == 0 {
				return
			}
			id := rapid.SampledFrom(ids).Draw(rt, "layer")
			one := []job.LayerID{id}
			switch rapid.IntRange(0, 9).Draw(rt, "edit") {
			case 0:
				j, err = job.SetKnocks(j, one, rapid.Bool().Draw(rt, "on"))
			case 1:
				j, err = job.SetUse(j, one, rapid.SampledFrom([]job.Use{job.Cut, job.Bare, job.Drawn, job.LeftOut}).Draw(rt, "use"))
			case 2:
				j, err = job.SetColour(j, one, rapid.SampledFrom([]colour.RGB{palette["red"], palette["purple"], colour.White}).Draw(rt, "colour"))
			case 3:
				j, err = job.MoveLayers(j, one, rapid.Float64Range(-20, 20).Draw(rt, "dx"), 1)
			case 4:
				j, err = job.MoveUnder(j, one, rapid.SampledFrom(append([]job.LayerID{0}, j.LayerIDs()...)).Draw(rt, "under"))
			case 5:
				j, err = job.DeleteLayers(j, one)
			case 6:
				j, err = job.SetFrame(j, job.FrameRule{Mode: job.FrameAlways, MarginMM: 3})
			case 7:
				j, err = job.KnockOutAll(j)
			case 8:
				j = scaled(j, 1.5)
			case 9:
				j.Settings.Bare.Mode = job.BareNone
			}
			if err != nil {
				rt.Fatal(err)
			}
		}
	})
}
