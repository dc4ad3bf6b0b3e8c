package thing

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
)

const (
	// fineLeast is how long, in pieces, a side is at least that says which way an outline goes: where a font's strokes meet
	// there are ones of a few thousandths of a millimetre that go any way.
	fineLeast = 0.25
	// finePieces is how many pieces of an outline there are at least to a width.
	finePieces = 12
	// wallsFace is the cosine of the angle from which on two walls of a stroke face each other: a
	// corner of 20° and more is a corner, and no stroke.
	wallsFace = -0.94
	// fineCorner is the cosine of the angle by which an outline turns at a corner, where a curve's
	// chords turn by less.
	fineCorner = 0.87
	// fineNotch is that of the angle by which it turns inwards at least where it is looked at for crossing itself: 10°.
	fineNotch = 0.985
	// fineRamp is how fast what is made broader goes over into what is broad enough: so much to each
	// side for its length.
	fineRamp = 0.25
	// fineChord is the deviation of an arc from a chord beyond which the chord is no part of a curve but
	// a straight side, in what curves were flattened to.
	fineChord = 2
	// fineHold is how far, in widths, what is made broader is so beyond where it has to be.
	fineHold = 0.3
	// fineSmooth is how often neighbours are averaged.
	fineSmooth = 3 * finePieces
	// roomTimes is how far, in widths, is looked for what is beyond a wall: where it is as far, both may move by a width, which is all
	// that is ever asked of one, and leave a width.
	roomTimes = 3
	// fineShare is the share of a straight side that must be too near to the opposite one for all of it to move:
	// a serif stays flat, and a stem straight that a hairline begins at.
	fineShare = 0.4
)

// wall is a piece of an outline that is drawn anew.
type wall struct {
	from, to geometry.Point
	out      geometry.Point // the way out of the thing, of length 1
	side     int            // of the outline it is part of
	before   int            // the walls that it lies between
	after    int
	straight bool    // it moves as one with all of its side
	fixed    bool    // it does not move: something lies over the outline there
	room     float64 // how far away the edge of the page is, in mm
	by       float64 // how far it moves out, in mm
}

// strengthened returns an outline in which all is as broad as a width that is narrower, such as the
// hairlines of a letter, and the rest, such as its stems, as it was (exaggeration of thin parts;
// for shapes of discs see Cabiddu and Attene, Epsilon-shapes, arXiv 1704.08049). Unlike discs along
// the middle it leaves corners corners and straight sides straight: the walls of the outline move
// out by half of what they are too near to those that face them. Errors as planar.Build.
func strengthened(ctx context.Context, outline geometry.Path, width float64) (geometry.Path, error) {
	return strongerBy(ctx, outline, wallsOf(outline.Simplified(sagittaMM/2), width/finePieces), width)
}

// strongerBy returns an outline with what walls of it, or of what shows of it, enclose when they have moved out.
func strongerBy(ctx context.Context, outline geometry.Path, walls []wall, width float64) (geometry.Path, error) {
	need(walls, width)
	if !flat(walls) {
		return outline, nil
	}
	smooth(walls, width)
	all := planar.Enclosed(outline)
	all.Figures = append(all.Figures, planar.Figure{Path: redrawn(walls)})
	d, err := planar.Region(ctx, all, planar.RegionOptions{})
	if err != nil {
		return nil, err
	}
	return d.All().Simplified(sagittaMM / 2), nil
}

// wallsOf divides an outline into pieces of about a length, of which none is much shorter.
func wallsOf(outline geometry.Path, length float64) (walls []wall) {
	side := 0
	for _, c := range outline {
		first := len(walls)
		from := c.Start
		for _, b := range c.Sides() {
			a := from
			l := b.Sub(a).Len()
			if l <= fineLeast*length {
				continue
			}
			from = b
			out := geometry.Pt(b.Y-a.Y, a.X-b.X).Mul(1 / l) // outer contours are clockwise on screen
			n := max(1, int(math.Ceil(l/length)))
			for k := range n {
				walls = append(walls, wall{
					from: a.Lerp(b, float64(k)/float64(n)), to: a.Lerp(b, float64(k+1)/float64(n)), out: out, side: side,
					before: len(walls) - 1, after: len(walls) + 1, room: math.Inf(1),
				})
			}
			side++
		}
		if last := len(walls) - 1; last >= first {
			walls[first].before, walls[last].after = last, first
		}
	}
	return walls
}

