package job

import (
	"math"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/gradient"
)

// shaded is a square of 10 × 10 with a gradient across it, under a white one.
func shaded(g *gradient.Gradient) Job {
	if g.Map == (geometry.Affine{}) {
		g.Map = geometry.Identity()
	}
	g.Mean, g.MeanAlpha = colour.RGB{R: 100, G: 100, B: 100}, 1
	square := Shape{Path: geometry.RectXYWH(0, 0, 10, 10).Path(), Gradient: g}
	plain := Shape{Path: geometry.RectXYWH(2, 2, 3, 3).Path()}
	layer := func(id LayerID, name string, c colour.RGB, s Shape) Layer {
		return Layer{ID: id, Name: name, Content: Outlines{[]Shape{s}}, Colour: c, Alpha: 1, Transform: geometry.Identity(), Shown: true}
	}
	return Job{Items: []Item{{ID: 1, Placement: geometry.Identity(), Copies: 1, Layers: []Layer{
		layer(1, "Sky", g.Mean, square), layer(2, "Cloud", colour.White, plain),
	}}}}
}

func across(stops ...gradient.Stop) *gradient.Gradient {
	return &gradient.Gradient{From: geometry.Pt(0, 0), To: geometry.Pt(10, 0), Stops: stops}
}

var (
	red   = colour.RGB{R: 255, G: 0, B: 0}
	blue  = colour.RGB{R: 0, G: 0, B: 255}
	green = colour.RGB{R: 0, G: 200, B: 0}
)

// bandAreas are the bands of a job as polygons.
type bandAreas []struct {
	colour colour.RGB
	path   geometry.Path
}

func areasOf(j Job) (out bandAreas) {
	for _, l := range j.Items[0].Layers {
		if l.Band.Of == 0 {
			continue
		}
		for _, s := range l.Content.(Outlines).Shapes {
			for _, k := range s.Clips[len(s.Clips)-1].Shapes {
				out = append(out, struct {
					colour colour.RGB
					path   geometry.Path
				}{l.Colour, k.Path.Flatten(1e-4)})
			}
		}
	}
	return out
}

// at returns the colours of the bands that cover a place, under the even-odd
// rule.
func (a bandAreas) at(p geometry.Point) []colour.RGB {
	var out []colour.RGB
	for _, b := range a {
		w := 0
		for _, h := range b.path.ScanLine(p.Y) {
			if h.X <= p.X {
				w += h.Winding
			}
		}
		if geometry.EvenOdd.Encloses(w) {
			out = append(out, b.colour)
		}
	}
	return out
}

// Hard edges become edges of bands exactly, whatever their place; and every
// place has one band and no more.
func TestSetBands_FollowHardEdges(t *testing.T) {
	j := shaded(across(gradient.Stop{At: 0, Colour: red, Alpha: 1}, gradient.Stop{At: 0.337, Colour: red, Alpha: 1}, gradient.Stop{At: 0.337, Colour: blue, Alpha: 1}, gradient.Stop{At: 0.8, Colour: blue, Alpha: 1}, gradient.Stop{At: 0.8, Colour: green, Alpha: 1}))
	j, err := SetBands(j, []LayerID{1}, 3)
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Items[0].Layers) != 4 || j.Items[0].Layers[3].Name != "Cloud" || j.Items[0].Layers[1].Name != "Sky 2" {
		t.Fatalf("%+v", j.Items[0].Layers)
	}
	areas := areasOf(j)
	for x := 0.005; x < 10; x += 0.01 {
		want := red
		if x > 3.37 {
			want = blue
		}
		if x > 8 {
			want = green
		}
		if got := areas.at(geometry.Pt(x, 5)); len(got) != 1 || got[0] != want {
			t.Fatalf("at %g: %v, want %v", x, got, want)
		}
	}
}

