package job

import (
	"math"
	"slices"
	"strconv"

	"abut/geometry"
)

// MaxBands is how many bands a gradient may become: each is cut and laid by
// itself, and more than this nobody does for one shape.
const MaxBands = 12

// maxBandShapes is how many shapes a layer in bands may have: every band has all
// of them, each with a clip of its own.
const maxBandShapes = 4000

// Band says which bands a layer belongs to. The zero value is no band: a whole
// gradient in its mean colour, or no gradient at all.
type Band struct {
	// Of names the bands that belong together: the id of the first of them.
	Of LayerID
	// Count is how many bands were asked for.
	Count uint8
	// Name, Colour and Alpha are those of the layer that the band comes of.
	Name   string
	Colour Colour
	Alpha  float64
}

// CanBand reports whether the layer is a gradient, or a band of one, that can
// be shown in bands.
func CanBand(l Layer) bool {
	o, ok := l.Content.(Outlines)
	if !ok || len(o.Shapes) == 0 || len(o.Shapes) > maxBandShapes {
		return false
	}
	for _, s := range o.Shapes {
		if s.Gradient == nil || !s.Gradient.Bandable(s.Path.Bounds()) {
			return false
		}
	}
	return true
}

// SetBands shows the gradients of the layers in n bands of flat colour, or with
// n = 1 each as one layer of its mean colour again. The bands' edges lie where n
// flat colours come nearest to the gradient. Bands are layers of their own, in
// the place of the layer that they come of; those that belong together change
// together, whichever of them is named. Layers without a gradient that can be
// shown so stay as they are.
func SetBands(j Job, ids []LayerID, n int) (Job, error) {
	if n < 1 || n > MaxBands {
		return j, refuse(BadBands)
	}
	set, err := lookUp(j, ids)
	if err != nil {
		return j, err
	}
	out := j
	last, lastItem := lastIDs(j)
	replaced := map[LayerID][]LayerID{}
	for i, it := range j.Items {
		chosen := map[LayerID]bool{}
		for _, l := range it.Layers {
			if set[l.ID] && CanBand(l) {
				chosen[l.bandOf()] = true
			}
		}
		if len(chosen) == 0 {
			continue
		}
		var layers []Layer
		now := map[LayerID][]LayerID{} // by bandOf: the new layers
		before := map[LayerID]LayerID{}
		for _, l := range it.Layers {
			of := l.bandOf()
			if !chosen[of] || !CanBand(l) {
				layers = append(layers, l)
				continue
			}
			before[l.ID] = of
			switch {
			case l.Locked:
				return j, refuseLayer(LayerLocked, l.ID, l.Name)
			case now[of] == nil:
				made := Bands(l.whole(), n)
				for k := range made[1:] {
					last++
					made[k+1].ID = last
				}
				for _, b := range made {
					now[of] = append(now[of], b.ID)
				}
				layers = append(layers, made...)
			}
		}
		for id, of := range before {
			replaced[id] = now[of]
		}
		out = withLayers(out, i, layers)
		out.LastLayer, out.LastItem = last, lastItem
	}
	return rerouteAll(out, replaced), nil
}

// BandsWith returns the layers that change along with these when another number
// of bands is chosen: the bands that belong to theirs.
func BandsWith(j Job, ids []LayerID) []LayerID {
	var out []LayerID
	for _, it := range j.Items {
		of := map[LayerID]bool{}
		for _, l := range it.Layers {
			if slices.Contains(ids, l.ID) {
				of[l.bandOf()] = true
			}
		}
		for _, l := range it.Layers {
			if of[l.bandOf()] {
				out = append(out, l.ID)
			}
		}
	}
	return out
}

// bandOf names the bands that the layer belongs to or would become.
func (l Layer) bandOf() LayerID {
	if l.Band.Of != 0 {
		return l.Band.Of
	}
	return l.ID
}

// rebind lets copied bands belong to each other instead of to those that they
// were copied from.
func rebind(copies []Layer) {
	first := map[LayerID]LayerID{}
	for i := range copies {
		if of := copies[i].Band.Of; of != 0 {
			if first[of] == 0 {
				first[of] = copies[i].ID
			}
			copies[i].Band.Of = first[of]
		}
	}
}

