package fit

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
)

// disc is a job of one disc of radius 10 mm in a picture of quarter scale, with
// a surround of 3 mm.
func disc(t *testing.T) (job.Job, job.LayerID) {
	t.Helper()
	shape := job.Shape{Path: geometry.Path{geometry.Ellipse(geometry.Pt(100, 100), 40, 40)}}
	j := job.Job{Items: []job.Item{{ID: 1, Copies: 1, Placement: geometry.Scale(0.25, 0.25), Layers: []job.Layer{
		{ID: 1, Name: "disc", Content: job.Outlines{Shapes: []job.Shape{shape}}, Colour: colour.RGB{R: 200}, Alpha: 1, Transform: geometry.Identity(), Knocks: true, Shown: true},
	}}}}
	j, made, err := job.AddSurround(j, []job.LayerID{1}, job.Surround{WidthMM: 3}, "band", colour.RGB{B: 200})
	if err != nil {
		t.Fatal(err)
	}
	return j, made
}

func sheetArea(t *testing.T, p *Plan, c colour.RGB) float64 {
	t.Helper()
	for _, s := range p.Separations {
		if s.Colour == c {
			return s.AreaMM2
		}
	}
	t.Fatalf("nothing of colour %v", c)
	return 0
}

func TestCompute_SurroundIsABandOfItsWidth(t *testing.T) {
	j, id := disc(t)
	p, err := Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	// Chords within 0.01 mm of a line of 13 mm's radius.
	want := math.Pi * (13*13 - 10*10)
	if got := sheetArea(t, p, colour.RGB{B: 200}); math.Abs(got-want) > 2*math.Pi*13*0.02 {
		t.Errorf("band of %.3f mm², want %.3f", got, want)
	}
	if r := p.Extent; math.Abs(r.Width()-26) > 0.03 || math.Abs(r.Centre().X-25) > 0.02 {
		t.Errorf("extent %v", r)
	}
	if p.Stacked.AreaMM2 != 0 {
		t.Errorf("%g mm² stack", p.Stacked.AreaMM2)
	}
	drawn := p.Outlined(j)
	if r := job.Bounds(drawn, id); math.Abs(r.Width()-26) > 0.03 {
		t.Errorf("outlined it is %v", r)
	}
}

// A band around discs of two pictures, of which one is moved on the board: two
// bands while they are apart, one where they are near.
func TestCompute_SurroundOfSeveralItems(t *testing.T) {
	j, _ := disc(t)
	j.Items[0].Layers = j.Items[0].Layers[1:] // without its own surround
	other := j.Items[0]
	other.ID = 2
	other.Layers = []job.Layer{other.Layers[0]}
	other.Layers[0].ID = 9
	j.Items = append(j.Items, other)
	for _, apart := range []float64{100, 20, 0} {
		j.Items[1].Placement = geometry.Translate(apart, 0).Mul(j.Items[0].Placement)
		k, id, err := job.AddSurround(j, []job.LayerID{1, 9}, job.Surround{WidthMM: 3}, "band", colour.RGB{B: 200})
		if err != nil {
			t.Fatal(err)
		}
		p, err := Compute(context.Background(), k)
		if err != nil {
			t.Fatal(err)
		}
		// The union of two discs of radius r, d apart: their areas less the lens
		// 2r²·acos(d/2r) − d/2·√(4r²−d²).
		union := func(r, d float64) float64 {
			if d >= 2*r {
				return 2 * math.Pi * r * r
			}
			return 2*math.Pi*r*r - (2*r*r*math.Acos(d/2/r) - d/2*math.Sqrt(4*r*r-d*d))
		}
		want := union(13, apart) - union(10, apart)
		if got := sheetArea(t, p, colour.RGB{B: 200}); math.Abs(got-want) > 4*math.Pi*13*0.02 {
			t.Errorf("%g apart: a band of %.3f mm², want %.3f", apart, got, want)
		}
		if p.Stacked.AreaMM2 != 0 {
			t.Errorf("%g mm² stack", p.Stacked.AreaMM2)
		}
		shapes, err := SurroundShapes(context.Background(), k, id)
		if err != nil || len(shapes) != 1 {
			t.Errorf("%d outlines, %v", len(shapes), err)
		}
	}
}

func TestCache_SurroundFollowsAndIsTheSameAsAfresh(t *testing.T) {
	ctx := context.Background()
	j, id := disc(t)
	var c Cache
	first, err := c.Compute(ctx, j)
	if err != nil {
		t.Fatal(err)
	}
	moved, err := job.MoveLayers(j, []job.LayerID{1}, 7, 0)
	if err != nil {
		t.Fatal(err)
	}
	wide, err := job.SetContent(moved, id, job.Surround{Of: []job.LayerID{1}, WidthMM: 5})
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range []job.Job{moved, wide, j} {
		got, err := c.Compute(ctx, k)
		if err != nil {
			t.Fatal(err)
		}
		want, err := Compute(ctx, k)
		if err != nil {
			t.Fatal(err)
		}
		if got.Extent != want.Extent || got.Separations[0].AreaMM2 != want.Separations[0].AreaMM2 {
			t.Errorf("extent %v, afresh %v", got.Extent, want.Extent)
		}
	}
	again, _ := c.Compute(ctx, j)
	knocked, _ := job.SetKnocks(j, []job.LayerID{1}, false)
	same, _ := c.Compute(ctx, knocked)
	if &again.Surrounds[id][0] != &same.Surrounds[id][0] {
		t.Error("the band was made anew although nothing that it follows had changed")
	}
	if first.Surrounds[id][0].Path.Bounds() != again.Surrounds[id][0].Path.Bounds() {
		t.Error("there and back is elsewhere")
	}
}

