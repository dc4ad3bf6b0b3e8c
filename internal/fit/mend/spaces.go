package mend

import (
	"slices"

	"abut/geometry"
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

// closes reports whether things that were drawn broader close the spaces beside them, between them
// and what is of their own colour: what is written could not be read any more. What comes to lie
// elsewhere has other spaces. w is the narrowest width.
func (p *picture) closes(now sheets, a *attempt, option []job.Mend, w float64) bool {
	if a.dashes || slices.ContainsFunc(option, func(m job.Mend) bool { return m.Do != job.Broaden }) {
		return false
	}
	all, closed := 0.0, 0.0
	for _, s := range a.spots {
		for _, l := range s.Spine {
			mid, along := l[0].Lerp(l[1], 0.5), l[1].Sub(l[0])
			length := along.Len()
			own := a.memberAt(mid)
			if length == 0 || own < 0 {
				continue
			}
			side := geometry.Pt(-along.Y, along.X).Mul(sideReach * w / sideSteps / length)
			for _, step := range [...]geometry.Point{side, side.Mul(-1)} {
				space, open, far := p.space(now, a, mid, step)
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
// more of its colour, whether any of that is open now, and where it ended.
func (p *picture) space(now sheets, a *attempt, from, step geometry.Point) (drawn, open bool, at geometry.Point) {
	for k := range sideSteps {
		at = from.Add(step.Mul(float64(k + 1)))
		switch was := p.drawn.holds(a.of, at); {
		case !was:
			drawn = true
			open = open || !now.holds(a.of, at)
		case drawn:
			return true, open, at
		}
	}
	return drawn, true, at // as far as one looks, nothing else of it is there
}
