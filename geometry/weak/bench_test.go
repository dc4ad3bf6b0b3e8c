package weak

import (
	"context"

	"testing"

	"abut/geometry"
	"abut/internal/motif"
)

// motifs are what everyday art is full of, as pieces that do not overlap, within
// 100 mm.
func motifs(t testing.TB) []struct {
	name   string
	pieces []geometry.Path
} {
	each := func(paths []geometry.Path) (out []geometry.Path) {
		for _, p := range paths {
			out = append(out, clean(t, p.Flatten(0.005))...)
		}
		return out
	}
	return []struct {
		name   string
		pieces []geometry.Path
	}{
		{"100 rays", each(motif.Sunburst(100, 50, 1))},
		{"100 rays apart", each(motif.Sunburst(100, 50, 0.5))},
		{"1,200 rays", each(motif.Sunburst(1200, 50, 1))},
		{"1,200 rays apart", each(motif.Sunburst(1200, 50, 0.5))},
		{"3,000 rays", each(motif.Sunburst(3000, 50, 1))},
		{"3,000 rays apart", each(motif.Sunburst(3000, 50, 0.5))},
		{"600 rays of half a turn", each(motif.Sunburst(1200, 50, 0.5)[:600])},
		{"a windmill of 100", layered(t, motif.Windmill(100, 50, 3))},
		{"a star of 1,200 spikes", each([]geometry.Path{motif.Star(1200, 25, 50)})},
		{"200 rings", layered(t, motif.Rings(200, 50))},
		{"2,000 lines", each(motif.Hatch(2000, 100, false))},
		{"2,000 lines aslant", each(motif.Hatch(2000, 100, true))},
		{"2,500 glyphs", each(motif.Lettering(50, 1))},
	}
}

// BenchmarkFind says how many shapes or sides in its names.
func BenchmarkFind(b *testing.B) {
	for _, c := range motifs(b) {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Find(context.Background(), c.pieces, Options{WidthMM: 1, SpeckMM: 2}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