// A ring's surround keeps the hole as far as it is wide; filled it has none; a
// surround of a surround is as wide as both.
func TestCompute_SurroundOfRings(t *testing.T) {
	ring := job.Shape{Rule: geometry.EvenOdd, Path: geometry.Path{geometry.Ellipse(geometry.Point{}, 20, 20), geometry.Ellipse(geometry.Point{}, 10, 10)}}
	base := job.Job{Items: []job.Item{{ID: 1, Copies: 1, Placement: geometry.Identity(), Layers: []job.Layer{
		{ID: 1, Name: "ring", Content: job.Outlines{Shapes: []job.Shape{ring}}, Alpha: 1, Transform: geometry.Identity(), Shown: true},
	}}}}
	area := func(s job.Surround, twice bool) float64 {
		j, made, err := job.AddSurround(base, []job.LayerID{1}, s, "band", colour.RGB{B: 200})
		if err != nil {
			t.Fatal(err)
		}
		if twice {
			if j, made, err = job.AddSurround(j, []job.LayerID{made}, s, "band", colour.RGB{G: 200}); err != nil {
				t.Fatal(err)
			}
		}
		p, err := Compute(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, s := range p.Surrounds[made] {
			sum += s.Path.SignedArea() // holes run the other way
		}
		return sum
	}
	for _, c := range []struct {
		s     job.Surround
		twice bool
		want  float64
	}{
		{job.Surround{WidthMM: 4}, false, math.Pi * (24*24 - 6*6)},
		{job.Surround{WidthMM: 4, Filled: true}, false, math.Pi * 24 * 24},
		{job.Surround{WidthMM: 4}, true, math.Pi * (28*28 - 2*2)},
	} {
		if got := area(c.s, c.twice); math.Abs(got-c.want) > 6 {
			t.Errorf("%+v twice %v: %.2f mm², want %.2f", c.s, c.twice, got, c.want)
		}
	}
}

func TestCompute_SurroundOfSomethingLeftOutIsAroundTheRest(t *testing.T) {
	j, id := disc(t)
	j, _ = job.SetUse(j, []job.LayerID{1}, job.LeftOut)
	p, err := Compute(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Surrounds[id]) != 0 || !p.Extent.Empty() {
		t.Errorf("still there: %v", p.Extent)
	}
}

// Surrounds count as wide as they are on the board, around one picture and around
// several.
func TestExtent_KnowsSurrounds(t *testing.T) {
	j, id := disc(t)
	r, err := Extent(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	if got := j.Items[0].Placement.MapRect(r); math.Abs(got.Width()-26) > 0.03 {
		t.Errorf("%v", got)
	}
	both, made := job.AddBeside(j, job.Only(j, []job.LayerID{1}))
	both, _, err = job.AddSurround(both, append(made, id), job.Surround{WidthMM: 5}, "both", colour.White)
	if err != nil {
		t.Fatal(err)
	}
	if r, err = Extent(context.Background(), both); err != nil {
		t.Fatal(err)
	}
	r = both.Items[0].Placement.MapRect(r)
	if p := mustPlan(t, both).Extent; p.Min.Sub(r.Min).Len()+p.Max.Sub(r.Max).Len() > 1e-3 || r.Height() < 35.9 {
		t.Errorf("%v, the plan's is %v", r, p)
	}
}

func TestParts_AreWhatIsConnected(t *testing.T) {
	square := func(x float64) geometry.Contour { return geometry.RectXYWH(x, 0, 10, 10).Path()[0] }
	two := job.Shape{Path: geometry.Path{square(0), geometry.Ellipse(geometry.Pt(100, 5), 5, 5)}}
	over := job.Shape{Path: geometry.Path{square(5)}}
	j := job.Job{Items: []job.Item{{ID: 1, Copies: 1, Placement: geometry.Scale(2, 2), Layers: []job.Layer{
		{ID: 1, Name: "parts", Content: job.Outlines{Shapes: []job.Shape{two, over}}, Alpha: 1, Transform: geometry.Translate(3, 0), Shown: true},
	}}}}
	parts, err := Parts(context.Background(), j, 1)
	if err != nil {
		t.Fatal(err)
	}
	if len(parts) != 2 {
		t.Fatalf("%d parts, want 2", len(parts))
	}
	bounds := geometry.EmptyRect()
	area, curved := 0.0, 0
	for _, p := range parts {
		for _, s := range p {
			bounds = bounds.Union(s.Path.Bounds())
			area += s.Path.SignedArea()
			for _, c := range s.Path {
				for _, seg := range c.Segments {
					if seg.Cubic {
						curved++
					}
				}
			}
		}
	}
	if math.Abs(area-150-25*math.Pi) > 0.01 || math.Abs(bounds.Min.X-3) > 1e-4 || math.Abs(bounds.Max.X-108) > 1e-4 {
		t.Errorf("area %.4f in %v", area, bounds)
	}
	if curved == 0 {
		t.Error("the disc has lost its curves")
	}
}
