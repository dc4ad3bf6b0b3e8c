package thing

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
)

const (
	// fewestRays come too near to each other at least, at their ends, for some to end sooner.
	fewestRays = 4
	// mostParted is the share of those beside each other that come to lie far enough apart at least.
	mostParted = 0.75
	// rayLeft is how much of a ray is left at least: it is still the ray that was drawn.
	rayLeft = 0.62
	// rayTimes is how many times as long as broad what is left of one is at least.
	rayTimes = 2
	// rayStepMM is by how much one ends sooner at a time.
	rayStepMM = 0.05
	// likeRays is by how much the lengths of those differ, of the longer one, that are as long.
	likeRays = 0.1
	// touching is how near to each other, in their width, two lines are that touch as they were drawn.
	touching = 0.2
	// barShare is how much of the rectangle around it a bar covers at least, and roundBar at least one
	// with straight ends; barTimes is how many times as long as broad it is at least.
	barShare = 0.9
	roundBar = 0.985
	barTimes = 3
)

// ray is a line that may end sooner than it did.
type ray struct {
	of   int // of the things
	line []geometry.Point
	nib
	cut [2]float64 // how much sooner it ends, in mm, at its start and at its end
	is  geometry.Path
}

// Spread returns those of alike lines, drawn with another width, that end sooner so that they do not come
// too near to each other, by the things' indices: of two, the longer one, or every other one, all by as
// much. What touches as it was drawn, and what would become too short, stays as long as it is. There is
// nothing where fewer than four come too near to each other.
func Spread(things []Thing, group int, width float64) map[int]geometry.Path {
	var all []*ray
	for i := range things {
		if things[i].Group == group {
			if r, ok := things[i].ray(width); ok {
				r.of = i
				all = append(all, r)
			}
		}
	}
	near := crowded(all, things, width)
	if len(near) < fewestRays {
		return nil
	}
	parted := 0
	for _, p := range near {
		if p.part(width) {
			parted++
		}
	}
	if float64(parted) < mostParted*float64(len(near)) {
		return nil
	}
	alikeCuts(all, width)
	out := map[int]geometry.Path{}
	for _, r := range all {
		if r.cut != [2]float64{} {
			out[r.of] = r.is
		}
	}
	return out
}

// ray returns the line that a thing lies along, as broad as a width; false where there is none.
func (t *Thing) ray(width float64) (*ray, bool) {
	if t.Kind != Line || t.Holed || t.strands != nil {
		return nil, false
	}
	r := &ray{line: t.line, nib: nib{width: t.WidthMM, caps: t.caps}}
	if r.line == nil && !t.Stroke {
		r.line, r.caps = t.middle(width)
	}
	if r.line == nil {
		return nil, false
	}
	r.is = band(r.line, width/2, r.caps)
	return r, true
}

// middle returns the line along the middle of a straight bar that is drawn with another width and grows at its
// ends, too, and how it ends; nil where it is none.
func (t *Thing) middle(width float64) ([]geometry.Point, lineCap) {
	middle, way, length, breadth := axis(t.Outline)
	covers := t.AreaMM2 / (length * breadth)
	if length < barTimes*breadth || covers < barShare {
		return nil, buttCap
	}
	caps, half := buttCap, (length+width-breadth)/2
	if covers < roundBar {
		caps, half = roundCap, (length-breadth)/2
	}
	return []geometry.Point{middle.Sub(way.Mul(half)), middle.Add(way.Mul(half))}, caps
}

// pair is two rays that come too near to each other.
type pair struct{ a, b *ray }

// crowded returns the rays that come too near to each other when they are so broad, and were apart.
func crowded(all []*ray, things []Thing, width float64) (out []pair) {
	for i, b := range all {
		box := b.is.Bounds().Grow(width)
		for _, a := range all[:i] {
			if box.Intersect(a.is.Bounds()).Empty() || !nearer(a.is, b.is, width) ||
				nearer(things[a.of].Outline, things[b.of].Outline, touching*math.Min(a.width, b.width)) {
				continue
			}
			out = append(out, pair{a, b})
		}
	}
	return out
}

// part ends one of two rays sooner, so that they are far enough apart, if that one is long enough: the one
// that ends sooner already, else the longer one. It reports whether they are.
func (p pair) part(width float64) bool {
	r, other := p.b, p.a
	long, short := lengthOf(p.b.line), lengthOf(p.a.line)
	switch cutB, cutA := p.b.cut != [2]float64{}, p.a.cut != [2]float64{}; {
	case cutA != cutB && cutA, cutA == cutB && short > long && !near(short, long, likeRays):
		r, other = other, r
	}
	end := 0
	if other.is.Distance(r.line[len(r.line)-1]) < other.is.Distance(r.line[0]) {
		end = 1
	}
	before, was := r.cut, r.is
	for nearer(r.is, other.is, width) {
		r.cut[end] += rayStepMM
		if !r.draw(width) {
			r.cut, r.is = before, was
			return false
		}
	}
	return true
}

// draw draws a ray as long as it is by now; false where it is too short.
func (r *ray) draw(width float64) bool {
	length, reach := lengthOf(r.line), 0.0
	if r.caps != buttCap {
		reach = width
	}
	left := length - r.cut[0] - r.cut[1]
	if left+reach < rayTimes*width || left+reach < rayLeft*(length+reach) {
		return false
	}
	r.is = band(part(r.line, r.cut[0], length-r.cut[1]), width/2, r.caps)
	return true
}

// alikeCuts has all rays of one length that end sooner end so by as much.
func alikeCuts(all []*ray, width float64) {
	var cut []*ray
	for _, r := range all {
		if r.cut != [2]float64{} {
			cut = append(cut, r)
		}
	}
	slices.SortStableFunc(cut, func(a, b *ray) int { return cmp.Compare(lengthOf(a.line), lengthOf(b.line)) })
	for i := 0; i < len(cut); {
		k, most := i, 0.0
		for ; k < len(cut) && near(lengthOf(cut[i].line), lengthOf(cut[k].line), likeRays); k++ {
			most = math.Max(most, math.Max(cut[k].cut[0], cut[k].cut[1]))
		}
		for ; i < k; i++ {
			for end := range cut[i].cut {
				if cut[i].cut[end] > 0 {
					cut[i].cut[end] = most
				}
			}
			cut[i].draw(width) // else as it is
		}
	}
}
