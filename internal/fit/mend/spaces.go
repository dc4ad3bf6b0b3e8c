package mend

import (
	"iter"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
)

const (
	// filledShare is the share of the sides of what is thin along which the space beside it may
	// close when it is drawn broader: in the corner between two lines it does. Of lettering that
	// runs together and of a scribble that becomes a blot there is more.
	filledShare = 0.15
	// sideSteps is in how many steps a side is looked at, up to so many narrowest widths off.
	sideSteps = 16
	sideReach = 2
)

// crowds reports whether things that were drawn broader or larger close the spaces beside them,
// between them and what is of their own colour, or, larger, run into what they did not touch: what is written
// could not be read any more, and stars would stand in the stripe above them. What comes to lie
// elsewhere has other spaces, and a line may cross what it ended at. w is the narrowest width.
func (p *picture) crowds(m *mending, now sheets, a *attempt, option []job.Mend, w float64) bool {
	// A dot becomes larger by being broader, too.
	larger := func(m job.Mend) bool { return m.Do == job.Enlarge || m.Do == job.Broaden && a.small }
	if a.dashes || slices.ContainsFunc(option, func(m job.Mend) bool {
		return m.Do == job.Enlarge && (a.moves || m.Together || m.Moved != geometry.Point{})
	}) {
		return false
	}
	return p.closes(now, a, a.moved(m), w) || slices.ContainsFunc(option, larger) && p.runsInto(now, a, w)
}

// closes reports whether the spaces beside what is thin are closed, where its things come to lie by now; nil where they stay.
func (p *picture) closes(now sheets, a *attempt, moves []geometry.Affine, w float64) bool {
	all, closed := 0.0, 0.0
	to := geometry.Identity()
	for _, s := range a.spots {
		for _, l := range s.Spine {
			mid, along := l[0].Lerp(l[1], 0.5), l[1].Sub(l[0])
			length := along.Len()
			own := a.memberAt(mid)
			if length == 0 || own < 0 {
				continue
			}
			if moves != nil {
				to = moves[own]
			}
			side := geometry.Pt(-along.Y, along.X).Mul(sideReach * w / sideSteps / length)
			for _, step := range [...]geometry.Point{side, side.Mul(-1)} {
				space, open, far := p.space(now, a, to, mid, step)
				all += length
				switch other := a.memberAt(far); {
				case !space || open:
				case other >= 0 && other != own: // and is seen from that, too
					closed += length / 2
				default:
					closed += length
				}
			}
		}
	}
	return closed > filledShare*all
}

// space looks from the middle of something thin to one side: whether a space was drawn there up to
// more of its colour, whether any of that is open now, and where it ended. to takes places to where they lie by now.
func (p *picture) space(now sheets, a *attempt, to geometry.Affine, from, step geometry.Point) (drawn, open bool, at geometry.Point) {
	for k := range sideSteps {
		at = from.Add(step.Mul(float64(k + 1)))
		switch was := p.drawn.holds(a.of, at); {
		case !was:
			drawn = true
			open = open || !now.holds(a.of, to.Apply(at))
		case drawn:
			return true, open, at
		}
	}
	return drawn, true, at // as far as one looks, nothing else of it is there
}

// emergesWidths is how long, in narrowest widths, a part of an outline is at most that comes out from beneath what hid it: where an
// edge goes under something it does so a little.
const emergesWidths = 0.5

// emerges reports whether things that were drawn broader come out where something had hidden their edge: the shade beneath a key
// showed as a hair at both of its sides. A line that a pen drew does so where it ends beneath something.
func (p *picture) emerges(now sheets, a *attempt, option []job.Mend, w float64) bool {
	if a.pen || !slices.ContainsFunc(option, func(m job.Mend) bool { return m.Do == job.Broaden }) {
		return false
	}
	within := math.Min(touchesMM, a.stroke/2)
	for i := range a.members {
		for _, c := range a.members[i].outline {
			out := 0.0
			for at, beside := range outwards(c, w/4) {
				if !p.comesOut(now, a.of, at, beside.way, within) {
					out = 0
				} else if out += beside.lengthMM; out > emergesWidths*w {
					return true
				}
			}
		}
	}
	return false
}

// comesOut reports whether something whose edge lies at a place, with its outside on one way, did not show within that, as
// outlines are seen, and shows beside it now.
func (p *picture) comesOut(now sheets, of own.Material, edge, way geometry.Point, within float64) bool {
	if p.drawn.holds(of, edge.Sub(way.Mul(within))) {
		return false
	}
	for _, off := range [...]float64{touchesMM / 8, touchesMM / 3, touchesMM} {
		if at := edge.Add(way.Mul(off)); now.holds(of, at) && !p.drawn.holds(of, at) {
			return true
		}
	}
	return false
}

