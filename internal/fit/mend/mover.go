package mend

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// mover is a thing, or a straight side of one, that may be moved aside to make room for spots beside
// it, or over them (displacement; the operator of that name in cartographic generalisation): one side
// all along, where what lies in the spot's way alone would be a dent.
type mover struct {
	attempt
	thing *thing.Thing
	scale float64
	back  geometry.Affine
	edge  *thing.Edge // nil for all of the thing
	alike int         // how many are like it, itself included
	alone bool        // it moves without those, for they lie in no order
	with  []*mover    // those, which move when it does
	// ways are what would help some spot, and costs about how much of the picture each option
	// changes, in mm².
	ways  []shift
	costs []float64
}

// shift is a displacement that helps a spot.
type shift struct {
	by    geometry.Point // mm
	gapMM float64        // how broad the spot is
	close bool           // it goes across all of the spot
	both  bool           // what lies on the other side is like what moves
}

const (
	// mostAside is how far, in narrowest widths, something is moved aside at most.
	mostAside = 0.5
	// mostAway is how far a whole thing is: by eye, a highlight that lies so much further from a rim is where it was.
	mostAway = 0.8
	// mostWays is how many displacements of one thing are tried.
	mostWays = 3
	// sideTimes is how long, in narrowest widths, a straight side is at least that is moved by itself.
	sideTimes = 1.5
	// longAside is how long, in narrowest widths, a spot is at most for which something is moved aside:
	// all sides are held against each other, and what is longer, such as a net, is no space between two.
	longAside = 40
	// asideShare is how much of what there was to do about spots may be left of it when something is
	// moved aside for them.
	asideShare = 0.7
	// asideCost is what a mm² of the picture that changes counts, in those that there is less to do: of
	// two that help as much the one is moved that shows less.
	asideCost = 0.05
	// facing is the cosine of the angle from which on two sides of a spot face each other.
	facing = -0.3
)

// worth returns how good it is to move something: the less the better.
func (v *mover) worth() float64 { return v.left.own - v.before.own + asideCost*v.costs[v.best] }

// near reports whether two change something no further than so far apart.
func (v *mover) near(o *mover, far float64) bool {
	return slices.ContainsFunc(v.areas, func(r geometry.Rect) bool { return reaches(r.Grow(far), o.areas) })
}

// farApart divides movers into the first ones that lie apart from each other and the rest.
func farApart(movers []*mover) (now, rest []*mover) {
	for _, v := range movers {
		if slices.ContainsFunc(now, func(o *mover) bool { return v.near(o, 0) }) {
			rest = append(rest, v)
		} else {
			now = append(now, v)
		}
	}
	return now, rest
}

func (v *mover) same(o *mover) bool {
	return v.layer == o.layer && v.thing == o.thing && (v.edge == nil) == (o.edge == nil) && (v.edge == nil || *v.edge == *o.edge)
}

// drawsEdge returns the layer whose edge is a border of a spot at a place, with the direction into the spot:
// the upper one of those on both sides; −1 for none that is simply cut.
func (m *mending) drawsEdge(at, in geometry.Point) int32 {
	layer := max(m.topAt(at.Add(in.Mul(2*own.HealMM))), m.topAt(at.Sub(in.Mul(2*own.HealMM))))
	if layer < 0 {
		return -1
	}
	l := m.placed[layer].Layer
	if _, is := l.Content.(job.Surround); is || l.Band.Of != 0 || l.Alpha < 1 || l.Use == job.Drawn {
		return -1
	}
	return layer
}

// alongEdge returns how a straight side of the mover's thing may move for a spot with these sides; nil
// for no way. closes says that it may be closed.
func (v *mover) alongEdge(e thing.Edge, sides bank, w float64, closes bool) *mover {
	into, beyond := acrossFrom(e, sides, w)
	if len(beyond) == 0 {
		return nil
	}
	nearest, furthest := math.Inf(1), 0.0
	for _, x := range beyond {
		far := x.b.Sub(e.A).Dot(into)
		nearest, furthest, closes = math.Min(nearest, far), math.Max(furthest, far), closes && x.of >= 0
	}
	o := *v
	o.edge, o.at, o.ways = &e, e.A.Lerp(e.B, 0.5).Sub(e.Out.Mul(own.HealMM)), nil
	if need := w + widenMM - nearest; need > 0 && need <= mostAside*w {
		o.ways = append(o.ways, shift{by: into.Mul(-need), gapMM: nearest})
	}
	if furthest <= closedShare*w && closes {
		o.ways = append(o.ways, shift{by: into.Mul(furthest), gapMM: furthest, close: true})
	}
	if len(o.ways) == 0 {
		return nil
	}
	return &o
}

