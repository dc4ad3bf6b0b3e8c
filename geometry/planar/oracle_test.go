package planar

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"abut/geometry"

	"pgregory.net/rapid"
)

// The oracle is the definition: the winding number of every contour's chords
// around the point, the fill rule, the clips.
func TestBuild_CoversAgreeWithWindingNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		layers := anyLayers(t)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		checkCovers(t, rng, mustBuild(t, layers), layers, 50)
	})
}

// checkCovers compares the covers of random places with their definition.
// Places within two steps of an edge are left out: rounding decides there.
func checkCovers(t failer, rng *rand.Rand, m *Map, layers []Layer, n int) {
	bounds := geometry.EmptyRect()
	for _, v := range m.vertices {
		bounds = bounds.Include(v.MM())
	}
	if bounds.Empty() {
		return
	}
	bounds = bounds.Grow(0.1*bounds.Width() + 0.0005)
	for range n {
		p := geometry.Pt(bounds.Min.X+rng.Float64()*bounds.Width(), bounds.Min.Y+rng.Float64()*bounds.Height())
		want, near := coversOf(layers, p)
		if got := m.Cover(m.Locate(p)); !near && !slices.Equal(got, want) {
			t.Fatalf("at %v: covers %v, want %v", p, got, want)
		}
	}
}

func coversOf(layers []Layer, p geometry.Point) (covers []int32, near bool) {
	for l, layer := range layers {
		for _, f := range layer.Figures {
			in, close := covered(f, p)
			near = near || close
			if in && (len(covers) == 0 || covers[len(covers)-1] != int32(l)) {
				covers = append(covers, int32(l))
			}
		}
	}
	return covers, near
}

// covered reports whether a figure covers p, and whether p lies within two
// steps of any of its edges.
func covered(f Figure, p geometry.Point) (in, near bool) {
	n := 0
	for _, c := range f.Path.Flatten(defaultSagittaMM) {
		a := c.Start
		for _, s := range append(slices.Clone(c.Segments), geometry.LineTo(c.Start)) {
			b := s.End
			d := b.Sub(a)
			t := 0.0
			if l := d.Dot(d); l > 0 {
				t = math.Max(0, math.Min(1, p.Sub(a).Dot(d)/l))
			}
			near = near || p.Sub(a.Lerp(b, t)).Len() < 2.0/StepsPerMM
			if (a.Y <= p.Y) != (b.Y <= p.Y) && a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) > p.X {
				if b.Y > a.Y {
					n++
				} else {
					n--
				}
			}
			a = b
		}
	}
	in = f.Rule.Encloses(n)
	for _, clip := range f.Clips {
		any := false
		for _, g := range clip.Figures {
			i, close := covered(g, p)
			any, near = any || i, near || close
		}
		in = in && any
	}
	return in, near
}
