package mend

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
)

const (
	// asideStepMM is how far apart places along a line of dashes are that are looked at.
	asideStepMM = 0.5
	// sideways is the cosine of the angle to which what is near lies beside a line, and not ahead.
	sideways = 0.7
	// ownEdge is how far from the middle of a line, in its drawn width, its own edge lies at most.
	ownEdge = 0.6
	// mostSidestep is how far dashes move at most, in narrowest widths.
	mostSidestep = 1.1
)

// sidestep returns how far dashes of a width that lie along lines have to move, to the left on screen of the way that
// the lines go, to stay as far from what lies beside them; false where they need not, or cannot.
func (m *mending) sidestep(things []thing.Thing, group int, width float64) (by float64, ok bool) {
	reach := 1.5 * width
	lines, drawn := thing.DashedLines(things, group)
	beside := room{right: math.Inf(1), left: math.Inf(1)}
	around := geometry.EmptyRect()
	for _, l := range lines {
		for _, p := range l {
			around = around.Union(geometry.Rect{Min: p, Max: p})
		}
	}
	beside.within = (1 + mostSidestep) * reach
	for _, of := range m.Materials {
		for _, e := range m.outlinesNear(of, around.Grow(beside.within)) {
			if !lies(e[0].Lerp(e[1], 0.5), ownEdge*drawn, lines) {
				beside.edges = append(beside.edges, e)
			}
		}
	}
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			beside.along(l[i-1], l[i])
		}
	}
	lackRight, lackLeft := reach-beside.right, reach-beside.left
	switch {
	case lackRight > 0 && beside.left-lackRight >= reach:
		by = lackRight + own.HealMM
	case lackLeft > 0 && beside.right-lackLeft >= reach:
		by = -lackLeft - own.HealMM
	}
	return by, by != 0 && math.Abs(by) <= mostSidestep*width
}

// lies reports whether a place lies within a distance of lines.
func lies(at geometry.Point, within float64, lines [][]geometry.Point) bool {
	return slices.ContainsFunc(lines, func(l []geometry.Point) bool {
		for i := 1; i < len(l); i++ {
			if geometry.Nearest(l[i-1], l[i], at).Sub(at).Len() <= within {
				return true
			}
		}
		return false
	})
}

// room is how far from the middle of lines the nearest of edges lie beside them.
type room struct {
	edges       [][2]geometry.Point
	within      float64 // what is further away is not looked at
	right, left float64
}

// along looks along a straight part of a line.
func (r *room) along(a, b geometry.Point) {
	way := b.Sub(a)
	far := way.Len()
	if far == 0 {
		return
	}
	left := geometry.Pt(way.Y, -way.X).Mul(1 / far)
	for k, n := 0.0, math.Ceil(far/asideStepMM); k < n; k++ {
		at := a.Lerp(b, (k+0.5)/n)
		near := geometry.Rect{Min: at, Max: at}.Grow(r.within)
		for _, e := range r.edges {
			if math.Min(e[0].X, e[1].X) > near.Max.X || math.Max(e[0].X, e[1].X) < near.Min.X ||
				math.Min(e[0].Y, e[1].Y) > near.Max.Y || math.Max(e[0].Y, e[1].Y) < near.Min.Y {
				continue
			}
			to := geometry.Nearest(e[0], e[1], at).Sub(at)
			switch far, side := to.Len(), to.Dot(left); {
			case math.Abs(side) < sideways*far:
			case side > 0:
				r.left = math.Min(r.left, far)
			default:
				r.right = math.Min(r.right, far)
			}
		}
	}
}
