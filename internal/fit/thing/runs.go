package thing

import (
	"math"
	"slices"

	"abut/geometry"
)

const (
	// fewestDashes make a run.
	fewestDashes = 3
	// runTimes is how many times as far as usual a dash lies at most from the next one of its
	// run: there are dashes and dots in one, but no other line begins.
	runTimes = 2
	// aheadCos is the cosine of the angle to which a dash goes on where another one ended, and
	// cornerTimes how many times as far as usual it may be around a corner.
	aheadCos    = 0.7
	cornerTimes = 1.25
	// bentCos is the cosine of the angle from which on two dashes have a corner between them,
	// and a bend from that of curvedCos on.
	bentCos   = 0.64
	curvedCos = 0.98
	// atEnd is how far from the end of a dash a corner lies at least, of the usual gap, that is not
	// that end itself.
	atEnd = 1e-3
)

func lengthOf(line []geometry.Point) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += line[i].Sub(line[i-1]).Len()
	}
	return sum
}

// sides yields the straight segments of a contour; one that is open is not closed.
func sides(c geometry.Contour) func(yield func(a, b geometry.Point) bool) {
	return func(yield func(a, b geometry.Point) bool) {
		from := c.Start
		for _, s := range c.Segments {
			if !yield(from, s.End) {
				return
			}
			from = s.End
		}
		if c.Closed && from != c.Start {
			yield(from, c.Start)
		}
	}
}

// openLines tells of things along which open line a pen drew each, if each has one, and makes dashes of
// them where most of these follow each other: a run may be broken now and then, and rays never follow
// each other.
func openLines(things []Thing, centre geometry.Path) {
	lines := make([][]geometry.Point, len(centre))
	for n, c := range centre {
		if len(c.Segments) == 0 || c.Closed {
			return
		}
		lines[n] = append(lines[n], c.Start)
		for _, s := range c.Segments {
			if s.End.Sub(lines[n][len(lines[n])-1]).Len() > nothingMM {
				lines[n] = append(lines[n], s.End)
			}
		}
		if len(lines[n]) < 2 {
			return
		}
	}
	if lines = withoutNothing(lines, len(things)); len(lines) != len(things) {
		return
	}
	of, ok := drawnAlong(things, lines)
	if !ok {
		return
	}
	drew, run := nibOf(things, of, lines), isRun(lines)
	for i := range things {
		t := &things[i]
		t.line, t.nth, t.caps = lines[of[i]], of[i], drew.caps
		if run {
			t.Kind, t.WidthMM = Dash, drew.width
		}
	}
}

// nothingShare is how long, of the longest one, a line is at most that draws nothing.
const nothingShare = 1e-3

// withoutNothing returns lines without those that draw nothing, where there are more than n: a gap that ends
// where its line does has a dash of no length behind it.
func withoutNothing(lines [][]geometry.Point, n int) [][]geometry.Point {
	if len(lines) <= n {
		return lines
	}
	longest := 0.0
	for _, l := range lines {
		longest = math.Max(longest, lengthOf(l))
	}
	return slices.DeleteFunc(lines, func(l []geometry.Point) bool { return lengthOf(l) < nothingShare*longest })
}

// isRun reports whether lines are dashes.
func isRun(lines [][]geometry.Point) bool {
	if len(lines) < fewestDashes {
		return false
	}
	usual := usualGap(lines)
	on := 0
	for n := 1; n < len(lines); n++ {
		if _, follows := between(lines[n-1], lines[n], usual); follows {
			on++
		}
	}
	return 4*on >= 3*(len(lines)-1)
}

// lineCap is how a pen's lines end: what lies beyond them is nothing, half a disc or half a square.
type lineCap uint8

const (
	buttCap lineCap = iota
	roundCap
	squareCap
)

// nib is the end of a pen that drew lines.
type nib struct {
	width float64
	caps  lineCap
}

