package mend

import (
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// mostErased is how much of a line, in narrowest widths, may go where something beside it is made
// broad: what ends at it takes so much at most, and of a line with a gap in it one sees that.
const mostErased = 0.5

// erases reports whether a mend that makes something broad goes through a line of another material
// that someone drew: it lies on the map already, and its layers are given. A line that is only
// made thinner is left to thins.
func (v *solver) erases(mend job.Mend, spot *Spot, layers []layer) bool {
	if mend.Do != job.Widen {
		return false
	}
	w := v.settings.Narrowest()
	var bounds []geometry.Rect // of the layers, in which there may be thousands of sides
	for i := range layers {
		bounds = append(bounds, layers[i].path.Bounds())
	}
	for i := range v.start.spots {
		p := &v.start.spots[i]
		if p.Of == spot.Of || p.Of == own.Bare || p.LengthMM < drawnTimes*w || hair(p) {
			continue
		}
		gone := 0.0
		for _, l := range p.Spine {
			at := l[0].Lerp(l[1], 0.5)
			if !slices.ContainsFunc(bounds, func(b geometry.Rect) bool { return b.Contains(at) }) {
				continue
			}
			if f := v.Map.Locate(at); f >= 0 {
				if of, _ := v.Owner(v.Fresh[f]); of == spot.Of {
					gone += l[1].Sub(l[0]).Len()
				}
			}
		}
		if gone > mostErased*w && v.drawn(p) {
			return true
		}
	}
	return false
}
