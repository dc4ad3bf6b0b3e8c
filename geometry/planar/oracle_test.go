package planar

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"abut/geometry"
	"abut/geometry/pairwise"

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
// Places within two steps of an edge are left out, or as much further as edges
// were moved: rounding decides there.
func checkCovers(t failer, rng *rand.Rand, m *Map, layers []Layer, n int) {
	bounds := geometry.EmptyRect()
	for _, v := range m.vertices {
		bounds = bounds.Include(v.MM())
	}
	if bounds.Empty() {
		return
	}
	bounds = bounds.Grow(0.1*bounds.Width() + 0.0005)
	reach := 2.0/StepsPerMM + m.ShiftMM()
	for range n {
		p := geometry.Pt(bounds.Min.X+rng.Float64()*bounds.Width(), bounds.Min.Y+rng.Float64()*bounds.Height())
		want, near := coversOf(layers, p, reach)
		if got := m.Cover(m.Locate(p)); !near && !slices.Equal(got, want) {
			t.Fatalf("at %v: covers %v, want %v", p, got, want)
		}
	}
}

func coversOf(layers []Layer, p geometry.Point, reach float64) (covers []int32, near bool) {
	for l, layer := range layers {
		for _, f := range layer.Figures {
			in, close := covered(f, p, reach)
			near = near || close
			if in && (len(covers) == 0 || covers[len(covers)-1] != int32(l)) {
				covers = append(covers, int32(l))
			}
		}
	}
	return covers, near
}

// covered reports whether a figure covers p, and whether p lies within reach of
// any of its edges.
func covered(f Figure, p geometry.Point, reach float64) (in, near bool) {
	n := 0
	for _, c := range f.Path.Flatten(defaultSagittaMM) {
		for a, b := range c.Sides() {
			near = near || offLine(a, b, p) < reach
			if (a.Y <= p.Y) != (b.Y <= p.Y) && a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) > p.X {
				if b.Y > a.Y {
					n++
				} else {
					n--
				}
			}
		}
	}
	in = f.Rule.Encloses(n)
	for _, clip := range f.Clips {
		any := false
		for _, g := range clip.Figures {
			i, close := covered(g, p, reach)
			any, near = any || i, near || close
		}
		in = in && any
	}
	return in, near
}

// The second opinion on pairs of blobs, where both engines are at home.
func TestBuild_AgreesWithPairwiseOnBlobs(t *testing.T) {
	for seed := range uint64(rounds(10, 60)) {
		rng := rand.New(rand.NewPCG(seed, 10))
		in := flat(t, blobsOf(rng, 2, 3+rng.IntN(400), 30))
		m := mustBuild(t, in)
		area, border := coverMeasures(m)
		a, b := pairwise.Region(in[0].Figures[0].Path), pairwise.Region(in[1].Figures[0].Path)
		ctx := context.Background()
		for _, c := range []struct {
			cover string
			op    func() (pairwise.Region, error)
		}{
			{"[0 1]", func() (pairwise.Region, error) { return pairwise.Intersect(ctx, a, b) }},
			{"[0]", func() (pairwise.Region, error) { return pairwise.Difference(ctx, a, b) }},
			{"[1]", func() (pairwise.Region, error) { return pairwise.Difference(ctx, b, a) }},
		} {
			r, err := c.op()
			if err != nil {
				t.Fatal(err)
			}
			got := mm2(area[c.cover])
			bound := math.Sqrt2 / 2 / StepsPerMM * border[c.cover] / StepsPerMM
			if math.Abs(got-r.AreaMM2()) > bound+1e-7 {
				t.Errorf("seed %d: cover %s has %v mm², polyclip-go says %v: allowed %v apart", seed, c.cover, got, r.AreaMM2(), bound)
			}
		}
	}
}