// acrossFrom returns the direction from a straight side into a spot with these sides, of length 1, and those that
// face it there; of those of whom is along the side, too, of is negative.
func acrossFrom(e thing.Edge, sides bank, w float64) (into geometry.Point, beyond bank) {
	way := e.B.Sub(e.A)
	length := way.Len()
	way = way.Mul(1 / length)
	whose := map[int]bool{}
	for _, x := range sides {
		at := x.a.Lerp(x.b, 0.5).Sub(e.A)
		if along := at.Dot(way); math.Abs(at.Dot(e.Out)) <= own.HealMM && along > 0 && along < length {
			whose[x.of] = true
			into = into.Add(e.Out.Mul(x.in.Dot(e.Out)))
		}
	}
	if into == (geometry.Point{}) {
		return into, nil
	}
	into = into.Mul(1 / into.Len())
	for _, x := range sides {
		at := x.a.Lerp(x.b, 0.5).Sub(e.A)
		if along := at.Dot(way); at.Dot(into) > own.HealMM && x.in.Dot(into) < facing && along > -w/2 && along < length+w/2 {
			if whose[x.of] {
				x.of = -1
			}
			beyond = append(beyond, x)
		}
	}
	return into, beyond
}

// away finds how the mover's thing may move away from what lies on the other side of a spot; of says
// whose outline its sides are.
func (v *mover) away(sides bank, of []*mover, w float64) {
	nearest, by, both := math.Inf(1), geometry.Point{}, false
	var mine []side
	for k, y := range sides {
		if of[k] == v {
			mine = append(mine, y)
		}
	}
	for i, x := range sides {
		if of[i] == v {
			continue
		}
		at := x.a.Lerp(x.b, 0.5)
		for k := range mine {
			y := &mine[k]
			if math.Abs(y.a.X+y.b.X-2*at.X) > 2*nearest || x.in.Dot(y.in) > 0 { // most are far off
				continue
			}
			q := y.a.Lerp(y.b, 0.5)
			if d := q.Sub(at).Len(); d < nearest {
				nearest, by, both = d, q.Sub(at), of[i] != nil && of[i].likes(v)
			}
		}
	}
	if need := w + widenMM - nearest; nearest > own.HealMM && need > 0 && need <= mostAway*w {
		if both {
			need /= 2
		}
		v.ways = []shift{{by: by.Mul(need / nearest), gapMM: nearest, both: both}}
	}
}

const (
	// orderShare is how far, in shares of how far apart two alike things lie, another one may lie from where a row, a
	// ring, a grid or a mirror image of them has it.
	orderShare = 0.1
	// orderOf is how many of those nearest to it may be in such an order with a thing.
	orderOf = 6
)

// scattered reports whether a thing lies in no order with those like it, such as a sprinkle of many: it is not as far from
// the two that are nearest to it, is no corner of a parallelogram of which they are others, nor the end of a row, and is no
// mirror image of one from left to right. Nobody sees it move by itself.
func scattered(things []thing.Thing, k int) bool {
	at := things[k].Bounds.Centre()
	far2 := func(p geometry.Point) float64 { d := p.Sub(at); return d.Dot(d) }
	var others, near []geometry.Point // near are the nearest of them, in order: of thousands few are
	middle := at.X                    // from left to right
	for i := range things {
		if i == k || things[i].Group != things[k].Group {
			continue
		}
		o := things[i].Bounds.Centre()
		others = append(others, o)
		middle += o.X
		if len(near) < orderOf || far2(o) < far2(near[orderOf-1]) {
			n := slices.IndexFunc(near, func(p geometry.Point) bool { return far2(o) < far2(p) })
			if n < 0 {
				n = len(near)
			}
			near = slices.Insert(near[:min(len(near), orderOf-1)], n, o)
		}
	}
	if len(others) < 2 {
		return false
	}
	middle /= float64(len(others) + 1)
	nearest, next := math.Sqrt(far2(near[0])), math.Sqrt(far2(near[1]))
	slack := orderShare * nearest
	here := func(p geometry.Point) bool { return far2(p) <= slack*slack }
	if next-nearest <= slack || slices.ContainsFunc(others, func(o geometry.Point) bool {
		return here(geometry.Pt(2*middle-o.X, o.Y))
	}) {
		return false
	}
	for i, a := range near {
		for _, b := range near[:i+1] { // a row continues where both are one
			if slices.ContainsFunc(near, func(o geometry.Point) bool { return o != a && o != b && here(a.Add(b).Sub(o)) }) {
				return false
			}
		}
	}
	return true
}

// likes reports whether two are parts of one drawing and alike.
func (v *mover) likes(o *mover) bool { return v.layer == o.layer && v.thing.Group == o.thing.Group }