// need says of each wall how far it has to move for what lies between it and those that face it to be as broad as a width.
// Of two that face each other both move by half of that, or one by all of it where the other does not move, unless what lies
// beyond one, such as the inside of an e, would then be narrower than a width, and there is more room beyond the other: that
// moves further.
func need(walls []wall, width float64) {
	near, beyond := fileWalls(walls, width), fileWalls(walls, roomTimes*width)
	room := make([]float64, len(walls))
	facing := make([]int, len(walls))
	for i := range walls {
		var across float64
		across, facing[i] = near.across(i)
		walls[i].by = (width - across) / 2
		if facing[i] >= 0 && walls[facing[i]].fixed {
			walls[i].by *= 2
		}
		if walls[i].fixed {
			walls[i].by, walls[i].straight = 0, true
		}
	}
	known := make([]bool, len(walls))
	roomOf := func(i int) float64 {
		if !known[i] {
			space, _ := beyond.space(i)
			room[i], known[i] = math.Max(0, space-width)/2, true
		}
		return room[i]
	}
	for i := range walls {
		k := facing[i]
		if walls[i].by == 0 || k < 0 || walls[k].fixed {
			continue
		}
		half := walls[i].by
		here, there := roomOf(i), roomOf(k)
		switch {
		case here < half:
			walls[i].by -= math.Min(half-here, math.Max(0, there-half))
		case there < half:
			walls[i].by += math.Min(half-there, here-half)
		}
	}
}

// filedWalls are walls by the squares that their middles lie in: a rough outline has thousands, of which few are near.
type filedWalls struct {
	walls []wall
	most  float64 // how far is looked, and how large the squares are
	at    map[[2]int][]int
}

func fileWalls(walls []wall, most float64) *filedWalls {
	f := &filedWalls{walls, most, map[[2]int][]int{}}
	for i := range walls {
		at := f.square(walls[i].middle())
		f.at[at] = append(f.at[at], i)
	}
	return f
}

func (f *filedWalls) square(p geometry.Point) [2]int {
	return [2]int{int(math.Floor(p.X / f.most)), int(math.Floor(p.Y / f.most))}
}

// across returns how broad the thing is between a wall and those that face it: across the disc that touches it in its
// middle and one of those, which is no further away than that, and which that is. It is most where it is more, or nothing faces
// it, and that is −1.
func (f *filedWalls) across(i int) (float64, int) { return f.facing(i, -1) }

// space returns how broad what lies beyond a wall is, likewise.
func (f *filedWalls) space(i int) (float64, int) { return f.facing(i, 1) }

// facing looks for that inwards, with −1, or outwards, with 1.
func (f *filedWalls) facing(i int, way float64) (most float64, nearest int) {
	w := &f.walls[i]
	most, nearest = f.most, -1
	p := w.middle()
	at := f.square(p)
	for x := at[0] - 1; x <= at[0]+1; x++ {
		for y := at[1] - 1; y <= at[1]+1; y++ {
			for _, k := range f.at[[2]int{x, y}] {
				v := &f.walls[k]
				if v.out.Dot(w.out) > wallsFace {
					continue
				}
				to := v.middle().Sub(p)
				if far := way * to.Dot(w.out); far > 0 && way*to.Dot(v.out) < 0 {
					if d := to.Dot(to) / far; d < most {
						most, nearest = d, k
					}
				}
			}
		}
	}
	return most, nearest
}

func (w *wall) middle() geometry.Point { return w.from.Lerp(w.to, 0.5) }

// flat has straight sides move as one, and reports whether anything moves.
func flat(walls []wall) (any bool) {
	for i := 0; i < len(walls); {
		k := i
		length, thin, most := 0.0, 0.0, 0.0
		for ; k < len(walls) && walls[k].side == walls[i].side; k++ {
			l := walls[k].to.Sub(walls[k].from).Len()
			if length += l; walls[k].by > 0 {
				thin += l
			}
			most = math.Max(most, walls[k].by)
		}
		any = any || most > 0
		bend := math.Min(walls[walls[i].before].angle(&walls[i]), walls[k-1].angle(&walls[walls[k-1].after]))
		if length*bend/8 > fineChord*sagittaMM && thin > fineShare*length {
			for n := i; n < k; n++ {
				walls[n].by, walls[n].straight = most, true
			}
		}
		i = k
	}
	return any
}

// angle returns by how much the outline turns from one wall to the next, in radians.
func (w *wall) angle(next *wall) float64 {
	return math.Abs(math.Atan2(w.out.Cross(next.out), w.out.Dot(next.out)))
}

// corner reports whether the outline turns at a corner there, or comes out from beneath something.
func (w *wall) corner(next *wall) bool {
	return w.fixed != next.fixed || w.out.Dot(next.out) < fineCorner
}

// hold has walls move less that have not much room, half of it at most: what bends towards the edge of the page then comes
// nearer to it in a wider bend, and is not cut off there.
func hold(walls []wall) {
	for i := range walls {
		if w := &walls[i]; w.room < 4*w.by {
			share := w.room / w.by
			w.by *= share/2 - share*share/16 // it goes over into the rest without a bend
		}
	}
}

// smooth has what is made broader go over into the rest without a bend.
func smooth(walls []wall, width float64) {
	ramp(walls, fineHold*width)
	hold(walls)
	next := make([]float64, len(walls))
	for range fineSmooth {
		for i := range walls {
			w := &walls[i]
			a, b := &walls[w.before], &walls[w.after]
			before, after := a.by, b.by
			if a.corner(w) {
				before = w.by
			}
			if w.corner(b) {
				after = w.by
			}
			next[i] = (before + 2*w.by + after) / 4
		}
		for i := range walls {
			if !walls[i].straight {
				walls[i].by = next[i]
			}
		}
	}
}