// Closed forms, recomputed from the formulas of circle segments. An ellipse is
// made of cubics that stray from it by under 1e-9 of the radius, and its chords
// by the sagitta.
func TestBuild_LensesOfTwoDiscs(t *testing.T) {
	for _, c := range []struct{ r, s, d, want float64 }{
		{1, 1, 1, 1.2283696986}, {1, 2, 2, 1.4030664397}, {1, 1, 0.8079455066, math.Pi / 2}, {10, 10, 10, 122.83696986},
	} {
		for _, sagitta := range []float64{0.01, 0.001, 0.0001} {
			m, err := Build(context.Background(), []Layer{
				layer(geometry.NonZero, geometry.Path{geometry.Ellipse(geometry.Pt(0, 0), c.r, c.r)}),
				layer(geometry.NonZero, geometry.Path{geometry.Ellipse(geometry.Pt(c.d, 0), c.s, c.s)}),
			}, Options{SagittaMM: sagitta})
			if err != nil {
				t.Fatal(err)
			}
			var lens, union float64
			for f := range m.NumFaces() {
				switch len(m.Cover(FaceID(f))) {
				case 2:
					lens += m.AreaMM2(FaceID(f))
					fallthrough
				case 1:
					union += m.AreaMM2(FaceID(f))
				}
			}
			_, border := coverMeasures(m)
			around := border["[0 1]"] / StepsPerMM
			bound := 2.0/3*sagitta*around + math.Sqrt2/2*around/StepsPerMM + 1e-9
			if math.Abs(lens-c.want) > bound {
				t.Errorf("radii %v and %v, %v apart, sagitta %v: lens of %v mm², want %v ± %v", c.r, c.s, c.d, sagitta, lens, c.want, bound)
			}
			around = border["[0 1]"]/StepsPerMM + 2*math.Pi*(c.r+c.s)
			bound = 2.0/3*sagitta*around + math.Sqrt2/2*around/StepsPerMM + 1e-9
			if want := math.Pi*(c.r*c.r+c.s*c.s) - c.want; math.Abs(union-want) > bound {
				t.Errorf("radii %v and %v, %v apart, sagitta %v: union of %v mm², want %v ± %v", c.r, c.s, c.d, sagitta, union, want, bound)
			}
		}
	}
}

// Grown by d, a layer covers what lies within d of it; shrunk by d, what lies
// deeper than d in it.
func TestOffset_AgreesWithDistances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		layers := anyLayers(t)[:1]
		d := rapid.Float64Range(0.01, 3).Draw(t, "distance")
		if rapid.Bool().Draw(t, "inward") {
			d = -d
		}
		grown, err := Offset(context.Background(), layers[0], d, geometry.Join{}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		m := mustBuild(t, layers)
		result := []Layer{layer(geometry.EvenOdd, grown)}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		box := m.Bounds()
		if box.Empty() {
			if len(grown) > 0 {
				t.Fatalf("an empty layer grew to %v", grown)
			}
			return
		}
		box = box.Grow(math.Abs(d) + 1)
		for range 60 {
			p := geometry.Pt(box.Min.X+rng.Float64()*box.Width(), box.Min.Y+rng.Float64()*box.Height())
			gap := borderDistance(m, p)
			if math.Abs(gap-math.Abs(d)) < defaultSagittaMM+4.0/StepsPerMM {
				continue // within the chords' tolerance
			}
			in := len(m.Cover(m.Locate(p))) > 0
			want := in || gap < d
			if d < 0 {
				want = in && gap > -d
			}
			if got, near := coversOf(result, p, 2.0/StepsPerMM); !near && (len(got) > 0) != want {
				t.Fatalf("offset by %v: at %v, %v from the border (inside: %v): covered %v", d, p, gap, in, len(got) > 0)
			}
		}
	})
}

// borderDistance returns how far p lies from where covered meets uncovered.
func borderDistance(m *Map, p geometry.Point) float64 {
	gap := math.Inf(1)
	for i := range m.edges {
		e := &m.edges[i]
		if (len(m.Cover(e.Left)) > 0) == (len(m.Cover(e.Right)) > 0) {
			continue
		}
		a, b := m.vertices[e.From].MM(), m.vertices[e.To].MM()
		gap = math.Min(gap, offLine(a, b, p))
	}
	return gap
}
