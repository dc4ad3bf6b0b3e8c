package mend

import (
	"iter"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/boxes"
	"abut/internal/fit/own"
	"abut/internal/job"
)

const (
	// roundWidths is how large across, in narrowest widths, a disc is at most that one sees as a
	// whole: the outline of a larger one is a line like others beside what is too thin.
	roundWidths = 8
	// roundShare is by how much the radius of what is round may differ from that of the ellipse
	// that spreads as it does, and roundTimes how many times as long as broad that is at most.
	roundShare = 0.05
	roundTimes = 2.2
	// roundStepMM is how far apart places along its rim are that are looked at, no fewer than
	// roundPlaces.
	roundStepMM = 0.15
	roundPlaces = 24
	// rimMM is how far from a place what is seen of the rim lies at most: it is seen without small
	// bends, as it was and as it becomes.
	rimMM = 1.5 * seenMM
	// rimShare is how much of a rim that shows is gone at least where it is all of it that moved, and
	// coverShare which share of all of it may be gone where something else begins to cover it.
	rimShare = 0.8
	// roundShown is how much of a rim shows at least for one to see something round: of less one sees a bow.
	roundShown = 0.5
	coverShare = 1. / 16
	// barWidths is how broad, in narrowest widths, a bar such as a mast is at most of which one sees a bite, barTimes how long its
	// sides are at least, and faceTimes how many times as long as it is broad they face each other: along the middle of a tick its
	// longer arm is 4.4 times as long as broad, and its inner side is shorter. Shapes of up to barSides sides are looked at.
	barWidths = 3
	barTimes  = 4
	faceTimes = 3
	barSides  = 12
	// shadeDeltaE is how much, as ΔE, a shade differs from what it lies on at most for nobody to see that the rim of something
	// large between them runs a little elsewhere: those of open icons are 6 to 12 from it, and an outline 40.
	shadeDeltaE = 15
)

// round is the rim of a disc or an oval that someone drew, or of a hole of that form, of which most shows.
type round struct {
	bounds geometry.Rect
	rim    []geometry.Point // places along it, spread evenly
	// open: it is one straight side of a bar, or the rim of something large, of which one sees a part at a time.
	open bool
	// large: it is such a rim. What is beside it may go to it up to a straight edge that it nearly touches.
	large bool
}

// roundsOf returns what is round of what is placed and shows by outlines as they are seen. Beyond a size in mm one sees no
// disc as a whole, but a flat on its rim all the same.
func roundsOf(placed []own.Placed, seen *outlineSides, most float64) (out []round) {
	for path := range contours(placed) {
		bounds := path.Bounds()
		size := bounds.Longer()
		if size < 2*rimMM {
			continue
		}
		if outline := path.Flatten(spotSagittaMM); isRound(outline) {
			r := round{bounds: bounds, rim: evenly(outline[0]), open: size > most, large: size > most}
			if r.open { // what lies across its beginning is seen whole at its end
				r.rim = append(r.rim, r.rim[:len(r.rim)/4]...)
			}
			if r.shows(seen) {
				out = append(out, r)
			}
		}
	}
	return out
}

// contours goes through those of what is placed, on the board.
func contours(placed []own.Placed) iter.Seq[geometry.Path] {
	return func(yield func(geometry.Path) bool) {
		for i := range placed {
			for k := range placed[i].Shapes {
				for _, c := range placed[i].Shapes[k].Path {
					if !yield(geometry.Path{c}.Transform(placed[i].Transform)) {
						return
					}
				}
			}
		}
	}
}

// barsOf returns the straight sides of bars of what is placed, such as masts, as far as they show by outlines as they are
// seen; w is the narrowest width.
func barsOf(placed []own.Placed, seen *outlineSides, w float64) (out []round) {
	for path := range contours(placed) {
		if len(path[0].Segments) > barSides {
			continue
		}
		for _, side := range barSidesOf(path.Flatten(spotSagittaMM), w) {
			if side.shows(seen) {
				out = append(out, side)
			}
		}
	}
	return out
}

