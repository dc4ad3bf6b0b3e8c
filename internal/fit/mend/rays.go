package mend

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
)

const (
	// fewestRays are a pattern: a star has five points, and is one still when all are blunt, as
	// long as that is no more than starShare of it. A small one would be a flower.
	fewestRays = 6
	fewestStar = 4
	starShare  = 0.1
	// likeTimes is how many times as long or as large as the least of a row the largest is at most.
	likeTimes = 2
)

// rays returns the rows of alike points, such as the rays of a sun or the teeth of a saw, of which one by one could be blunted, or
// made broad where it is too long for that, but which are too large a share of their piece all together. They stay as they were
// drawn: with some cut off and some made broad they would be rays no more. Only where all of them can stay points they become
// broader, as tapered says. Fewer or smaller ones, as those of a large star, may be blunted, and nothing else. Of two halves of a
// point one takes the tip.
func rays(spots []*openSpot, w float64) (out []keptThing) {
	for _, points := range pointsOf(spots, w) {
		for _, row := range alikeBy(func(p *Spot) float64 { return p.LengthMM }, points) {
			if len(row) < fewestStar {
				continue
			}
			area := 0.0
			for _, p := range row {
				area += p.bluntAreaMM2(w)
			}
			share := area / math.Abs(row[0].whole.SignedArea())
			stay := len(row) >= fewestRays && share > bluntShare || share > starShare
			k := keptRow(row[0].Of, boundsOf(row))
			k.star, k.needles = !stay, stay && !slices.ContainsFunc(row, func(p *Spot) bool { _, ok := p.tapered(w + widenMM); return !ok })
			out = append(out, k)
		}
	}
	return out
}

// alikeBy divides spots into those of about one size, the smallest first.
func alikeBy(size func(*Spot) float64, spots []*Spot) (rows [][]*Spot) {
	slices.SortFunc(spots, func(a, b *Spot) int { return cmp.Compare(size(a), size(b)) })
	for _, s := range spots {
		if n := len(rows) - 1; n >= 0 && size(s) <= likeTimes*size(rows[n][0]) {
			rows[n] = append(rows[n], s)
		} else {
			rows = append(rows, []*Spot{s})
		}
	}
	return rows
}

func boundsOf(spots []*Spot) (areas []geometry.Rect) {
	for _, s := range spots {
		areas = append(areas, s.Bounds)
	}
	return areas
}

// keptRow returns several alike things that stay as they were drawn, to their points.
func keptRow(of own.Material, areas []geometry.Rect) keptThing {
	return keptThing{of: of, areas: areas, letters: true, several: true}
}

// pointsOf returns the points of each piece but for halves of one.
func pointsOf(spots []*openSpot, w float64) map[int32][]*Spot {
	half := map[*openSpot]bool{}
	for _, pair := range halvesOf(spots, w) {
		half[pair[0]], half[pair[1]] = true, true
	}
	of := map[int32][]*Spot{}
	for _, o := range spots {
		if o.Kind == weak.Point && o.whole != nil && !half[o] {
			of[o.Piece] = append(of[o.Piece], &o.Spot)
		}
	}
	return of
}

// fewestBeads are a row.
const fewestBeads = 3

// beads returns the spaces beside small pieces of one material, where there are several, such
// as the pegs of a guitar. They stay as they were drawn: closed they would make a chain of them,
// and opened one by one a straight edge beside them wavy.
func beads(spots []*openSpot, pieces []Piece, w float64) (out []keptThing) {
	of := map[own.Material][]geometry.Rect{}
	for _, o := range spots {
		if o.Kind != weak.Gap || hair(&o.Spot) {
			continue
		}
		for i := range pieces {
			p := &pieces[i]
			if p.Bounds.Intersect(o.Bounds.Grow(own.HealMM)).Empty() || math.Abs(p.Outline.SignedArea()) > smallSquares*w*w {
				continue
			}
			if o.along(p.Of) >= beadShare {
				of[p.Of] = append(of[p.Of], o.Bounds)
				break
			}
		}
	}
	for _, areas := range of {
		if len(areas) >= fewestBeads {
			out = append(out, keptRow(own.Bare, areas))
		}
	}
	return out
}

// beadShare is how large a share of a space's border those beside it have at least of which it parts
// one from another: a shade that only ends at the corner of a space is no bead.
const beadShare = 1. / 3

// rows returns the small things that someone drew, where there are several of one material and
// of about one size, such as the dashes of a road or freckles: one by one some would become
// larger, and some could not.
func (s *settler) rows() (out []keptThing) {
	of := map[own.Material][]*Spot{}
	for _, o := range s.open {
		if s.small(&o.Spot) {
			of[o.Of] = append(of[o.Of], &o.Spot)
		}
	}
	for m, dots := range of {
		for _, row := range alikeBy(func(p *Spot) float64 { return p.AreaMM2 }, dots) {
			if len(row) >= fewestBeads {
				out = append(out, keptRow(m, boundsOf(row)))
			}
		}
	}
	return out
}