const (
	// nearSteps is in how many steps one looks how near to letters something lies, up to a narrowest width off.
	nearSteps = 4
	// onStep is within how many of these what a word lies on ends: it may move on over more of it.
	onStep = 1
)

// strays reports whether letters come to lie over something, or nearer to it than a narrowest width, that the word neither lay on
// nor as near to.
func (p *picture) strays(a *attempt, m *mending, w float64) bool {
	moves := a.moved(m)
	if !a.letters() || moves == nil {
		return false
	}
	was, is := map[own.Material]int{}, map[own.Material]int{}
	for i := range a.members {
		p.near(was, a.members[i].outline, w)
		p.near(is, a.members[i].outline.Transform(moves[i]), w)
	}
	for of, near := range is {
		if before, there := was[of]; of != a.of && (!there || before > onStep && near < before) {
			return true
		}
	}
	return false
}

// near notes how many steps off from an outline of straight lines materials lie as they were drawn, those of the nearest places.
func (p *picture) near(steps map[own.Material]int, outline geometry.Path, w float64) {
	for _, c := range outline {
		since := w / nearSteps // along the contour, since one looked last
		for at, beside := range outwards(c, w/nearSteps) {
			if since += beside.lengthMM; since < w/nearSteps {
				continue
			}
			since = 0
			for k := range nearSteps + 1 {
				off := math.Max(touchesMM/nearSteps, w/nearSteps*float64(k))
				of := p.drawn.at(at.Add(beside.way.Mul(off)))
				if known, there := steps[of]; !there || k < known {
					steps[of] = k
				}
			}
		}
	}
}

// stretch is a short part of a contour.
type stretch struct {
	way      geometry.Point // outwards, of length 1
	lengthMM float64
}

// outwards goes along a contour of straight lines in steps, by their middles. Outer contours run clockwise on screen.
func outwards(c geometry.Contour, step float64) iter.Seq2[geometry.Point, stretch] {
	return func(yield func(geometry.Point, stretch) bool) {
		for from, to := range c.Sides() {
			along := to.Sub(from)
			length := along.Len()
			way := geometry.Pt(along.Y, -along.X).Mul(1 / length)
			n := math.Ceil(length / step)
			for k := range int(n) {
				if !yield(from.Lerp(to, (float64(k)+0.5)/n), stretch{way, length / n}) {
					return
				}
			}
		}
	}
}

// touchesMM is how far from a thing that lies which it touches: nobody sees what is between them.
const touchesMM = 2 * seenMM

// mostOpen is in how many steps a space is open that is as good as closed.
const mostOpen = 1

// runsInto reports whether things have grown over what they did not touch as they were drawn, over
// what parts them from more of their colour, or so along their outlines that spaces beside them are closed.
func (p *picture) runsInto(now sheets, a *attempt, w float64) bool {
	all, closed := 0.0, 0.0
	for i := range a.members {
		touched, reached := map[own.Material]bool{}, map[own.Material]bool{}
		for _, c := range a.members[i].outline {
			for at, beside := range outwards(c, w/4) {
				if all += beside.lengthMM; p.closedBeside(now, a, at, beside.way, w, touched, reached) {
					closed += beside.lengthMM
				}
			}
		}
		for of := range reached {
			if !touched[of] {
				return true
			}
		}
	}
	return closed > filledShare*all
}

// closedBeside looks outwards from a place on the outline of a thing, notes which materials it touches there, and over which it has
// grown, and reports whether the space up to more of its colour is closed.
func (p *picture) closedBeside(now sheets, a *attempt, from, out geometry.Point, w float64, touched, reached map[own.Material]bool) bool {
	for _, off := range [...]float64{touchesMM / 4, touchesMM} {
		touched[p.drawn.at(from.Add(out.Mul(off)))] = true
	}
	open, covered := 0, 0
	for k := 1; k <= sideSteps; k++ {
		at := from.Add(out.Mul(sideReach * w / sideSteps * float64(k)))
		of := p.drawn.at(at)
		switch {
		case of == a.of:
			return k > 2 && covered > 0 && open <= mostOpen
		case !now.holds(a.of, at):
			open++
		default:
			covered++
			reached[of] = true
		}
	}
	return false
}
