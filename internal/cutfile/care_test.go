package cutfile

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/fit"
	"abut/internal/fit/assemble"
)

// teapots is a page with a sheet of two discs and a ring of other work around them,
// and a second sheet in the ring's hole; scale makes it larger.
func teapots(t *testing.T, scale float64, frame bool) *Page {
	t.Helper()
	at := func(x, y float64) geometry.Point { return geometry.Pt(x, y).Mul(scale) }
	ring := geometry.Path{geometry.Ellipse(at(50, 30), 18*scale, 18*scale), geometry.Ellipse(at(50, 30), 28*scale, 28*scale),
		geometry.Ellipse(at(8, 30), 6*scale, 6*scale), geometry.Ellipse(at(92, 12), 6*scale, 6*scale)}
	disc := geometry.Path{geometry.Ellipse(at(50, 30), 7*scale, 7*scale)}
	all := ring.Bounds()
	a := assemble.Assembly{Extent: all, Page: all, Separations: []fit.Separation{
		{Name: "Red", Outline: ring, Pieces: []fit.Piece{{Inside: at(8, 30)}}}, {Name: "Blue", Outline: disc}}}
	if frame {
		a.Page = all.Grow(5)
		a.Frame = &fit.Frame{Outline: a.Page.Path(), Bounds: a.Page}
	}
	p, err := New(&fit.Plan{Assembly: a, Drawings: []fit.Drawing{{Name: "Ink", Lines: geometry.Path{{Start: at(6, 30), Segments: []geometry.Segment{geometry.LineTo(at(9, 30))}}}}}})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func withCare(t *testing.T, p *Page, care Care) *Page {
	t.Helper()
	out, err := p.ForCutting(context.Background(), care)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestForCutting_WeedingLinesKeepAwayFromPieces(t *testing.T) {
	for _, scale := range []float64{1, 2.5} {
		for _, frame := range []bool{false, true} {
			p := withCare(t, teapots(t, scale, frame), Care{Weeding: true})
			lines := 0
			for _, s := range p.Separations {
				var keep geometry.Path
				for _, c := range s.Contours {
					keep = append(keep, c.MM())
				}
				keep = keep.Flatten(0.001)
				in := geometry.NewEnclosure(keep)
				for _, w := range s.Weeding {
					lines++
					a, b := w.Start.MM(), w.Segments[0].End.MM()
					if b.Sub(a).Len() < leastLineMM-0.001 {
						t.Errorf("a line of %.2f mm", b.Sub(a).Len())
					}
					for k := range 200 {
						q := a.Lerp(b, float64(k)/199)
						if d := keep.Distance(q); d < ClearMM || in.Holds(q) {
							t.Fatalf("scale %g, frame %v: %.3f mm from a piece at %v", scale, frame, d, q)
						}
					}
				}
			}
			if lines < 4 {
				t.Errorf("scale %g, frame %v: %d lines", scale, frame, lines)
			}
		}
	}
}

// Strips are no broader than they may be: whoever goes along the work meets a line
// where waste is as large as a strip.
func TestForCutting_LargeWasteIsDivided(t *testing.T) {
	p := withCare(t, teapots(t, 1, false), Care{Weeding: true})
	s := p.Separations[0]
	var xs []float64
	for _, w := range s.Weeding {
		if a, b := w.Start.MM(), w.Segments[0].End.MM(); a.X == b.X {
			xs = append(xs, a.X)
		}
	}
	// 98 mm of work and two margins of 3 mm are four strips of 26 mm.
	if len(xs) < 5 || len(xs) != len(s.Weeding) {
		t.Errorf("lines at %v", xs)
	}
	if len(p.Separations[1].Weeding) != 0 {
		t.Errorf("20 mm of waste are divided: %v", p.Separations[1].Weeding)
	}
}

func TestForCutting_SmallWorkHasABoxToLiftItsWasteBy(t *testing.T) {
	before := teapots(t, 1, false)
	p := withCare(t, before, Care{Weeding: true})
	for i, s := range p.Separations {
		if s.Box == nil {
			t.Fatalf("sheet %d has no box", i+1)
		}
		b := geometry.Path{s.Box.MM()}.Bounds()
		var keep geometry.Path
		for _, c := range s.Contours {
			keep = append(keep, c.MM())
		}
		want := keep.Bounds().Grow(boxMM)
		if math.Abs(b.Min.X-want.Min.X)+math.Abs(b.Min.Y-want.Min.Y)+math.Abs(b.Max.X-want.Max.X)+math.Abs(b.Max.Y-want.Max.Y) > 0.001 {
			t.Errorf("sheet %d: the box is %v around %v", i+1, b, keep.Bounds())
		}
		if b.Min.X < 0 || b.Min.Y < 0 || b.Max.X > p.Width.MM() || b.Max.Y > p.Height.MM() {
			t.Errorf("sheet %d: the box reaches beyond the page: %v", i+1, b)
		}
		// It is on the trimmed sheet.
		if w, h := s.TrimMM(); b.Width() > w || b.Height() > h {
			t.Errorf("sheet %d: trimmed to %g × %g, the box is %v", i+1, w, h, b)
		}
	}
	// All moved alike: what is where on the board is where on the page.
	board := geometry.Pt(8, 30)
	on := p.BoardToPage.Apply(board)
	for what, q := range map[string]geometry.Point{"piece": p.Separations[0].Pieces[0].Inside.MM(), "pen": p.Drawings[0].Lines[0].Segments[0].End.MM().Add(geometry.Pt(1, 0))} {
		if got := geometry.Pt(p.Width.MM()-q.X, q.Y); got.Sub(on).Len() > 1e-6 {
			t.Errorf("%s: at %v, want %v", what, got, on)
		}
	}
	if before.Separations[0].Box != nil || before.Width == p.Width {
		t.Error("the page that was given changed, or did not grow")
	}
	// A sheet stays as large as it is: what is laid on it would move off its place.
	sheet := *before
	sheet.IsSheet = true
	if p := withCare(t, &sheet, Care{Weeding: true}); p.Width != before.Width || p.Separations[0].Box != nil {
		t.Errorf("a sheet of %v became one of %v, with the box %v", before.Width, p.Width, p.Separations[0].Box)
	}
	if big := withCare(t, teapots(t, 2, false), Care{Weeding: true}); big.Separations[0].Box != nil {
		t.Error("work of 200 mm has a box")
	}
	if framed := withCare(t, teapots(t, 1, true), Care{Weeding: true}); framed.Separations[0].Box != nil || framed.Separations[1].Box == nil {
		t.Error("the sheet with the frame has a box, or the other has none")
	}
}

func TestForCutting_OvercutsGoOnOverTheBeginning(t *testing.T) {
	p := withCare(t, teapots(t, 1, true), Care{OvercutMM: 0.7})
	n := 0
	for _, s := range p.Separations {
		for _, c := range append(s.Contours, p.Separations[0].Contours...) {
			n++
			length, at := 0.0, c.Start
			for _, g := range c.Over {
				length += lengthOf(at, g)
				at = g.End
			}
			if math.Abs(length-0.7) > 0.001 {
				t.Errorf("an overcut of %.4f mm", length)
			}
			if off := (geometry.Path{c.MM()}).Flatten(0.0005).Distance(at.MM()); off > 0.001 {
				t.Errorf("it ends %.4f mm beside the line", off)
			}
			segs, closes := c.Cut()
			if closes || len(segs) < len(closing(c))+1 {
				t.Errorf("%d segments are cut, closed %v", len(segs), closes)
			}
		}
	}
	if n == 0 || len(p.Separations[0].Frame.Over) == 0 {
		t.Error("nothing is cut on")
	}
	tiny := Contour{Segments: []Segment{{End: Point{1000, 0}}, {End: Point{1000, 1000}}}}
	if over := tiny.beginning(5); len(over) != 3 {
		t.Errorf("a line of 0.34 mm is cut on by %v", over)
	}
}

func TestForCutting_AStoppedRunGivesNoPage(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := teapots(t, 1, false).ForCutting(ctx, Care{}); err == nil {
		t.Error("no error")
	}
}
