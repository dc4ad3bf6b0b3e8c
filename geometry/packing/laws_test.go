package packing

import (
	"context"
	"math"
	"testing"

	"abut/geometry"
	"abut/geometry/planar"

	"pgregory.net/rapid"
)

type failer interface {
	Fatalf(string, ...any)
	Context() context.Context
}

// laid returns the outlines on each sheet, turned and shifted, on the grid.
func laid(p Packing, outline func(item int) geometry.Path) [][]geometry.Path {
	out := make([][]geometry.Path, len(p.Sheets))
	for _, x := range p.Placed {
		out[x.Sheet] = append(out[x.Sheet], outline(x.Item).Transform(x.Map()))
	}
	return out
}

// check holds what every packing must: nothing is lost or twice, overlaps, lies
// closer than the gap or leaves its sheet, and no sheet is used that is not there.
func check(t failer, p Packing, counts []int, o Options, outline func(item int) geometry.Path) {
	checkCounts(t, p, counts)
	used := make([]int, len(o.Sheets))
	for _, u := range p.Sheets {
		used[u.Kind]++
	}
	for k, n := range used {
		if c := o.Sheets[k].Count; c > 0 && n > c || o.Sheets[k].Width == 0 && n > 1 {
			t.Fatalf("%d sheets of kind %d", n, k)
		}
	}
	for s, outlines := range laid(p, outline) {
		if len(outlines) == 0 {
			t.Fatalf("sheet %d is empty", s)
		}
		checkExtent(t, s, outlines, p.Sheets[s].Extent, o.Sheets[p.Sheets[s].Kind])
		checkApart(t, s, outlines)
		checkGap(t, outlines, o.GapMM)
	}
}

// checkCounts looks whether each item is there as often as asked, placed or left.
func checkCounts(t failer, p Packing, counts []int) {
	seen := make([]int, len(counts))
	type one struct{ item, copy int }
	placed := map[one]bool{}
	for _, x := range p.Placed {
		seen[x.Item]++
		if placed[one{x.Item, x.Copy}] {
			t.Fatalf("item %d, copy %d, is placed twice", x.Item, x.Copy)
		}
		placed[one{x.Item, x.Copy}] = true
	}
	for _, item := range p.Left {
		seen[item]++
	}
	for i, n := range seen {
		if n != counts[i] {
			t.Fatalf("of item %d there are %d, not %d", i, n, counts[i])
		}
	}
}

// checkExtent looks whether all lies on its sheet, of which no more is used than is said.
func checkExtent(t failer, s int, outlines []geometry.Path, used geometry.Point, sheet Sheet) {
	extent := geometry.Point{}
	for _, path := range outlines {
		b := planar.OnGrid(path.Bounds())
		extent = geometry.Pt(max(extent.X, b.Max.X), max(extent.Y, b.Max.Y))
		if b.Min.X < 0 || b.Min.Y < 0 || b.Max.Y > sheet.Height || sheet.Width > 0 && b.Max.X > sheet.Width {
			t.Fatalf("sheet %d of %v × %v: something at %v", s, sheet.Width, sheet.Height, b)
		}
	}
	// The shapes have as much around them again as chords may stray.
	if used.Sub(extent).Len() > 3*sagittaMM || used.X < extent.X || used.Y < extent.Y {
		t.Fatalf("sheet %d is used up to %v, not %v", s, extent, used)
	}
}

// checkApart looks whether nothing overlaps.
func checkApart(t failer, s int, outlines []geometry.Path) {
	var layers []planar.Layer
	for _, path := range outlines {
		layers = append(layers, planar.Enclosed(path))
	}
	m, err := planar.Build(t.Context(), layers, planar.Options{})
	if err != nil {
		t.Fatalf("%v", err)
	}
	for f := range m.NumFaces() {
		cover, area := m.Cover(planar.FaceID(f)), m.AreaMM2(planar.FaceID(f))
		// Turned corners are rounded to the grid: an edge between them moves by a step.
		if len(cover) > 1 && area > 0 {
			t.Fatalf("sheet %d: %v overlap by %v mm²", s, cover, area)
		}
	}
}

