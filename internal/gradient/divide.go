package gradient

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
)

const (
	// stepsAlong is how finely edges of bands are sought: that an edge lies half
	// a hundredth of the gradient elsewhere nobody sees. The cost goes with its
	// square.
	stepsAlong = 128
	// sampleLines and sampleShapes bound what is looked at for how much of the
	// shapes lies where along the gradient: some 24² places of each of 64 say it
	// to a few hundredths.
	sampleLines  = 24
	sampleShapes = 64
	// unmet is the weight of all that no sample met, as a share: so little that
	// it decides nothing, and enough that edges there are kept.
	unmet = 1e-6
	// alike is how little the opacity of neighbouring bands may differ for them
	// to be one: a step of 8 bits.
	alike = 1.0 / 255
)

// Area is a filled path and what it is painted with.
type Area struct {
	*Gradient
	Path geometry.Path
	Rule geometry.FillRule
}

// Band is a stretch of a gradient that becomes one flat colour.
type Band struct {
	// From and To are parameters along the gradient: −Inf for the beginning of
	// the first band, +Inf for the end of the last.
	From, To float64
	Tint
}

// Divide finds the n ≥ 1 flat colours that come nearest to a gradient over
// areas painted with it (all bandable and with the same stops), by the squared distance in
// CIE L*a*b* of the colours as they look on white. There are fewer bands where
// neighbours turn out alike. The division is the best there is of those with
// edges at stops and at stepsAlong even places (R. Bellman, On the approximation
// of curves by line segments using dynamic programming, 1961).
func Divide(areas []Area, n int) []Band {
	g := areas[0].Gradient
	places := make([]float64, 0, stepsAlong+1+len(g.Stops))
	for i := range stepsAlong + 1 {
		places = append(places, float64(i)/stepsAlong)
	}
	for _, s := range g.Stops {
		places = append(places, s.At)
	}
	// An edge at an end parts what lies beyond from all that lies between.
	first, last := g.edgedEnds()
	if first {
		places = append(places, before)
	}
	if last {
		places = append(places, after)
	}
	slices.Sort(places)
	places = slices.Compact(places)
	w := newWeights(g, places, areas)
	ends := w.cheapest(len(places)-1, n)
	var bands []Band
	for i := 0; i+1 < len(ends); i++ {
		t := w.mean(ends[i], ends[i+1])
		if k := len(bands) - 1; k >= 0 && bands[k].RGB() == t.RGB() && math.Abs(bands[k].Alpha-t.Alpha) < alike {
			bands[k].To = places[ends[i+1]]
			continue
		}
		bands = append(bands, Band{places[ends[i]], places[ends[i+1]], t})
	}
	bands[0].From, bands[len(bands)-1].To = math.Inf(-1), math.Inf(1)
	return bands
}

// cheapest divides m steps into at most n runs at the least cost, and returns where
// they begin, and m.
func (w *weights) cheapest(m, n int) []int {
	n = min(n, m)
	// least[c][i] is the least cost of the first i steps in c colours.
	least := make([][]float64, n+1)
	from := make([][]int, n+1)
	for c := range least {
		least[c], from[c] = make([]float64, m+1), make([]int, m+1)
		for i := range least[c] {
			least[c][i] = math.Inf(1)
		}
	}
	least[0][0] = 0
	for c := 1; c <= n; c++ {
		for i := c; i <= m; i++ {
			for k := c - 1; k < i; k++ {
				if v := least[c-1][k] + w.cost(k, i); v < least[c][i] {
					least[c][i], from[c][i] = v, k
				}
			}
		}
	}
	ends := []int{m}
	for c, i := n, m; c > 0; c-- {
		i = from[c][i]
		ends = append(ends, i)
	}
	slices.Reverse(ends)
	return ends
}

// weights are sums over the steps before each place, for costs in no time.
type weights struct {
	// amount, then its products with the colour, its opacity, the colour on
	// white in Lab, and the squares of that.
	amount, r, g, b, a, square []float64
	labs                       [3][]float64
}

func newWeights(g *Gradient, places []float64, areas []Area) *weights {
	m := len(places) - 1
	amount := make([]float64, m)
	total := 1.0
	for _, s := range areas[:min(len(areas), sampleShapes)] {
		along := s.Along()
		for _, p := range s.Path.Samples(s.Rule, sampleLines) {
			if t, ok := along(p); ok {
				k, found := slices.BinarySearch(places, t)
				if !found {
					k--
				}
				amount[max(0, min(k, m-1))]++
				total++
			}
		}
	}
	w := &weights{}
	for _, s := range []*[]float64{&w.amount, &w.r, &w.g, &w.b, &w.a, &w.square, &w.labs[0], &w.labs[1], &w.labs[2]} {
		*s = make([]float64, m+1)
	}
	for i := range m {
		v := amount[i]/total + unmet*(places[i+1]-places[i])
		t := g.At((places[i] + places[i+1]) / 2)
		lab := t.RGB().Over(colour.White, t.Alpha).Lab()
		add := func(s []float64, x float64) { s[i+1] = s[i] + v*x }
		add(w.amount, 1)
		add(w.r, t.R*t.Alpha)
		add(w.g, t.G*t.Alpha)
		add(w.b, t.B*t.Alpha)
		add(w.a, t.Alpha)
		add(w.labs[0], lab.L)
		add(w.labs[1], lab.A)
		add(w.labs[2], lab.B)
		add(w.square, lab.L*lab.L+lab.A*lab.A+lab.B*lab.B)
	}
	return w
}

// cost is the squared distance of steps i to k from their mean.
func (w *weights) cost(i, k int) float64 {
	v := w.square[k] - w.square[i]
	for _, s := range w.labs {
		d := s[k] - s[i]
		v -= d * d / (w.amount[k] - w.amount[i])
	}
	return math.Max(0, v)
}

func (w *weights) mean(i, k int) Tint {
	a := w.a[k] - w.a[i]
	if a <= 0 {
		return Tint{}
	}
	return Tint{(w.r[k] - w.r[i]) / a, (w.g[k] - w.g[i]) / a, (w.b[k] - w.b[i]) / a, a / (w.amount[k] - w.amount[i])}
}