// ramp has walls beside those that move do so too, up to some way as far as those, and then less and less, but
// not beyond corners.
func ramp(walls []wall, hold float64) {
	most := make([]float64, len(walls))
	for i := range walls {
		from := walls[i].by
		if from == 0 {
			continue
		}
		most[i] = math.Max(most[i], from)
		far := 0.0
		reach := func(k int) bool {
			far += walls[k].to.Sub(walls[k].from).Len()
			by := from - fineRamp*math.Max(0, far-hold)
			most[k] = math.Max(most[k], by)
			return by > 0
		}
		for k := i; !walls[walls[k].before].corner(&walls[k]); {
			if k = walls[k].before; k == i || !reach(k) {
				break
			}
		}
		far = 0
		for k := i; !walls[k].corner(&walls[walls[k].after]); {
			if k = walls[k].after; k == i || !reach(k) {
				break
			}
		}
	}
	for i := range walls {
		if !walls[i].straight {
			walls[i].by = most[i]
		}
	}
}

// redrawn returns the outline with its walls moved out.
func redrawn(walls []wall) (out geometry.Path) {
	for first := 0; first < len(walls); {
		last := walls[first].before
		var bends []bend
		for i := first; i <= last; i++ {
			next := &walls[walls[i].after]
			for k, at := range walls[i].meets(next) {
				bends = append(bends, bend{at, k == 0 && walls[i].notch(next)})
			}
		}
		var pts []geometry.Point
		for _, b := range untwisted(bends) {
			pts = append(pts, b.at)
		}
		out = append(out, geometry.Polygon(pts...))
		first = last + 1
	}
	return out
}

// bend is a corner of an outline that is drawn anew.
type bend struct {
	at    geometry.Point
	notch bool // the outline turns inwards there
}

// twistReach is how many bends away from a notch sides are looked at for crossing each other: a width of pieces.
const twistReach = finePieces

// untwisted returns the bends of a contour without the loops in its notches: where strokes meet, sides that move out cross each other, and
// what lies beyond would be a hole or a spur. Its sides end where they cross.
func untwisted(bends []bend) []bend {
	for i := 0; i < len(bends); i++ {
		if !bends[i].notch {
			continue
		}
		n := len(bends)
		back, on, at, crosses := twist(bends, i)
		if !crosses || n-back-on < 3 {
			bends[i].notch = false // a rough outline has thousands, each looked at once
			continue
		}
		kept := []bend{{at: at}}
		for k := i + on; k <= i-back+n; k++ {
			kept = append(kept, bends[k%n])
		}
		bends, i = kept, -1
	}
	return bends
}

// twist returns how many bends before and after a notch the sides begin that cross each other furthest from it, and where they do: between
// that and a nearer crossing there would be a slit.
func twist(bends []bend, notch int) (back, on int, at geometry.Point, crosses bool) {
	n := len(bends)
	bendAt := func(k int) geometry.Point { return bends[(notch+k+n)%n].at }
	most := min(twistReach, n/2-1)
	for sum := 2 * most; sum >= 3; sum-- { // sides that share a bend only touch
		for back = max(1, sum-most); back <= min(most, sum-1); back++ {
			on = sum - back
			if at, crosses = crossing(bendAt(-back), bendAt(1-back), bendAt(on-1), bendAt(on)); crosses {
				return back, on, at, true
			}
		}
	}
	return 0, 0, geometry.Point{}, false
}

// crossing returns where two sides cross each other.
func crossing(a, b, c, d geometry.Point) (geometry.Point, bool) {
	p, q := b.Sub(a), d.Sub(c)
	turn := p.Cross(q)
	if turn == 0 {
		return geometry.Point{}, false
	}
	t, u := c.Sub(a).Cross(q)/turn, c.Sub(a).Cross(p)/turn
	return a.Add(p.Mul(t)), t > 0 && t < 1 && u > 0 && u < 1
}

// notch reports whether the outline turns inwards there by so much that walls may cross each other that move out: at a corner, or in
// one of two bends that together are one.
func (w *wall) notch(next *wall) bool {
	return w.out.Dot(next.out) < fineNotch && w.out.Cross(next.out) < 0
}

// meets returns where two walls meet when they have moved out: in the corner of both, unless that reaches
// too far.
func (w *wall) meets(next *wall) []geometry.Point {
	at := w.to
	if !w.corner(next) {
		way := w.out.Add(next.out)
		return []geometry.Point{at.Add(way.Mul((w.by + next.by) / way.Dot(way)))}
	}
	a, b := w.out, next.out
	turn := a.Cross(b)
	if most := math.Max(w.by, next.by); math.Abs(turn) > 1e-6 {
		// (p−at)·a = w.by and (p−at)·b = next.by
		to := geometry.Pt(w.by*b.Y-next.by*a.Y, next.by*a.X-w.by*b.X).Mul(1 / turn)
		if to.Len() <= sharpCorners*most {
			return []geometry.Point{at.Add(to)}
		}
	}
	return []geometry.Point{at.Add(a.Mul(w.by)), at.Add(b.Mul(next.by))}
}
