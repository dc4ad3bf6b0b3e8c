package cutfile

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/boxes"
)

// inOrder returns contours in the order in which they are cut, each begun on a
// straight run: what lies in another is cut before it, while that still holds it, and
// beyond that the knife travels little between them.
// It may leave them as they are where the context ends.
func inOrder(ctx context.Context, contours []Contour) []Contour {
	if len(contours) == 0 {
		return contours
	}
	t := tour{ctx: ctx, window: min(max(mostTries/len(contours), leastWindow), mostWindow), holder: holders(ctx, contours), starts: make([][]place, len(contours)), at: make([]place, len(contours))}
	for i, c := range contours {
		t.starts[i] = starts(c)
	}
	t.nearest()
	for range rounds {
		t.improve()
		t.settle()
	}
	out := make([]Contour, 0, len(contours))
	for _, i := range t.order {
		out = append(out, contours[i].from(t.at[i]))
	}
	return out
}

// rounds is how often order and starts are improved in turn; more save next to
// nothing on real art.
const rounds = 2

// holders returns for each contour the smallest that it lies in, or -1.
// It may miss some where the context ends.
func holders(ctx context.Context, contours []Contour) []int {
	n := len(contours)
	type shape struct {
		box  geometry.Rect
		area float64
		in   *geometry.Enclosure
	}
	shapes := make([]shape, n)
	for i, c := range contours {
		p := geometry.Path{c.MM()}
		shapes[i] = shape{box: p.Bounds(), area: math.Abs(p.SignedArea())}
	}
	bySize := make([]int, n)
	for i := range bySize {
		bySize[i] = i
	}
	slices.SortStableFunc(bySize, func(a, b int) int { return cmp.Compare(shapes[a].area, shapes[b].area) })
	at := boxes.New(n, func(k int) geometry.Rect { return shapes[bySize[k]].box })
	out := make([]int, n)
	for k, i := range bySize {
		out[i] = -1
		if ctx.Err() != nil {
			continue
		}
		for _, other := range at.Near(shapes[i].box.Centre(), 0) {
			j := bySize[other]
			if other <= k || !shapes[j].box.Encloses(shapes[i].box) {
				continue
			}
			if shapes[j].in == nil {
				shapes[j].in = geometry.NewEnclosure(geometry.Path{contours[j].MM()}.Flatten(0.01))
			}
			if within(contours[i], shapes[j].in) {
				out[i] = j
				break
			}
		}
	}
	return out
}

// within reports whether a contour lies in an outline that it does not cross. The two
// may touch, so most of a few places decide.
func within(c Contour, in *geometry.Enclosure) bool {
	const probes = 5
	held, from := 0, c.Start.MM()
	segs := c.MM().Segments
	for k := range probes {
		i := k * len(segs) / probes
		if i > 0 {
			from = segs[i-1].End
		}
		if in.Holds(segs[i].At(from, 0.3+0.1*float64(k))) {
			held++
		}
	}
	return held > probes/2
}

// tour is an order of contours, each closed: the knife leaves one where it came to it.
type tour struct {
	ctx    context.Context
	window int
	holder []int
	starts [][]place
	at     []place // the start of each
	order  []int
	pos    []int // of each in order
	inner  []int // the last position of what lies directly in each, or -1
}

// nearest goes from the corner of the page to what is nearest of all that may be cut,
// and on from there.
func (t *tour) nearest() {
	n := len(t.holder)
	waits := make([]int, n) // how many must be cut before
	for _, h := range t.holder {
		if h >= 0 {
			waits[h]++
		}
	}
	g := newGrid(t.starts)
	for i := range n {
		if waits[i] == 0 {
			g.add(i, t.starts[i])
		}
	}
	var from Point
	for range n {
		i, p := g.take(from)
		t.order, t.at[i], from = append(t.order, i), p, p.Point
		if h := t.holder[i]; h >= 0 {
			if waits[h]--; waits[h] == 0 {
				g.add(h, t.starts[h])
			}
		}
	}
	t.pos, t.inner = make([]int, n), slices.Repeat([]int{-1}, n)
	t.number(0, n-1)
}