// nibOf tells what drew things along lines, by what they cover and how long their outlines are: how
// broad most of them are, and how most end. The rest of one at the end of a line is as broad as all.
func nibOf(things []Thing, of []int, lines [][]geometry.Point) nib {
	var widths []float64
	var ends [3]int
	for i := range things {
		t := &things[i]
		length, around := lengthOf(lines[of[i]]), 0.0
		for _, c := range t.Outline {
			for a, b := range sides(c) {
				around += b.Sub(a).Len()
			}
		}
		var best nib
		off := math.Inf(1)
		// Both ends cover k squares of the width, and their outline is m widths long.
		for caps, x := range [...]struct{ k, m float64 }{buttCap: {0, 2}, roundCap: {math.Pi / 4, math.Pi}, squareCap: {1, 4}} {
			w := (around - 2*length) / x.m
			if d := math.Abs(length*w + x.k*w*w - t.AreaMM2); d < off {
				best, off = nib{w, lineCap(caps)}, d
			}
		}
		widths = append(widths, best.width)
		ends[best.caps]++
	}
	return nib{median(widths), lineCap(slices.Index(ends[:], slices.Max(ends[:])))}
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	x = slices.Clone(x)
	slices.Sort(x)
	return x[len(x)/2]
}

// drawnAlong tells which line each thing is drawn along; false where one has none, or several.
func drawnAlong(things []Thing, lines [][]geometry.Point) (of []int, ok bool) {
	left := make([]bool, len(lines))
	for i := range things {
		t := &things[i]
		at := -1
		for n, l := range lines {
			if middle := l[0].Lerp(l[1], 0.5); !left[n] && t.Bounds.Contains(middle) && t.insideOf().Holds(middle) {
				if at >= 0 {
					return nil, false
				}
				at = n
			}
		}
		if at < 0 {
			return nil, false
		}
		left[at], of = true, append(of, at)
	}
	return of, true
}

// usualGap returns how far dashes are from the next one of their line: less than those that
// begin another line.
func usualGap(dashes [][]geometry.Point) float64 {
	var gaps []float64
	for n := 1; n < len(dashes); n++ {
		gaps = append(gaps, gapBetween(dashes[n-1], dashes[n]).Len())
	}
	slices.Sort(gaps)
	return gaps[len(gaps)/4]
}

// gapBetween returns the way from the end of a dash to the start of another one.
func gapBetween(a, b []geometry.Point) geometry.Point { return b[0].Sub(a[len(a)-1]) }

// between returns what a line goes through between two dashes, a corner or a bend, and whether
// the second follows the first at all.
func between(a, b []geometry.Point, usual float64) (via []geometry.Point, follows bool) {
	end := a[len(a)-1]
	gap, out, in := b[0].Sub(end), unit(end.Sub(a[len(a)-2])), unit(b[1].Sub(b[0]))
	far := gap.Len()
	if far > runTimes*usual {
		return nil, false
	}
	if far == 0 {
		return nil, true
	}
	ahead := gap.Dot(out) > aheadCos*far && gap.Dot(in) > aheadCos*far
	turn := out.Cross(in)
	if out.Dot(in) > curvedCos || turn == 0 {
		return nil, ahead
	}
	// Where both would meet.
	s, t := gap.Cross(in)/turn, out.Cross(gap)/turn
	if math.Min(s, t) < -atEnd*usual || s+t > cornerTimes*math.Max(usual, far) {
		return nil, ahead
	}
	if math.Min(s, t) < atEnd*usual {
		return nil, true // the line bends where one of them ends
	}
	corner := end.Add(out.Mul(s))
	if out.Dot(in) < bentCos {
		return []geometry.Point{corner}, true
	}
	for _, k := range [...]float64{0.25, 0.5, 0.75} {
		via = append(via, end.Lerp(corner, k).Lerp(corner.Lerp(b[0], k), k))
	}
	return via, true
}

func unit(p geometry.Point) geometry.Point { return p.Mul(1 / p.Len()) }

// nothingMM is a length that is but rounding, and has no direction.
const nothingMM = 1e-9

// dashedLine is a line with the dashes along it.
type dashedLine struct {
	points []geometry.Point
	closed bool
	length float64
	// dashes are where each begins and ends, in mm from the start.
	dashes [][2]float64
}