// Of black to white the best bands are even in lightness, not in sRGB: the edges
// are sought by an independent search over two places.
func TestSetBands_EdgesAreTheBest(t *testing.T) {
	g := across(gradient.Stop{At: 0, Colour: colour.RGB{}, Alpha: 1}, gradient.Stop{At: 1, Colour: colour.White, Alpha: 1})
	j, err := SetBands(shaded(g), []LayerID{1}, 3)
	if err != nil {
		t.Fatal(err)
	}
	const n = 400
	lightness := func(i int) float64 {
		v := uint8(math.Round(255 * (float64(i) + 0.5) / n))
		return colour.RGB{R: v, G: v, B: v}.Lab().L
	}
	sum, square := make([]float64, n+1), make([]float64, n+1)
	for i := range n {
		sum[i+1], square[i+1] = sum[i]+lightness(i), square[i]+lightness(i)*lightness(i)
	}
	cost := func(i, k int) float64 { d := sum[k] - sum[i]; return square[k] - square[i] - d*d/float64(k-i) }
	best, at := math.Inf(1), [2]int{}
	for i := 1; i < n-1; i++ {
		for k := i + 1; k < n; k++ {
			if c := cost(0, i) + cost(i, k) + cost(k, n); c < best {
				best, at = c, [2]int{i, k}
			}
		}
	}
	var edges []float64
	areas := areasOf(j)
	for x, last := 0.01, (colour.RGB{}); x < 10; x += 0.01 {
		c := areas.at(geometry.Pt(x, 5))
		if len(c) != 1 {
			t.Fatalf("at %g: %v", x, c)
		}
		if len(edges) == 0 || c[0] != last {
			edges = append(edges, x)
		}
		last = c[0]
	}
	// A step is 10/128 wide and sums over two of them.
	if len(edges) != 3 || math.Abs(edges[1]-float64(at[0])/n*10) > 0.16 || math.Abs(edges[2]-float64(at[1])/n*10) > 0.16 {
		t.Errorf("edges at %v, best at %v of %d", edges[1:], at, n)
	}
}

func TestSetBands_CoverEveryPlaceOnce(t *testing.T) {
	stops := []gradient.Stop{{At: 0, Colour: red, Alpha: 1}, {At: 0.4, Colour: green, Alpha: 1}, {At: 1, Colour: blue, Alpha: 1}}
	turned := geometry.Translate(5, 5).Mul(geometry.Rotate(0.4)).Mul(geometry.Scale(1, 0.6)).Mul(geometry.Translate(-5, -5))
	for name, g := range map[string]*gradient.Gradient{
		"straight":         {From: geometry.Pt(2, 1), To: geometry.Pt(7, 4), Stops: stops},
		"turned":           {From: geometry.Pt(2, 1), To: geometry.Pt(7, 4), Stops: stops, Map: turned},
		"repeated":         {From: geometry.Pt(2, 1), To: geometry.Pt(4, 1.5), Stops: stops, Spread: gradient.Repeat},
		"reflected":        {From: geometry.Pt(2, 1), To: geometry.Pt(4, 1.5), Stops: stops, Spread: gradient.Reflect, Map: turned},
		"round":            {Radial: true, From: geometry.Pt(5, 5), To: geometry.Pt(5, 5), ToR: 6, Stops: stops},
		"round, off side":  {Radial: true, From: geometry.Pt(4, 3), To: geometry.Pt(5, 5), FromR: 0.5, ToR: 5, Stops: stops, Map: turned},
		"round, repeated":  {Radial: true, From: geometry.Pt(4, 4), To: geometry.Pt(5, 5), ToR: 3, Stops: stops, Spread: gradient.Repeat},
		"cone, growing":    {Radial: true, From: geometry.Pt(0, 2), To: geometry.Pt(5, 5), FromR: 0.5, ToR: 3, Stops: stops},
		"cone, from a tip": {Radial: true, From: geometry.Pt(1, 5), To: geometry.Pt(11, 5), ToR: 5, Stops: stops, Map: turned},
		"cone, shrinking":  {Radial: true, From: geometry.Pt(1, 4), To: geometry.Pt(8, 5), FromR: 3, ToR: 1, Stops: stops},
		"cone, even":       {Radial: true, From: geometry.Pt(1, 4), To: geometry.Pt(8, 5), FromR: 2, ToR: 2, Stops: stops},
		"cone, repeated":   {Radial: true, From: geometry.Pt(1, 5), To: geometry.Pt(3, 5), ToR: 0.8, Stops: stops, Spread: gradient.Repeat},
		"cone, reflected":  {Radial: true, From: geometry.Pt(8, 8), To: geometry.Pt(6, 7), FromR: 2, ToR: 1.5, Stops: stops, Spread: gradient.Reflect, Map: turned},
		"round, mirrored":  {Radial: true, From: geometry.Pt(20, 5), To: geometry.Pt(20, 5), ToR: 3, Stops: stops, Spread: gradient.Reflect},
	} {
		t.Run(name, func(t *testing.T) {
			j := shaded(g)
			if !CanBand(j.Items[0].Layers[0]) {
				t.Fatal("cannot be shown in bands")
			}
			j, err := SetBands(j, []LayerID{1}, 4)
			if err != nil {
				t.Fatal(err)
			}
			along, areas := g.Along(), areasOf(j)
			last := map[colour.RGB][2]float64{}
			for x := 0.137; x < 10; x += 0.3 {
				for y := 0.1017; y < 10; y += 0.3 {
					p := geometry.Pt(x, y)
					c := areas.at(p)
					d, painted := along(p)
					if !painted && len(c) == 0 {
						continue // beside a cone
					}
					if !painted || len(c) != 1 {
						t.Fatalf("%v: %d bands", p, len(c))
					}
					r, ok := last[c[0]]
					if !ok {
						r = [2]float64{d, d}
					}
					last[c[0]] = [2]float64{min(r[0], d), max(r[1], d)}
				}
			}
			if len(last) != 4 {
				t.Errorf("%d bands in all", len(last))
			}
			// Along the gradient bands do not interleave.
			for a, r := range last {
				for b, q := range last {
					if a != b && r[0] < q[0] && r[1] > q[0] {
						t.Errorf("%v from %v and %v from %v", a, r, b, q)
					}
				}
			}
		})
	}
}