// checkGap looks at every corner: two polygons are nearest at a corner of one.
func checkGap(t failer, outlines []geometry.Path, gap float64) {
	if gap == 0 {
		return
	}
	for i, a := range outlines {
		for k, b := range outlines {
			for _, c := range a {
				for p := range c.Sides() {
					if d := b.Distance(p); i != k && d < gap-2.0/planar.StepsPerMM {
						t.Fatalf("%v of outline %d is %v from outline %d, the gap is %v", p, i, d, k, gap)
					}
				}
			}
		}
	}
}

func box(w, h float64) geometry.Path {
	return geometry.Path{geometry.Polygon(geometry.Pt(0, 0), geometry.Pt(w, 0), geometry.Pt(w, h), geometry.Pt(0, h))}
}

func anySheets(t *rapid.T) Options {
	o := Options{
		Seed:  rapid.Uint64().Draw(t, "seed"),
		Steps: rapid.IntRange(1, 10).Draw(t, "steps"),
		GapMM: rapid.SampledFrom([]float64{0, 0, 1.5, 2.00005}).Draw(t, "gap"),
	}
	for range rapid.IntRange(1, 3).Draw(t, "sheets") {
		o.Sheets = append(o.Sheets, Sheet{Width: rapid.Float64Range(5, 60).Draw(t, "width"), Height: rapid.Float64Range(5, 60).Draw(t, "height"), Count: rapid.IntRange(0, 3).Draw(t, "count")})
	}
	if rapid.Bool().Draw(t, "roll") {
		o.Sheets = append(o.Sheets, Sheet{Height: rapid.Float64Range(10, 60).Draw(t, "roll")})
	}
	return o
}

func anyRectangles(t *rapid.T) []Rectangle {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Rectangle {
		return Rectangle{Width: rapid.Float64Range(0.5, 30).Draw(t, "w"), Height: rapid.Float64Range(0.5, 30).Draw(t, "h"), Turns: rapid.Bool().Draw(t, "turns")}
	}), 1, 12).Draw(t, "items")
}

func ones(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = 1
	}
	return out
}

func TestRectangles_NeverOverlapLeaveTheSheetOrAreLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items, o := anyRectangles(t), anySheets(t)
		p, err := Rectangles(t.Context(), items, o)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, ones(len(items)), o, func(i int) geometry.Path { return box(items[i].Width, items[i].Height) })
	})
}

// anyShape is a star-shaped polygon, some with a hole in the same shape, on the grid.
func anyShape(t *rapid.T) Shape {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	hole := rapid.Bool().Draw(t, "hole")
	size := rapid.Float64Range(2, 15).Draw(t, "size")
	var outer, inner []geometry.Point
	for i := range n {
		r := size * rapid.Float64Range(0.4, 1).Draw(t, "radius")
		d := geometry.Rotate(2 * math.Pi * float64(i) / float64(n)).Apply(geometry.Pt(r, 0))
		grid := func(p geometry.Point) geometry.Point { return geometry.Pt(mm(steps(p.X)), mm(steps(p.Y))) }
		outer, inner = append(outer, grid(d)), append(inner, grid(d.Mul(0.7)))
	}
	s := Shape{Outline: geometry.Path{geometry.Polygon(outer...)}, Count: rapid.IntRange(1, 3).Draw(t, "count")}
	if hole {
		s.Outline = append(s.Outline, geometry.Polygon(inner...))
	}
	switch rapid.IntRange(0, 2).Draw(t, "turns") {
	case 1:
		s.Turns = []float64{0, math.Pi / 2, math.Pi, 3 * math.Pi / 2}
	case 2:
		s.Turns = []float64{0, math.Pi / 2}
	}
	return s
}