// whole returns the layer that a band comes of, under the band's own id.
func (l Layer) whole() Layer {
	if l.Band.Of == 0 {
		return l
	}
	shapes := slices.Clone(l.Content.(Outlines).Shapes)
	for i := range shapes {
		if n := len(shapes[i].Clips); n > 0 && shapes[i].Clips[n-1].Band {
			shapes[i].Clips = shapes[i].Clips[: n-1 : n-1]
		}
	}
	l.Content, l.Name, l.Colour, l.Alpha, l.Band = Outlines{shapes}, l.Band.Name, l.Band.Colour, l.Band.Alpha, Band{}
	return l
}

// Bands returns the layer, a gradient for which CanBand holds and no band yet,
// as n flat bands, or itself for n = 1. The first keeps its id, the others have
// none yet. There are fewer where the gradient has fewer colours or fades away.
func Bands(l Layer, n int) []Layer {
	if n <= 1 {
		return []Layer{l}
	}
	shapes := l.Content.(Outlines).Shapes
	cuts, tints := divide(shapes, n)
	strength := l.Alpha / shapes[0].Gradient.MeanAlpha
	var out []Layer
	for k, t := range tints {
		alpha := math.Min(1, t.a*strength)
		if alpha < 1.0/255 && (len(out) > 0 || k < len(tints)-1) {
			continue
		}
		b := l
		b.ID = 0
		b.Name = l.Name + " " + strconv.Itoa(len(out)+1)
		b.Band = Band{Of: l.ID, Count: uint8(n), Name: l.Name, Colour: l.Colour, Alpha: l.Alpha}
		b.Colour, b.Alpha = t.colour(), math.Max(alpha, 1.0/255)
		clipped := slices.Clone(shapes)
		for i, s := range clipped {
			from, to := math.Inf(-1), math.Inf(1)
			if k > 0 {
				from = cuts[k]
			}
			if k < len(tints)-1 {
				to = cuts[k+1]
			}
			clip := &Clip{Shapes: s.Gradient.band(s.Path.Bounds(), from, to), Band: true}
			clipped[i].Clips = append(slices.Clip(s.Clips), clip)
		}
		b.Content = Outlines{clipped}
		out = append(out, b)
	}
	out[0].ID = l.ID
	return out
}

func (t tint) colour() Colour {
	return Colour{uint8(math.Round(t.r)), uint8(math.Round(t.g)), uint8(math.Round(t.b))}
}

const (
	// stepsAlong is how finely edges of bands are sought.
	stepsAlong = 128
	// sampleLines and sampleShapes bound what is looked at for how much of the
	// shapes lies where along the gradient.
	sampleLines  = 24
	sampleShapes = 64
)

// divide finds the n flat colours that come nearest to the gradient over the
// shapes, by the squared distance in CIE L*a*b* of the colours as they look on
// white: cuts are the places along the gradient from 0 to 1 where one ends and
// the next begins, one more than there are colours. Neighbours that turn out
// alike are one. The division is the best there is of those with edges at stops
// and at stepsAlong even places (R. Bellman, On the approximation of curves by
// line segments using dynamic programming, 1961).
func divide(shapes []Shape, n int) (cuts []float64, tints []tint) {
	g := shapes[0].Gradient
	places := make([]float64, 0, stepsAlong+1+len(g.Stops))
	for i := range stepsAlong + 1 {
		places = append(places, float64(i)/stepsAlong)
	}
	for _, s := range g.Stops {
		places = append(places, s.At)
	}
	slices.Sort(places)
	places = slices.Compact(places)
	m := len(places) - 1
	w := newWeights(g, places, shapes)
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
	cuts = []float64{0}
	for i := 0; i+1 < len(ends); i++ {
		t := w.mean(ends[i], ends[i+1])
		if k := len(tints) - 1; k >= 0 && tints[k].colour() == t.colour() && math.Abs(tints[k].a-t.a) < 1.0/255 {
			cuts[k+1] = places[ends[i+1]]
			continue
		}
		tints = append(tints, t)
		cuts = append(cuts, places[ends[i+1]])
	}
	return cuts, tints
}