// number works out anew what follows from the order between two positions, which
// alone has changed.
func (t *tour) number(first, last int) {
	run := t.order[first : last+1]
	for k, i := range run {
		t.pos[i] = first + k
		// What a contour holds last lies in the run still, if it did.
		if h := t.holder[i]; h >= 0 && t.inner[h] >= first && t.inner[h] <= last {
			t.inner[h] = -1
		}
	}
	for k, i := range run {
		if h := t.holder[i]; h >= 0 {
			t.inner[h] = max(t.inner[h], first+k)
		}
	}
}

// step is the way between two positions, 0 at both ends of the tour.
func (t *tour) step(a, b int) float64 {
	if a < 0 || b >= len(t.order) {
		return 0
	}
	return distance(t.at[t.order[a]].Point, t.at[t.order[b]].Point)
}

// How far apart in the order two places may be that are tried together is bounded,
// the more the more contours there are: a sheet of a thousand takes a few tenths of a
// second, and even one of twenty thousand about two. That costs little of what is saved.
const (
	mostTries   = 400_000
	leastWindow = 50
	mostWindow  = 1000
)

// passes is how often the whole order is gone through at most.
const passes = 8

// improve turns runs of the order round, and moves single contours and short runs,
// as long as that shortens the way and holds what lies in what (Croes 1958; Or 1976).
func (t *tour) improve() {
	for range passes {
		better := false
		for i := range t.order {
			if t.ctx.Err() != nil {
				return
			}
			better = t.turn(i) || better
			for length := 1; length <= 3; length++ {
				better = t.move(i, length) || better
			}
		}
		if !better {
			return
		}
	}
}

// gain below which nothing is changed, in steps: rounding must not make it go round
// in circles.
const leastGain = 1e-3

// turn turns round the run from position i that saves most, if any does.
func (t *tour) turn(i int) bool {
	best, end := leastGain, -1
	for j := i + 1; j < min(len(t.order), i+t.window); j++ {
		if t.inner[t.order[j]] >= i {
			break // it holds one of the run and must stay behind it
		}
		if gain := t.step(i-1, i) + t.step(j, j+1) - t.between(i-1, j) - t.between(i, j+1); gain > best {
			best, end = gain, j
		}
	}
	if end < 0 {
		return false
	}
	slices.Reverse(t.order[i : end+1])
	t.number(i, end)
	return true
}

// between is the way between two positions that may lie beyond an end, where there is
// none to go.
func (t *tour) between(a, b int) float64 {
	if a < 0 || b < 0 || a >= len(t.order) || b >= len(t.order) {
		return 0
	}
	return distance(t.at[t.order[a]].Point, t.at[t.order[b]].Point)
}

// move takes the run of this length at position i to where it saves most, if it does.
func (t *tour) move(i, length int) bool {
	n := len(t.order)
	if i+length > n {
		return false
	}
	run := t.order[i : i+length]
	first, last := -1, n // it must stay behind the one and before the other position
	for _, k := range run {
		first = max(first, min(t.inner[k], i-1)) // with one of its own in the run it stays behind all
		if h := t.holder[k]; h >= 0 && t.pos[h] >= i+length {
			last = min(last, t.pos[h])
		}
	}
	out := t.step(i-1, i) + t.step(i+length-1, i+length) - t.between(i-1, i+length)
	best, to := leastGain, -1
	for j := max(first, i-t.window, -1); j < min(last, i+t.window); j++ { // between j and j + 1
		if j >= i-1 && j < i+length {
			continue
		}
		if gain := out + t.step(j, j+1) - t.between(j, i) - t.between(i+length-1, j+1); gain > best {
			best, to = gain, j
		}
	}
	if best == leastGain {
		return false
	}
	taken := slices.Clone(run)
	if to < i {
		to++
		copy(t.order[to+length:], t.order[to:i])
	} else {
		to -= length - 1
		copy(t.order[i:], t.order[i+length:to+length])
	}
	copy(t.order[to:], taken)
	t.number(min(i, to), max(i, to)+length-1)
	return true
}

// settle begins each contour where the way from the one before and to the next is
// shortest.
func (t *tour) settle() {
	for p, i := range t.order {
		best := math.Inf(1)
		for _, s := range t.starts[i] {
			way := 0.0
			if p > 0 {
				way += distance(t.at[t.order[p-1]].Point, s.Point)
			}
			if p+1 < len(t.order) {
				way += distance(s.Point, t.at[t.order[p+1]].Point)
			}
			if way < best {
				best, t.at[i] = way, s
			}
		}
	}
}