// barSidesOf returns those sides of an outline that face another one near to them all along.
func barSidesOf(outline geometry.Path, w float64) (out []round) {
	var sides [][2]geometry.Point
	for _, c := range outline {
		for a, b := range c.Sides() {
			if b.Sub(a).Len() >= barTimes*w {
				sides = append(sides, [2]geometry.Point{a, b})
			}
		}
	}
	for i, s := range sides {
		along := s[1].Sub(s[0])
		long := along.Len()
		way := along.Mul(1 / long)
		faces := slices.ContainsFunc(sides, func(o [2]geometry.Point) bool {
			back := o[1].Sub(o[0])
			if o == sides[i] || way.Dot(back) > -0.999*back.Len() {
				return false
			}
			apart := math.Abs(way.Cross(o[0].Sub(s[0])))
			from, to := math.Max(0, way.Dot(o[1].Sub(s[0]))), math.Min(long, way.Dot(o[0].Sub(s[0])))
			return apart <= barWidths*w && to-from >= faceTimes*apart
		})
		if !faces {
			continue
		}
		r := round{bounds: geometry.EmptyRect().Include(s[0]).Include(s[1]), open: true}
		n := math.Ceil((long - w) / roundStepMM) // the ends may be others'
		for k := 0.0; k <= n; k++ {
			r.rim = append(r.rim, s[0].Add(way.Mul(w/2+(long-w)*k/n)))
		}
		out = append(out, r)
	}
	return out
}

// isRound reports whether an outline of one contour is that of an ellipse, by its moments.
func isRound(outline geometry.Path) bool {
	if len(outline) != 1 {
		return false
	}
	// About a corner of its own, so that little is lost to rounding.
	o := outline[0].Start
	var area, sx, sy, xx, yy, xy float64
	for a, b := range outline[0].Sides() {
		a, b = a.Sub(o), b.Sub(o)
		c := a.Cross(b)
		area += c / 2
		sx += c * (a.X + b.X) / 6
		sy += c * (a.Y + b.Y) / 6
		xx += c * (a.X*a.X + a.X*b.X + b.X*b.X) / 12
		yy += c * (a.Y*a.Y + a.Y*b.Y + b.Y*b.Y) / 12
		xy += c * (a.X*(2*a.Y+b.Y) + b.X*(a.Y+2*b.Y)) / 24
	}
	if area == 0 {
		return false
	}
	middle := geometry.Pt(sx/area, sy/area)
	xx, yy, xy = xx/area-middle.X*middle.X, yy/area-middle.Y*middle.Y, xy/area-middle.X*middle.Y
	// A point of the rim of an ellipse lies at 2 by the inverse of its second moments.
	det := xx*yy - xy*xy
	half, apart := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	if det <= 0 || half+apart > roundTimes*roundTimes*(half-apart) {
		return false
	}
	for a := range outline[0].Sides() {
		d := a.Sub(o).Sub(middle)
		if r := math.Sqrt((yy*d.X*d.X-2*xy*d.X*d.Y+xx*d.Y*d.Y)/det) / 2; math.Abs(r-1) > roundShare {
			return false
		}
	}
	return true
}

// evenly returns places along a contour of straight lines, spread evenly.
func evenly(c geometry.Contour) (out []geometry.Point) {
	all := 0.0
	for a, b := range c.Sides() {
		all += b.Sub(a).Len()
	}
	step := all / math.Max(roundPlaces, math.Round(all/roundStepMM))
	next := step / 2
	for a, b := range c.Sides() {
		l := b.Sub(a).Len()
		for ; next < l; next += step {
			out = append(out, a.Lerp(b, next/l))
		}
		next -= l
	}
	return out
}

// shows reports whether enough of a rim does.
func (r *round) shows(outlines *outlineSides) bool {
	return float64(r.shown(outlines)) >= roundShown*float64(len(r.rim))
}

// shown returns at how many places of its rim it shows.
func (r *round) shown(outlines *outlineSides) (n int) {
	beside := outlines.near(r.bounds)
	for _, at := range r.rim {
		if beside.near(at) {
			n++
		}
	}
	return n
}

// dents reports whether what a mend of a spot lays takes a part of a rim away, so that what was drawn round has a
// flat, a bite or a web: outlines do not turn more for it. All of it may go, and a little at where something else
// begins to cover it; and what is left of a disc may grow as a whole.
func dents(rounds []round, before, after *outlineSides, s *Spot, mend job.Mend, layers []layer) bool {
	var areas []geometry.Rect
	for _, l := range layers {
		areas = append(areas, l.path.Bounds().Grow(rimMM))
	}
	for i := range rounds {
		r := &rounds[i]
		if r.large && mend.Do != job.Widen {
			continue
		}
		if r.large && mend.Chosen && s.Of != own.Bare && mend.To.DeltaE(s.Of.Colour) <= shadeDeltaE {
			continue
		}
		if reaches(r.bounds, areas) && !(mend.Do == job.Widen && mend.Whole && !r.open && r.holds(s.At)) && r.dented(before, after, areas) {
			return true
		}
	}
	return false
}