// linesThrough returns the lines that dashes follow, in their order.
func linesThrough(dashes [][]geometry.Point) (out []dashedLine) {
	usual := math.Inf(1)
	if len(dashes) > 1 {
		usual = usualGap(dashes)
	}
	first := 0
	for n := range dashes {
		var via []geometry.Point
		follows := false
		if n > 0 {
			via, follows = between(dashes[n-1], dashes[n], usual)
		}
		if !follows {
			out, first = append(out, dashedLine{}), n
		}
		l := &out[len(out)-1]
		l.goOn(via)
		from := l.length
		l.goOn(dashes[n])
		l.dashes = append(l.dashes, [2]float64{l.from(from, dashes[n]), l.length})
		if n-first+1 < fewestDashes {
			continue
		}
		if n+1 < len(dashes) {
			if _, goesOn := between(dashes[n], dashes[n+1], usual); goesOn {
				continue
			}
		}
		if via, l.closed = between(dashes[n], dashes[first], usual); l.closed {
			l.goOn(via)
			l.goOn(l.points[:1])
		}
	}
	return out
}

// from returns where a dash begins that a line has gone along to its end: behind what lay between.
func (l *dashedLine) from(before float64, dash []geometry.Point) float64 {
	return math.Max(before, l.length-lengthOf(dash))
}

// goOn has the line go on through points.
func (l *dashedLine) goOn(points []geometry.Point) {
	for _, p := range points {
		if n := len(l.points); n > 0 {
			far := p.Sub(l.points[n-1]).Len()
			if far <= nothingMM {
				continue
			}
			l.length += far
		}
		l.points = append(l.points, p)
	}
}

// cornerCos is the cosine of the turn from which on a line has a corner: chords of a curve turn by less.
const cornerCos = 0.7

// corners returns where a line has corners, in mm from its start, the start of a closed one
// included.
func (l *dashedLine) corners() (out []float64) {
	n := len(l.points)
	at := 0.0
	turns := func(a, b, c geometry.Point) bool {
		u, v := b.Sub(a), c.Sub(b)
		return u.Dot(v) < cornerCos*u.Len()*v.Len()
	}
	if l.closed && n > 3 && turns(l.points[n-2], l.points[0], l.points[1]) {
		out = append(out, 0)
	}
	for i := 1; i+1 < n; i++ {
		at += l.points[i].Sub(l.points[i-1]).Len()
		if turns(l.points[i-1], l.points[i], l.points[i+1]) {
			out = append(out, at)
		}
	}
	return out
}

// DashedLines returns the lines that the dashes of a group follow, closed ones to their start again, and how
// broad their pen was.
func DashedLines(things []Thing, group int) (lines [][]geometry.Point, width float64) {
	var run []*Thing
	for i := range things {
		if things[i].Group == group && things[i].Kind == Dash {
			run = append(run, &things[i])
			width = things[i].WidthMM
		}
	}
	for _, l := range linesOf(run) {
		lines = append(lines, l.points)
	}
	return lines, width
}

// linesOf returns the lines that dashes of one shape follow.
func linesOf(run []*Thing) []dashedLine {
	slices.SortFunc(run, func(a, b *Thing) int { return a.nth - b.nth })
	var centres [][]geometry.Point
	for _, t := range run {
		centres = append(centres, t.line)
	}
	return linesThrough(centres)
}

// move moves the line aside, to the left on screen of the way that it goes.
func (l *dashedLine) move(by float64) {
	n := len(l.points)
	across := func(i int) geometry.Point { // of the side before point i
		way := unit(l.points[i].Sub(l.points[i-1]))
		return geometry.Pt(way.Y, -way.X)
	}
	moved := dashedLine{closed: l.closed, dashes: l.dashes}
	for i, p := range l.points {
		var was, next geometry.Point
		switch {
		case i > 0 && i < n-1:
			was, next = across(i), across(i+1)
		case l.closed:
			was, next = across(n-1), across(1)
		case i == 0:
			was, next = across(1), across(1)
		default:
			was, next = across(i), across(i)
		}
		side := was.Add(next)
		if k := side.Dot(side); k > 4.0/sharpCorners/sharpCorners {
			p = p.Add(side.Mul(2 * by / k))
		}
		moved.goOn([]geometry.Point{p})
	}
	*l = moved
}
