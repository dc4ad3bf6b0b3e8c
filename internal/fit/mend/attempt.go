package mend

import (
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/boxes"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// thingKey tells groups of alike things from each other.
type thingKey struct {
	layer job.LayerID
	group int
}

// fewMembers is how many things of a group are looked at one after the other: most groups are of one to ten, and an index of
// so few is not asked any faster.
const fewMembers = 32

func (a *attempt) key() thingKey { return thingKey{a.layer, a.group} }

// attempt is a group of alike things of a layer with spots in them.
type attempt struct {
	layer   job.LayerID
	group   int
	of      own.Material
	at      geometry.Point // in one of them
	members []member
	bounds  *boxes.Index // of the members; nil where they are few
	spots   []*Spot
	options [][]job.Mend
	areas   []geometry.Rect
	before  todo // what there is to do about it
	best    int
	left    todo
	trying  []job.Mend   // the option that is tried
	manners []manner     // of letters, of each option
	good    map[int]todo // what is left with those options that were tried and may be
	moves   bool         // dashes and letters come to lie elsewhere
	pen     bool         // a pen drew it, or it is lettering
	dashes  bool
	dots    bool
	written bool    // no line of one width, such as handwriting
	small   bool    // too small for a speck, and no lettering nor one of a row of dashes
	rim     bool    // it shows as the outline of something
	sooner  bool    // some of its lines may end sooner
	size    float64 // how large its largest thing is, in mm
	text    string  // which text of the layer its letters are of, if all of them are of one
	stroke  float64 // how broad, on the whole, that of its things is that is least so
	stem    float64 // and how broad they are, by their area
}

// todo is what there is to do about a thing, in mm²: in it and what became thin beside it, and, of lettering, in all that it
// leaves of something else within and between its letters.
type todo struct{ own, spaces float64 }

// all weighs spaces less: narrower than they must be they are spaces still.
func (t todo) all() float64 { return t.own + freshShare*t.spaces }

// wants reports whether so much is left of what there was to do that more is tried.
func (a *attempt) wants() bool {
	share := goodShare
	if a.letters() { // further apart changes little of the look
		share /= 2
	}
	return a.left.own+a.left.spaces > share*a.before.all()
}

// gains reports whether so much less is left that it is worth drawing it anew; of letters, in them or in what they leave of
// something else, and no more in either.
func (a *attempt) gains(left todo) bool {
	if a.before.own == 0 {
		return left.own == 0 && left.spaces <= gainShare*a.before.spaces
	}
	if a.letters() && left.own <= a.before.own && left.all() <= gainShare*a.before.all() {
		return true
	}
	return left.own+freshShare*math.Max(0, left.spaces-a.before.spaces) <= gainShare*a.before.own
}

// letters reports whether it is lettering.
func (a *attempt) letters() bool { return a.moves && !a.dashes }

// high is how high the highest of its letters is, in mm; see keptThing.
func (a *attempt) high() (most float64) {
	for i := range a.members {
		b := a.members[i].bounds
		most = math.Max(most, b.Shorter())
	}
	return most
}

// member is a thing as it was drawn.
type member struct {
	bounds  geometry.Rect
	inside  *geometry.Enclosure
	outline geometry.Path // straight lines, outer contours clockwise on screen
}

// judge returns what is left to do about a group of things, with what became thin
// about it, and whether it may be: nothing is lost, and it does not change the
// picture out of proportion.
func (a *attempt) judge(m *mending, was *picture, before *spotIndex, spots []Spot, lost []geometry.Rect, option []job.Mend, s job.Settings) (todo, bool) {
	left := a.rest(m, before, spots, s)
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
	for _, x := range m.madeOf(option) {
		if grown += x.AreaMM2; x.CutOff {
			return left, false
		}
	}
	w := s.Narrowest()
	return left, grown <= mostGrown*a.before.own+w*w
}

// rest returns what is left to do about things.
func (a *attempt) rest(m *mending, before *spotIndex, spots []Spot, s job.Settings) (left todo) {
	for i := range spots {
		p := &spots[i]
		if !reaches(p.Bounds, a.areas) {
			continue
		}
		share := 0.0
		if p.Of == a.of {
			share = a.share(p)
		}
		if share == 0 && !a.leaves(p) && !before.meets(p.Of, p.Bounds) {
			share = freshShare
		}
		left.own += share * m.toDo(p, s)
	}
	left.spaces = a.spacesOf(m, spots, s)
	return left
}

const (
	// shapeShare is the share of all bends of a thing that may come or go when it is
	// drawn anew, and fewBends how much besides, in radians. Of a letter whose inside
	// fills, or of two dots that run together, more goes.
	// letterShare is that of letters, whose notches get shallower: an eighth of all bends of a name of 6 mm, chosen by eye; and
	// of outlines, which get ends where something lies over them.
	shapeShare  = 0.1
	letterShare = 0.13
	fewBends    = math.Pi / 3
)

// keepsShape reports whether things turn as they did: an outline that is evenly broader
// turns as the drawn one.
// Of dashes that are fewer and longer each that is gone takes a whole turn with it.
func (a *attempt) keepsShape(m *mending, was *picture, option []job.Mend) bool {
	in := func(p geometry.Point) bool { return reachesPoint(p, a.areas) }
	i := slices.Index(m.Materials, a.of)
	if i < 0 {
		return a.of == own.Bare
	}
	before, after := turning(was.outlines[a.of], in), turning(m.simple[i], in)
	fewer := 0
	for _, x := range m.madeOf(option) {
		fewer += x.Fewer
	}
	share := shapeShare
	if a.letters() || a.rim {
		share = letterShare
	}
	return math.Abs(after+2*math.Pi*float64(fewer)-before) <= share*before+fewBends
}

// spacesOf returns what there is to do about what letters leave of something else, within and between them.
func (a *attempt) spacesOf(m *mending, spots []Spot, s job.Settings) (sum float64) {
	for i := range spots {
		if p := &spots[i]; a.leaves(p) && reaches(p.Bounds, a.areas) {
			sum += m.toDo(p, s)
		}
	}
	return sum
}

// lines reports whether its things are most of the border of a spot of something else.
func (a *attempt) lines(p *Spot) bool { return p.Of != a.of && p.mostly() == a.of }

// leaves reports whether letters leave a spot of something else.
func (a *attempt) leaves(p *Spot) bool { return a.letters() && a.lines(p) }

// moved returns where each of its things comes to lie by what is tried about it; nil where all stay.
func (a *attempt) moved(m *mending) (out []geometry.Affine) {
	for _, x := range m.madeOf(a.trying) {
		if out == nil {
			out = slices.Clone(x.Moves)
			continue
		}
		for k, to := range x.Moves {
			out[k] = to.Mul(out[k])
		}
	}
	return out
}

// madeOf returns what was made of mends of things, layer by layer.
func (m *mending) madeOf(option []job.Mend) (made []thing.Made) {
	for i := range m.placed {
		for _, x := range m.placed[i].Mended {
			if slices.Contains(option, x.Mend) {
				made = append(made, x)
			}
		}
	}
	return made
}

// goesAlong returns the letter with which something goes along that lies in it, such as the space in an o; −1 without any.
func (a *attempt) goesAlong(b geometry.Rect) int {
	if !a.letters() {
		return -1
	}
	return slices.IndexFunc(a.members, func(t member) bool { return t.bounds.Encloses(b) })
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
	if a.bounds == nil {
		return slices.IndexFunc(a.members, func(t member) bool { return t.bounds.Contains(p) && t.inside.Holds(p) })
	}
	for _, i := range a.bounds.Near(p, 0) {
		if a.members[i].inside.Holds(p) {
			return i
		}
	}
	return -1
}
