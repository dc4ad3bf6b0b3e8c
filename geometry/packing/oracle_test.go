package packing

import (
	"testing"

	"abut/geometry"
	"abut/internal/oracle"

	"pgregory.net/rapid"
)

func TestMain(m *testing.M) { oracle.Main(m) }

// GEOS knows nothing of slabs and grids.
func TestPacking_NothingOverlapsByGEOS(t *testing.T) {
	geos := oracle.StartGeos(t)
	agrees := func(t *rapid.T, p Packing, outline func(int) geometry.Path) {
		for s, outlines := range laid(p, outline) {
			over, err := geos.Overlaps(outlines)
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range over {
				// A float's rounding along an edge of 60 mm.
				if o.AreaMM2 > 1e-9 {
					t.Fatalf("sheet %d: outlines %d and %d have %v mm² in common", s, o.I, o.J, o.AreaMM2)
				}
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		o := anySheets(t)
		items := anyRectangles(t)
		p, err := Rectangles(t.Context(), items, o)
		if err != nil {
			t.Fatal(err)
		}
		agrees(t, p, func(i int) geometry.Path { return box(items[i].Width, items[i].Height) })
		shapes := rapid.SliceOfN(rapid.Custom(anyShape), 1, 4).Draw(t, "shapes")
		if p, err = Shapes(t.Context(), shapes, o); err != nil {
			t.Fatal(err)
		}
		agrees(t, p, func(i int) geometry.Path { return shapes[i].Outline })
	})
	for _, name := range []string{"fu", "shapes0", "blaz", "dighe1", "dighe2"} {
		shapes, o := nesting(t, name)
		o.Steps = 20
		p, err := Shapes(t.Context(), shapes, o)
		if err != nil {
			t.Fatal(err)
		}
		for _, outlines := range laid(p, func(i int) geometry.Path { return shapes[i].Outline }) {
			over, err := geos.Overlaps(outlines)
			if err != nil || len(over) > 0 && over[0].AreaMM2 > 1e-9 {
				t.Errorf("%s: %v, %v", name, err, over)
			}
		}
	}
}