// flocks joins those of which others are like them: all of them move, or none does, as two eyes or the dots of a
// row do. Each goes as far as all of its ways ask for.
func flocks(movers []*mover, w float64) (out []*mover) {
	var open []*mover
	for _, v := range movers {
		if v.edge == nil && !v.alone {
			open = append(open, v)
		} else {
			out = append(out, v)
		}
	}
	for len(open) > 0 {
		first := open[0]
		var rest []*mover
		fits := true
		for _, v := range open {
			if !v.likes(first) {
				rest = append(rest, v)
				continue
			}
			by, ok := allOf(v.ways)
			v.ways, fits = []shift{by}, fits && ok && by.by.Len() <= mostAway*w
			if v == first {
				continue
			}
			first.with = append(first.with, v)
			for _, s := range v.spots {
				if !slices.Contains(first.spots, s) {
					first.spots = append(first.spots, s)
				}
			}
		}
		if fits && len(first.with) == first.alike-1 {
			out = append(out, first)
		}
		open = rest
	}
	return out
}

// allOf returns a way that goes as far as each of some ways does in its own direction; false where two of them lead
// apart, as those of the middle one of a row do.
func allOf(ways []shift) (out shift, ok bool) {
	out, ok = ways[0], true
	for i, x := range ways {
		ok = ok && !slices.ContainsFunc(ways[:i], func(y shift) bool { return x.by.Dot(y.by) < facing*x.by.Len()*y.by.Len() })
		to := x.by.Mul(1 / x.by.Len())
		if lack := x.by.Len() - out.by.Dot(to); lack > 0 {
			out.by = out.by.Add(to.Mul(lack))
		}
		out.gapMM = math.Min(out.gapMM, x.gapMM)
	}
	return out, ok
}

// freeProbes is at how many places of its outline one looks whether a thing is free.
const freeProbes = 60

// free reports whether the mover's thing may be moved as a whole: nothing lies on it, and all around it
// lies what it lies on, which may be the blank.
func (m *mending) free(v *mover) bool {
	layer := int32(m.indexOf(v.layer))
	sides := 0
	for _, c := range v.thing.Outline {
		sides += len(c.Segments) + 1
	}
	n := 0
	for _, c := range v.thing.Outline {
		for a, b := range c.Sides() {
			if n++; a == b || n%(sides/freeProbes+1) != 0 {
				continue
			}
			out := geometry.Pt(b.Y-a.Y, a.X-b.X).Mul(2 * own.HealMM / b.Sub(a).Len())
			mid := a.Lerp(b, 0.5)
			inside, ground := m.artAt(mid.Sub(out)), m.topAt(mid.Add(out))
			if ground > layer || ground < 0 && len(inside) > 1 || ground >= 0 && !slices.Contains(inside, ground) {
				return false
			}
		}
	}
	return !slices.ContainsFunc(v.thing.Outline.Samples(geometry.EvenOdd, sampleLines), func(at geometry.Point) bool { return m.topAt(at) != layer })
}

// choose makes options of the ways: those that help most spots first.
func (v *mover) choose(w float64) {
	furthest := func(a, b shift) int { return cmp.Compare(b.by.Len(), a.by.Len()) }
	slices.SortStableFunc(v.ways, furthest)
	far := 0.0
	var tried []shift
	for _, x := range v.ways {
		if len(tried) == mostWays || slices.ContainsFunc(tried, func(t shift) bool { return t.by.Sub(x.by).Len() < own.HealMM }) {
			continue
		}
		tried = append(tried, x)
		far = math.Max(far, x.by.Len())
		option, costs := []job.Mend{v.moved(x)}, v.cost(x)
		for _, o := range v.with {
			far = math.Max(far, o.ways[0].by.Len())
			option, costs = append(option, o.moved(o.ways[0])), costs+o.cost(o.ways[0])
		}
		v.options, v.costs = append(v.options, option), append(v.costs, costs)
	}
	v.areas = []geometry.Rect{v.around().Grow(far + w)}
	for _, o := range v.with {
		v.areas = append(v.areas, o.around().Grow(far+w))
	}
}

// around is where lies what moves.
func (v *mover) around() geometry.Rect {
	if v.edge == nil {
		return v.thing.Bounds
	}
	return geometry.Rect{Min: v.edge.A, Max: v.edge.A}.Union(geometry.Rect{Min: v.edge.B, Max: v.edge.B})
}

// moved returns the mend that moves it.
func (v *mover) moved(x shift) job.Mend {
	m := job.Mend{Layer: v.layer, Do: job.Displace, Spot: job.SpotKind(v.spots[0].Kind), Edge: v.edge != nil, Whole: x.close}
	m.At = v.back.Apply(v.at)
	m.Moved = v.back.Apply(v.at.Add(x.by)).Sub(m.At)
	m.Drawn, m.WidthMM = x.gapMM/v.scale, x.gapMM+x.by.Len()
	return m
}

// cost is about how much of the picture changes by that, in mm².
func (v *mover) cost(x shift) float64 {
	around := v.around()
	return 2 * (around.Width()*math.Abs(x.by.Y) + around.Height()*math.Abs(x.by.X))
}