// weights are sums over the steps before each place, for costs in no time.
type weights struct {
	// amount, then its products with the colour, its opacity, the colour on
	// white in Lab, and the squares of that.
	amount, r, g, b, a, square []float64
	labs                       [3][]float64
}

func newWeights(g *Gradient, places []float64, shapes []Shape) *weights {
	m := len(places) - 1
	amount := make([]float64, m)
	total := 1.0
	for i, s := range shapes {
		along := s.Gradient.Along()
		if i >= sampleShapes || along == nil {
			break
		}
		for _, p := range s.Path.Samples(s.Rule, sampleLines) {
			if t, ok := along(p); ok {
				k, found := slices.BinarySearch(places, t)
				if !found {
					k--
				}
				amount[min(max(k, 0), m-1)]++
				total++
			}
		}
	}
	w := &weights{}
	for _, s := range []*[]float64{&w.amount, &w.r, &w.g, &w.b, &w.a, &w.square, &w.labs[0], &w.labs[1], &w.labs[2]} {
		*s = make([]float64, m+1)
	}
	for i := range m {
		// What no sample met counts a little, so that its edges are kept.
		v := amount[i]/total + 1e-6*(places[i+1]-places[i])
		t := g.at((places[i] + places[i+1]) / 2)
		lab := t.colour().Over(White, t.a).Lab()
		add := func(s []float64, x float64) { s[i+1] = s[i] + v*x }
		add(w.amount, 1)
		add(w.r, t.r*t.a)
		add(w.g, t.g*t.a)
		add(w.b, t.b*t.a)
		add(w.a, t.a)
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

func (w *weights) mean(i, k int) tint {
	a := w.a[k] - w.a[i]
	if a <= 0 {
		return tint{}
	}
	return tint{(w.r[k] - w.r[i]) / a, (w.g[k] - w.g[i]) / a, (w.b[k] - w.b[i]) / a, a / (w.amount[k] - w.amount[i])}
}

const (
	// maxRounds bounds how often a repeated gradient runs over a shape: finer
	// stripes than this nobody cuts.
	maxRounds = 50
	// farOut is how many times its shape's size a band's outline may reach.
	farOut = 40
)

// Bandable reports whether the gradient can be cut into bands over a shape with
// these bounds: its lines of one colour do not cross or are those of a cone, it
// does not run over the shape too often, and its bands do not reach too far
// beyond.
func (g *Gradient) Bandable(bounds geometry.Rect) bool {
	if g.own() == nil || !g.Sound() || bounds.Empty() {
		return false
	}
	if _, cone := g.cone(); g.Radial && !cone && !(g.To.Sub(g.From).Len() <= (g.ToR-g.FromR)*(1-1e-9)) {
		return false
	}
	f, ok := g.fieldOver(bounds)
	if !ok || g.Spread != Pad && f.to-f.from > maxRounds {
		return false
	}
	reach := geometry.EmptyRect()
	for _, s := range append(f.strip(math.Inf(-1), math.Inf(1)), f.strip(f.from+(f.to-f.from)*0.999, math.Inf(1))...) {
		reach = reach.Union(s.Path.Bounds())
	}
	size := func(r geometry.Rect) float64 { return math.Hypot(r.Width(), r.Height()) }
	return reach.Min.Finite() && reach.Max.Finite() && size(reach) <= farOut*size(bounds)
}

// field is a gradient over a rectangle.
type field struct {
	g *Gradient
	// box holds the rectangle in the gradient's own units.
	box geometry.Rect
	// from and to hold the parameter there, before the spread.
	from, to float64
	// left and right are how far the box reaches across a straight gradient, in
	// lengths of it.
	left, right float64
}

func (g *Gradient) fieldOver(bounds geometry.Rect) (field, bool) {
	f := field{g: g, box: geometry.EmptyRect(), from: math.Inf(1), to: math.Inf(-1), left: math.Inf(1), right: math.Inf(-1)}
	inv, ok := g.Map.Invert()
	own := g.own()
	if !ok || own == nil {
		return f, false
	}
	if c, ok := g.cone(); ok {
		f.box = bounds.Path().Transform(inv).Bounds()
		f.box = f.box.Grow(0.01 * math.Hypot(f.box.Width(), f.box.Height()))
		f.from, f.to, ok = c.over(f.box)
		return f, ok && !math.IsInf(f.to-f.from, 0)
	}
	d := g.To.Sub(g.From)
	for _, p := range []geometry.Point{bounds.Min, bounds.Max, geometry.Pt(bounds.Min.X, bounds.Max.Y), geometry.Pt(bounds.Max.X, bounds.Min.Y)} {
		q := inv.Apply(p)
		f.box = f.box.Include(q)
		t, ok := own(q)
		if !ok || math.IsNaN(t) || math.IsInf(t, 0) {
			return f, false
		}
		f.from, f.to = math.Min(f.from, t), math.Max(f.to, t)
		if !g.Radial {
			s := d.Cross(q.Sub(g.From)) / d.Dot(d)
			f.left, f.right = math.Min(f.left, s), math.Max(f.right, s)
		}
	}
	f.box = f.box.Grow(0.01 * math.Hypot(f.box.Width(), f.box.Height()))
	if g.Radial {
		f.from = math.Min(f.from, 0) // the middle may lie inside
	} else {
		margin := 0.01 * (f.right - f.left + 1)
		f.left, f.right = f.left-margin, f.right+margin
	}
	return f, true
}

// band returns where the gradient over a shape with these bounds is from one
// parameter to another, of [0, 1]; an end of it that is infinite is an end of
// the gradient itself. Neighbouring bands share their edges to the last digit.
func (g *Gradient) band(bounds geometry.Rect, from, to float64) []Shape {
	f, ok := g.fieldOver(bounds)
	if !ok {
		return nil
	}
	if g.Spread == Pad {
		return f.strip(from, to)
	}
	from, to = math.Max(from, 0), math.Min(to, 1)
	var out []Shape
	for m := math.Floor(f.from); m <= f.to; m++ {
		if g.Spread == Reflect && math.Mod(m, 2) != 0 {
			out = append(out, f.strip(m+1-to, m+1-from)...)
		} else {
			out = append(out, f.strip(m+from, m+to)...)
		}
	}
	return out
}

// strip returns the part of the field between two parameters, in source units.
func (f field) strip(from, to float64) []Shape {
	if from >= f.to || to <= f.from {
		return nil
	}
	g := f.g
	var path geometry.Path
	if c, ok := g.cone(); ok {
		path = geometry.Path{c.ahead(math.Max(from, f.from), f.to)}
		if to < f.to {
			path = append(path, c.ahead(to, f.to))
		}
	} else if !g.Radial {
		d := g.To.Sub(g.From)
		across := geometry.Pt(-d.Y, d.X)
		margin := 0.01 * (f.to - f.from + 1)
		from, to = math.Max(from, f.from-margin), math.Min(to, f.to+margin)
		at := func(t, s float64) geometry.Point { return g.From.Add(d.Mul(t)).Add(across.Mul(s)) }
		path = geometry.Path{geometry.Polygon(at(from, f.left), at(to, f.left), at(to, f.right), at(from, f.right))}
	} else {
		circle := func(t float64) (geometry.Contour, bool) {
			r := g.FromR + t*(g.ToR-g.FromR)
			c := g.From.Add(g.To.Sub(g.From).Mul(t))
			return geometry.Ellipse(c, r, r), r > 0
		}
		outer := f.box
		if !math.IsInf(from, -1) {
			if hole, ok := circle(from); ok {
				path = append(path, hole)
				outer = outer.Union(path.Bounds().Grow(path.Bounds().Width() * 0.01))
			}
		}
		if to < f.to {
			rim, ok := circle(to)
			if !ok {
				return nil
			}
			path = append(path, rim)
		} else {
			path = append(path, outer.Path()...)
		}
	}
	return []Shape{{Path: path.Transform(g.Map), Rule: geometry.EvenOdd}}
}