// Another choice starts from the gradient again, whichever band is named, and
// the mean is the layer as it was.
func TestSetBands_CanBeTakenBack(t *testing.T) {
	j := shaded(across(gradient.Stop{At: 0, Colour: red, Alpha: 1}, gradient.Stop{At: 1, Colour: blue, Alpha: 0.5}))
	five, err := SetBands(j, []LayerID{1}, 5)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(five.Items[0].Layers); n != 6 {
		t.Fatalf("%d layers", n)
	}
	two, err := SetBands(five, []LayerID{five.Items[0].Layers[3].ID}, 2)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(two.Items[0].Layers); n != 3 || two.Items[0].Layers[1].ID <= 6 {
		t.Errorf("%d layers, ids must be new: %+v", n, two.Items[0].Layers)
	}
	one, err := SetBands(two, []LayerID{two.Items[0].Layers[1].ID}, 1)
	if err != nil {
		t.Fatal(err)
	}
	got, want := one.Items[0].Layers[0], j.Items[0].Layers[0]
	if len(one.Items[0].Layers) != 2 || got.Name != want.Name || got.Colour != want.Colour || got.Alpha != want.Alpha || got.Band != want.Band ||
		len(got.Content.(Outlines).Shapes[0].Clips) != 0 {
		t.Errorf("%+v, want %+v", got, want)
	}
	// The first band was deleted meanwhile.
	rest, err := DeleteLayers(five, []LayerID{1})
	if err != nil {
		t.Fatal(err)
	}
	if rest, err = SetBands(rest, rest.LayerIDs(), 3); err != nil || len(rest.Items[0].Layers) != 4 {
		t.Errorf("%v, %+v", err, rest.Items[0].Layers)
	}
	// Copies are bands of their own.
	copied, _, err := Duplicate(five, BandsWith(five, []LayerID{1}), 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	if copied, err = SetBands(copied, []LayerID{1}, 1); err != nil || len(copied.Items[0].Layers) != 7 {
		t.Errorf("%v, %d layers", err, len(copied.Items[0].Layers))
	}
}

// Where a gradient is nothing it has no band; one that is nearly nothing all over
// has one all the same.
func TestSetBands_LeavesOutWhatIsNotPainted(t *testing.T) {
	clear := func(at float64) gradient.Stop { return gradient.Stop{At: at, Colour: red} }
	full := func(at float64) gradient.Stop { return gradient.Stop{At: at, Colour: red, Alpha: 1} }
	for _, stops := range [][]gradient.Stop{
		{clear(0.3), full(0.3), full(0.7), clear(0.7)},
		{clear(0.5), full(0.5)},
		{full(0.5), clear(0.5)},
		{{At: 0, Colour: red, Alpha: 0.001}, {At: 1, Colour: blue, Alpha: 0.001}},
	} {
		j, err := SetBands(shaded(across(stops...)), []LayerID{1}, 3)
		if l := j.Items[0].Layers; err != nil || len(l) != 2 || l[0].ID != 1 || !(l[0].Alpha > 0) || l[0].Band.Of != 1 {
			t.Errorf("%v: %+v, %v", stops, l, err)
		}
	}
}

// What surrounds a gradient surrounds its bands.
func TestSetBands_SurroundsStayAround(t *testing.T) {
	j, made, err := AddSurround(shaded(across(gradient.Stop{At: 0, Colour: red, Alpha: 1}, gradient.Stop{At: 1, Colour: blue, Alpha: 1})), []LayerID{1, 2}, Surround{WidthMM: 2}, "Edge", colour.White)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{3, 2, 1} {
		if j, err = SetBands(j, []LayerID{1}, n); err != nil {
			t.Fatal(err)
		}
		l, _, _ := j.Layer(made)
		if got := len(Inner(j, l)); got != n+1 || len(l.Content.(Surround).Of) != n+1 {
			t.Errorf("%d bands: it is around %d layers, %v", n, got, l.Content)
		}
	}
}

func TestSetBands_RefusesWhatMakesNoSense(t *testing.T) {
	j := shaded(across(gradient.Stop{At: 0, Colour: red, Alpha: 1}, gradient.Stop{At: 1, Colour: blue, Alpha: 1}))
	for _, n := range []int{0, -1, MaxBands + 1} {
		if _, err := SetBands(j, []LayerID{1}, n); err == nil {
			t.Errorf("%d bands", n)
		}
	}
	if out, err := SetBands(j, []LayerID{2}, 3); err != nil || len(out.Items[0].Layers) != 2 {
		t.Errorf("a flat layer: %v", err)
	}
	locked, _ := SetLocked(j, []LayerID{1}, true)
	if _, err := SetBands(locked, []LayerID{1}, 3); err == nil {
		t.Error("a locked layer")
	}
	// The lines of one colour of these nearly meet far out, or there are too many.
	for name, g := range map[string]*gradient.Gradient{
		"wide":   {Radial: true, From: geometry.Pt(1, 5), To: geometry.Pt(5, 5), ToR: 3.999, Stops: []gradient.Stop{{At: 0, Colour: red, Alpha: 1}, {At: 1, Colour: blue, Alpha: 1}}},
		"fine":   {From: geometry.Pt(0, 0), To: geometry.Pt(0.01, 0), Spread: gradient.Repeat, Stops: []gradient.Stop{{At: 0, Colour: red, Alpha: 1}, {At: 1, Colour: blue, Alpha: 1}}},
		"nought": {From: geometry.Pt(1, 1), To: geometry.Pt(1, 1), Stops: []gradient.Stop{{At: 0, Colour: red, Alpha: 1}, {At: 1, Colour: blue, Alpha: 1}}},
	} {
		if CanBand(shaded(g).Items[0].Layers[0]) {
			t.Errorf("%s", name)
		}
	}
}

func TestSetSolid_IsForSeeThroughLayers(t *testing.T) {
	j := shaded(across(gradient.Stop{At: 0, Colour: red, Alpha: 1}, gradient.Stop{At: 1, Colour: blue, Alpha: 1}))
	j.Items[0].Layers[1].Alpha = 0.5
	j, err := SetSolid(j, []LayerID{1, 2}, true)
	if err != nil {
		t.Fatal(err)
	}
	l := j.Items[0].Layers
	if l[0].Solid || !l[1].Solid || l[1].Opacity() != 1 || l[1].Alpha != 0.5 {
		t.Errorf("%+v", l)
	}
}