func counts(shapes []Shape) []int {
	out := make([]int, len(shapes))
	for i, s := range shapes {
		out[i] = max(1, s.Count)
	}
	return out
}

func TestShapes_NeverOverlapLeaveTheSheetOrAreLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes, o := rapid.SliceOfN(rapid.Custom(anyShape), 1, 5).Draw(t, "shapes"), anySheets(t)
		o.SlabMM = rapid.SampledFrom([]float64{0, 0.3, 1, 7}).Draw(t, "slab")
		p, err := Shapes(t.Context(), shapes, o)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, counts(shapes), o, func(i int) geometry.Path { return shapes[i].Outline })
	})
}

// Free turns put corners between grid points. With a gap that is no matter.
func TestShapes_WithFreeTurnsKeepTheGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes, o := rapid.SliceOfN(rapid.Custom(anyShape), 1, 4).Draw(t, "shapes"), anySheets(t)
		o.GapMM = 1
		for i := range shapes {
			shapes[i].Turns = rapid.SliceOfN(rapid.Float64Range(0, 2*math.Pi), 1, 5).Draw(t, "angles")
		}
		p, err := Shapes(t.Context(), shapes, o)
		if err != nil {
			t.Fatal(err)
		}
		check(t, p, counts(shapes), o, func(i int) geometry.Path { return shapes[i].Outline })
	})
}

// anyBlocked are boxes on some sheets, some over the edge or over each other.
func anyBlocked(t *rapid.T, o Options) []Blocked {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Blocked {
		size := func(name string) float64 { return rapid.Float64Range(1, 25).Draw(t, name) }
		at := geometry.Translate(rapid.Float64Range(-10, 50).Draw(t, "x"), rapid.Float64Range(-10, 50).Draw(t, "y"))
		return Blocked{
			Kind: rapid.IntRange(0, len(o.Sheets)-1).Draw(t, "kind"), Nth: rapid.IntRange(0, 2).Draw(t, "nth"),
			Outline: box(size("w"), size("h")).Transform(at),
		}
	}), 1, 6).Draw(t, "blocked")
}

func TestPacking_NothingLiesOnWhatIsBlocked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anySheets(t)
		o.Blocked = anyBlocked(t, o)
		clear := func(p Packing, counts []int, outline func(int) geometry.Path) {
			check(t, p, counts, o, outline)
			for s, outlines := range laid(p, outline) {
				u := p.Sheets[s]
				for _, b := range o.Blocked {
					if b.Kind != u.Kind || b.Nth != u.Nth {
						continue
					}
					for i, path := range outlines {
						m, err := planar.Build(t.Context(), []planar.Layer{
							{Figures: []planar.Figure{{Path: path, Rule: geometry.EvenOdd}}}, {Figures: []planar.Figure{{Path: b.Outline, Rule: geometry.EvenOdd}}},
						}, planar.Options{})
						if err != nil {
							t.Fatal(err)
						}
						for f := range m.NumFaces() {
							if len(m.Cover(planar.FaceID(f))) > 1 && m.AreaMM2(planar.FaceID(f)) > 1e-9 {
								t.Fatalf("sheet %d: outline %d lies over %v by %v mm²", s, i, b, m.AreaMM2(planar.FaceID(f)))
							}
						}
					}
				}
			}
		}
		items := anyRectangles(t)
		p, err := Rectangles(t.Context(), items, o)
		if err != nil {
			t.Fatal(err)
		}
		clear(p, ones(len(items)), func(i int) geometry.Path { return box(items[i].Width, items[i].Height) })
		shapes := rapid.SliceOfN(rapid.Custom(anyShape), 1, 5).Draw(t, "shapes")
		if p, err = Shapes(t.Context(), shapes, o); err != nil {
			t.Fatal(err)
		}
		clear(p, counts(shapes), func(i int) geometry.Path { return shapes[i].Outline })
	})
}
