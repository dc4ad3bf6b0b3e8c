package mend

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// thingKey tells groups of alike things from each other.
type thingKey struct {
	layer job.LayerID
	group int
}

func (a *attempt) key() thingKey { return thingKey{a.layer, a.group} }

// attempt is a group of alike things of a layer with spots in them.
type attempt struct {
	layer   job.LayerID
	group   int
	of      own.Material
	at      geometry.Point // in one of them
	members []member
	spots   []*Spot
	options [][]job.Mend
	areas   []geometry.Rect
	before  float64 // what there is to do about it
	best    int
	left    float64
	moves   bool // dashes and letters come to lie elsewhere
	pen     bool // a pen drew it, or it is lettering
	dashes  bool
	dots    bool
	small   bool    // too small for a speck, and no lettering nor one of a row of dashes
	sooner  bool    // some of its lines may end sooner
	size    float64 // how large its largest thing is, in mm
	stroke  float64 // how broad, on the whole, that of its things is that is least so
}

// letters reports whether it is lettering.
func (a *attempt) letters() bool { return a.moves && !a.dashes }

// high is how high the highest of its letters is, in mm; see keptThing.
func (a *attempt) high() (most float64) {
	for i := range a.members {
		b := a.members[i].bounds
		most = math.Max(most, math.Min(b.Width(), b.Height()))
	}
	return most
}

const (
	// sameSize is how much larger one of two letters may be of one size: an I and a W that stand askew.
	sameSize = 1.6
	// sameStroke is how much broader the strokes of one may be.
	sameStroke = 1.2
)

const (
	// sameDots is how many times as large as one of them another of a few dots may be, and dotsApart how far
	// apart, in the size of the larger, one is from the next.
	sameDots  = 2
	dotsApart = 2
)

// goesWith reports whether two are lettering of one kind, such as the numerals of a dial, or small things of one
// colour and about one size side by side, such as the laces of a shoe, each a layer of its own: bold and thin, or large and
// small, beside each other they would look like a mistake.
func (a *attempt) goesWith(b *attempt) bool {
	if a.of != b.of {
		return false
	}
	if a.small && b.small {
		return within(a.size, b.size, sameDots) && slices.ContainsFunc(a.members, func(x member) bool {
			near := x.bounds.Grow(dotsApart * math.Max(a.size, b.size))
			return slices.ContainsFunc(b.members, func(y member) bool { return !near.Intersect(y.bounds).Empty() })
		})
	}
	return a.letters() && b.letters() && within(a.size, b.size, sameSize) && within(a.stroke, b.stroke, sameStroke)
}

// within reports whether one of two values is no more than some times the other.
func within(a, b, times float64) bool { return math.Max(a, b) < times*math.Min(a, b) }

// member is a thing as it was drawn.
type member struct {
	bounds  geometry.Rect
	inside  *geometry.Enclosure
	outline geometry.Path // straight lines, outer contours clockwise on screen
}

// judge returns what is left to do about a group of things, with what became thin
// about it, and whether it may be: nothing is lost, and it does not change the
// picture out of proportion.
func (a *attempt) judge(m *mending, was *picture, before *spotIndex, spots []Spot, lost []geometry.Rect, option []job.Mend, s job.Settings) (float64, bool) {
	left, w := 0.0, s.Narrowest()
	for i := range spots {
		p := &spots[i]
		if !reaches(p.Bounds, a.areas) {
			continue
		}
		share := 0.0
		if p.Of == a.of {
			share = a.share(p)
		}
		if share == 0 && !before.meets(p.Of, p.Bounds) {
			share = freshShare
		}
		left += share * m.toDo(p, s)
	}
	for _, r := range lost {
		if reaches(r, a.areas) {
			return left, false
		}
	}
	if slices.ContainsFunc(m.Stacked, func(s own.Stacked) bool { return reaches(s.Bounds, a.areas) }) {
		return left, false // what is not knocked out of its neighbours lies over them when it is broader
	}
	if !a.keepsShape(m, was, option) {
		return left, false
	}
	grown := 0.0
	for i := range m.placed {
		for _, x := range m.placed[i].Mended {
			if slices.Contains(option, x.Mend) {
				grown += x.AreaMM2
			}
		}
	}
	return left, grown <= mostGrown*a.before+w*w
}

const (
	// shapeShare is the share of all bends of a thing that may come or go when it is
	// drawn anew, and fewBends how much besides, in radians. Of a letter whose inside
	// fills, or of two dots that run together, more goes.
	shapeShare = 0.1
	fewBends   = math.Pi / 3
)

// keepsShape reports whether things turn as they did: an outline that is evenly broader
// turns as the drawn one.
// Of dashes that are fewer and longer each that is gone takes a whole turn with it.
func (a *attempt) keepsShape(m *mending, was *picture, option []job.Mend) bool {
	in := func(p geometry.Point) bool {
		return slices.ContainsFunc(a.areas, func(r geometry.Rect) bool { return r.Contains(p) })
	}
	i := slices.Index(m.Materials, a.of)
	if i < 0 {
		return a.of == own.Bare
	}
	before, after := turning(was.outlines[a.of], in), turning(m.simple[i], in)
	fewer := 0
	for _, p := range m.placed {
		for _, x := range p.Mended {
			if slices.Contains(option, x.Mend) {
				fewer += x.Fewer
			}
		}
	}
	return math.Abs(after+2*math.Pi*float64(fewer)-before) <= shapeShare*before+fewBends
}

// share returns which share of a spot lies in the things as they were drawn.
func (a *attempt) share(s *Spot) float64 {
	if len(s.Spine) == 0 {
		if a.holds(s.At) {
			return 1
		}
		return 0
	}
	in, all := 0.0, 0.0
	for _, l := range s.Spine {
		length := l[0].Sub(l[1]).Len() + 1e-6 // a speck's is a point
		all += length
		if a.holds(l[0].Lerp(l[1], 0.5)) {
			in += length
		}
	}
	return in / all
}

func (a *attempt) holds(p geometry.Point) bool { return a.memberAt(p) >= 0 }

// memberAt returns which of its things holds a place, −1 for none.
func (a *attempt) memberAt(p geometry.Point) int {
	return slices.IndexFunc(a.members, func(t member) bool { return t.bounds.Contains(p) && t.inside.Holds(p) })
}