// part returns what of a side lies in areas, and a little beyond.
func (r *round) part(areas []geometry.Rect) *round {
	out := &round{bounds: geometry.EmptyRect(), open: true}
	for _, at := range r.rim {
		if slices.ContainsFunc(areas, func(a geometry.Rect) bool { return a.Grow(3 * roundStepMM).Contains(at) }) {
			out.rim, out.bounds = append(out.rim, at), out.bounds.Include(at)
		}
	}
	return out
}

func (r *round) holds(at geometry.Point) bool {
	return r.bounds.Contains(at) && geometry.NewEnclosure(geometry.Path{geometry.Polygon(r.rim...)}).Holds(at)
}

// dented reports so about one rim, as far as it lies in areas.
func (r *round) dented(before, after *outlineSides, areas []geometry.Rect) bool {
	all := r
	if r.open {
		if r = r.part(areas); !reaches(r.bounds, areas) {
			return false
		}
	}
	shows, gone, lost := r.gone(before, after, areas)
	if lost == 0 || float64(lost) >= rimShare*float64(all.shown(before)) {
		return false
	}
	if r.open {
		return bitten(shows, gone)
	}
	n := len(r.rim)
	for i := range n {
		if !gone[i] || gone[(i+n-1)%n] {
			continue
		}
		run := 1
		for gone[(i+run)%n] {
			run++
		}
		if shows[(i+n-1)%n] && shows[(i+run)%n] || float64(run) > coverShare*float64(n) {
			return true
		}
	}
	return false
}

// gone returns which places of a rim show, which of these do no more, in areas, and how many those are.
func (r *round) gone(before, after *outlineSides, areas []geometry.Rect) (shows, gone []bool, lost int) {
	was, is := before.near(r.bounds), after.near(r.bounds)
	shows, gone = make([]bool, len(r.rim)), make([]bool, len(r.rim))
	for i, at := range r.rim {
		if shows[i] = was.near(at); !shows[i] {
			continue
		}
		in := func(a geometry.Rect) bool { return a.Contains(at) }
		if gone[i] = slices.ContainsFunc(areas, in) && !is.near(at); gone[i] {
			lost++
		}
	}
	return shows, gone, lost
}

// bitten reports whether of a side something is gone between what shows.
func bitten(shows, gone []bool) bool {
	for i := 1; i < len(gone); i++ {
		if !gone[i] || gone[i-1] || !shows[i-1] {
			continue
		}
		run := 1
		for i+run < len(gone) && gone[i+run] {
			run++
		}
		if i+run < len(gone) && shows[i+run] {
			return true
		}
	}
	return false
}

// rimSides are sides of outlines beside a rim.
type rimSides [][2]geometry.Point

// outlineSides are all sides of outlines, filed when they are first asked for: most of what is tried lies beside no rim.
type outlineSides struct {
	outlines geometry.Path
	runs     *boxes.Runs[[2]geometry.Point]
}

func sidesIn(outlines geometry.Path) *outlineSides { return &outlineSides{outlines: outlines} }

// near returns those that come near to a rectangle.
func (o *outlineSides) near(r geometry.Rect) (out rimSides) {
	bounds := func(l [2]geometry.Point) geometry.Rect { return geometry.EmptyRect().Include(l[0]).Include(l[1]) }
	if o.runs == nil {
		var all [][2]geometry.Point
		for _, c := range o.outlines {
			for a, b := range c.Sides() {
				all = append(all, [2]geometry.Point{a, b})
			}
		}
		o.runs = boxes.NewRuns(all, bounds)
	}
	r = r.Grow(rimMM)
	for run := range o.runs.Meeting(r) {
		for _, l := range run {
			if !bounds(l).Intersect(r).Empty() {
				out = append(out, l)
			}
		}
	}
	return out
}

func (s rimSides) near(at geometry.Point) bool {
	return slices.ContainsFunc(s, func(l [2]geometry.Point) bool { return geometry.Near(l[0], l[1], at, rimMM) })
}
