package planar

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sort"

	"abut/geometry"
	"abut/geometry/parallel"
)

// term is one filled figure on the map: a layer's figure or one of a clip.
type term struct {
	rule  geometry.FillRule
	layer int32   // −1 for a clip's figure
	clips []int32 // all of these must cover too
}

// origin is the source segment of a run of chords.
type origin struct {
	layer, figure, contour, segment int32
	term                            int32 // of the figure
	chords                          int32 // how many the segment was cut into
	curve                           int32 // index into input.curves, −1 for a straight line
}

// cubic is a source segment that is not straight.
type cubic struct{ start, c1, c2, end geometry.Point }

// segment is one chord on the grid, in its contour's direction.
type segment struct {
	a, b   Point
	origin int32
	chord  int32 // which of the origin's chords, from 0
}

// chords are what contours were cut into.
type chords struct {
	origins  []origin
	curves   []cubic
	segments []segment
	rings    []int32 // first segment of each closed ring; ring follows ring; of use to Build alone
	lo, hi   Point   // the corners of their bounds; of no chords, what any bounds include
}

// input is Build's argument on the grid.
type input struct {
	chords
	terms   []term
	clips   [][]int32 // terms of each clip
	sagitta float64
}

// ring returns the first segment of a ring and the one after its last.
func (c *chords) ring(r int) (first, last int32) {
	if r+1 < len(c.rings) {
		return c.rings[r], c.rings[r+1]
	}
	return c.rings[r], int32(len(c.segments))
}

// ringOf returns the ring that a segment is in.
func (c *chords) ringOf(segment int32) int {
	r, first := slices.BinarySearch(c.rings, segment)
	if !first {
		r--
	}
	return r
}

// outline is a contour that is to be cut into chords.
type outline struct {
	contour *geometry.Contour
	origin  origin // of its first segment
	before  int    // how many segments the outlines before it have
}

// lister lists what is to be cut into chords.
type lister struct {
	*input
	outlines []outline
	segments int // of all outlines
	clipIDs  map[*Clip]int32
}

// quantise cuts the layers' curves into chords within sagitta and puts them on
// the grid. Its errors are *RangeError and the context's.
func quantise(ctx context.Context, layers []Layer, sagitta float64, sc *scratch) (*input, error) {
	figures := 0
	for _, layer := range layers {
		figures += len(layer.Figures)
	}
	// There is room for the figures of clips as they come.
	ls := lister{input: &input{sagitta: sagitta, terms: make([]term, 0, figures)}, outlines: sc.outlines[:0]}
	for l, layer := range layers {
		for f, fig := range layer.Figures {
			ls.figure(fig, int32(l), int32(f))
		}
	}
	sc.outlines = ls.outlines
	defer clear(ls.outlines) // they hold on to the art
	if ls.segments < worthSplitting/chordsASegment {
		return ls.input, ls.alone(ctx, sc)
	}
	return ls.input, ls.share(ctx, sc)
}

// alone cuts the outlines in the scratch, so that what stays with the map is no larger
// than it must be.
func (ls *lister) alone(ctx context.Context, sc *scratch) error {
	c := &sc.chords
	*c = chords{origins: c.origins[:0], curves: c.curves[:0], segments: c.segments[:0], rings: c.rings[:0]}
	err := c.cut(unhurried(ctx), ls.outlines, ls.sagitta)
	ls.input.chords = *c
	ls.origins, ls.curves, ls.input.chords.segments = slices.Clone(c.origins), slices.Clone(c.curves), slices.Clone(c.segments)
	return err
}

// chordsASegment is how many chords a segment of art makes, as a rule.
const chordsASegment = 2

// portions are more than workers: reading is what is shared first, and until another core is awake for
// it, one has done a good part.
const portions = 4 * parallel.Workers

// mostShared is how many chords room is made for at once. Where more are counted, some
// coordinate may be no place on the grid, for which each curve counts thousands.
const mostShared = 1 << 24

// figure lists a layer's figure, or with layer −1 a clip's.
func (ls *lister) figure(fig Figure, layer, index int32) {
	clips := ls.clipsOf(fig)
	id := int32(len(ls.terms))
	ls.terms = append(ls.terms, term{fig.Rule, layer, clips})
	for c := range fig.Path {
		contour := &fig.Path[c]
		ls.outlines = append(ls.outlines, outline{contour, origin{layer: layer, figure: index, contour: int32(c), term: id}, ls.segments})
		ls.segments += len(contour.Segments) + 1
	}
}

func (ls *lister) clipsOf(fig Figure) (ids []int32) {
	for _, clip := range fig.Clips {
		id, known := ls.clipIDs[clip]
		if !known {
			var terms []int32
			for i, f := range clip.Figures {
				ls.figure(f, -1, int32(i))
				// The figure's own clips come first, so its term is the last.
				terms = append(terms, int32(len(ls.terms)-1))
			}
			id = int32(len(ls.clips))
			ls.clips = append(ls.clips, terms)
			if ls.clipIDs == nil {
				ls.clipIDs = map[*Clip]int32{}
			}
			ls.clipIDs[clip] = id
		}
		ids = append(ids, id)
	}
	return ids
}

// share has workers cut a portion of the outlines after another, to where it stays.
func (ls *lister) share(ctx context.Context, sc *scratch) error {
	var shares [portions][]outline
	var counts [portions]chordCount
	err := parallel.Do(ctx, portions, func(i int) {
		lo, hi := ls.segments*i/portions, ls.segments*(i+1)/portions
		first := sort.Search(len(ls.outlines), func(i int) bool { return ls.outlines[i].before >= lo })
		after := sort.Search(len(ls.outlines), func(i int) bool { return ls.outlines[i].before >= hi })
		shares[i] = ls.outlines[first:after]
		counts[i] = countOf(shares[i], ls.sagitta)
	})
	if err != nil {
		return err
	}
	var all chordCount
	for part, n := range counts {
		counts[part] = all // where its own begin
		all = chordCount{all.origins + n.origins, all.curves + n.curves, all.segments + n.segments}
	}
	if all.segments > mostShared {
		return ls.alone(ctx, sc)
	}
	in := ls.input
	err = parallel.Do(ctx, 2, func(i int) { // clearing what was made takes as long as half of the rest
		if i == 0 {
			in.segments = make([]segment, all.segments)
		} else {
			in.origins, in.curves = make([]origin, all.origins), make([]cubic, all.curves)
		}
	})
	if err != nil {
		return err
	}
	var parts [portions]chords
	var errs [portions]error
	err = parallel.Do(ctx, portions, func(i int) {
		n := counts[i]
		own := chords{origins: in.origins[:n.origins], curves: in.curves[:n.curves], segments: in.segments[:n.segments]}
		errs[i] = own.cut(unhurried(ctx), shares[i], ls.sagitta)
		parts[i] = own // once: what lies side by side goes to and fro between cores
	})
	for _, e := range errs {
		err = cmp.Or(err, e)
	}
	if err != nil {
		return err
	}
	in.segments, in.lo, in.hi = in.segments[:0], parts[0].lo, parts[0].hi
	for part := range parts {
		lo, hi := parts[part].lo, parts[part].hi
		in.lo, in.hi = Point{min(in.lo.X, lo.X), min(in.lo.Y, lo.Y)}, Point{max(in.hi.X, hi.X), max(in.hi.Y, hi.Y)}
		own, gap := parts[part].segments[counts[part].segments:], counts[part].segments-len(in.segments)
		if gap == 0 { // they are in their place
			in.segments = in.segments[:len(in.segments)+len(own)]
		} else { // something before came to nothing on the grid
			in.segments = append(in.segments, own...)
		}
		for _, first := range parts[part].rings {
			in.rings = append(in.rings, first-int32(gap))
		}
	}
	return nil
}

// startOf returns where a contour's segment starts.
func startOf(c *geometry.Contour, k int) geometry.Point {
	if k == 0 {
		return c.Start
	}
	return c.Segments[k-1].End
}

// chordCount is how many chords outlines are cut into, or a few less, and of how many
// source segments, some of them curves.
type chordCount struct{ origins, curves, segments int }

func countOf(list []outline, sagitta float64) (n chordCount) {
	for i := range list {
		c := list[i].contour
		for k := range c.Segments {
			if s := &c.Segments[k]; s.Cubic {
				n.curves++
				n.segments += s.Chords(startOf(c, k), sagitta) - 1
			}
		}
		n.segments += len(c.Segments)
		n.origins += len(c.Segments)
		a, _ := toGrid(c.Start)
		if b, _ := toGrid(c.End()); a != b { // it is closed
			n.origins++
			n.segments++
		}
	}
	return n
}

// chordEffort is what a chord takes here, in the units of pace.
const chordEffort = 5

// cut adds the chords of outlines.
func (c *chords) cut(p *pace, list []outline, sagitta float64) error {
	c.lo, c.hi = Point{math.MaxInt32, math.MaxInt32}, Point{math.MinInt32, math.MinInt32}
	for i := range list {
		o, before := &list[i], len(c.segments)
		if !c.contour(o.contour, o.origin, sagitta) {
			return &RangeError{Layer: int(o.origin.layer), Figure: int(o.origin.figure), At: firstOutside(o.contour)}
		}
		if err := p.spend(chordEffort * (len(c.segments) - before)); err != nil {
			return err
		}
	}
	return nil
}

// contour adds the chords of one contour, closed; it reports false when a
// coordinate has no place on the grid.
func (c *chords) contour(way *geometry.Contour, from origin, sagitta float64) bool {
	at, ok := toGrid(way.Start)
	if !ok {
		return false
	}
	first := len(c.segments)
	from.chords, from.curve = 1, -1
	for s := range way.Segments {
		seg := &way.Segments[s]
		from.segment = int32(s)
		if seg.Cubic {
			if at, ok = c.cubic(at, startOf(way, s), seg, from, sagitta); !ok {
				return false
			}
			continue
		}
		p, ok := toGrid(seg.End)
		if !ok {
			return false
		}
		if p != at {
			c.segments = append(c.segments, segment{at, p, int32(len(c.origins)), 0})
			at = p
		}
		c.origins = append(c.origins, from)
	}
	if start, _ := toGrid(way.Start); at != start {
		from.segment = int32(len(way.Segments))
		c.segments = append(c.segments, segment{at, start, int32(len(c.origins)), 0})
		c.origins = append(c.origins, from)
	}
	if len(c.segments) > first {
		c.rings = append(c.rings, int32(first))
		for i := first; i < len(c.segments); i++ { // every end is some segment's start
			p := c.segments[i].a
			c.lo = Point{min(c.lo.X, p.X), min(c.lo.Y, p.Y)}
			c.hi = Point{max(c.hi.X, p.X), max(c.hi.Y, p.Y)}
		}
	}
	return true
}

// cubic adds the chords of a curve, which starts at a point of the grid, and returns where
// it ends there.
func (c *chords) cubic(at Point, start geometry.Point, seg *geometry.Segment, from origin, sagitta float64) (Point, bool) {
	if !(seg.C1.Finite() && seg.C2.Finite()) {
		return at, false
	}
	n := seg.Chords(start, sagitta)
	o := int32(len(c.origins))
	from.chords, from.curve = int32(n), int32(len(c.curves))
	c.curves = append(c.curves, cubic{start, seg.C1, seg.C2, seg.End})
	c.origins = append(c.origins, from)
	out, cut := slices.Grow(c.segments, n), seg.Chorded(start, n)
	for k := 1; k <= n; k++ {
		end := seg.End
		if k < n {
			end = cut.End(k)
		}
		p, ok := toGrid(end)
		if !ok {
			return at, false
		}
		if p != at {
			out = append(out, segment{at, p, o, int32(k - 1)})
			at = p
		}
	}
	c.segments = out
	return at, true
}

// toGrid rounds a place to the grid, and reports false for what is not a
// number or lies beyond maxSteps.
//
// Error bound: each coordinate moves by at most ½ step (0.05 µm); splitting at
// hot pixels moves an edge by at most ½ step in each coordinate again, and so
// does each further round of it (see settle) for the few edges that it bends
// again: those that nearly coincide with others, as where shapes were drawn to
// abut. Half a step in x and in y is √½ step, so areas change by at most
// √½ step × perimeter for each of the first two, and by some steps × length on the
// edges of later rounds. Map.ShiftMM tells how
// far any edge was moved: 6 steps at most on 4,000 real files, 22 in 900 segments
// strewn over 25 µm, which is as dense as the grid.
func toGrid(p geometry.Point) (Point, bool) {
	x, y := math.Floor(p.X*StepsPerMM+0.5), math.Floor(p.Y*StepsPerMM+0.5)
	if !(math.Abs(x) <= maxSteps && math.Abs(y) <= maxSteps) { // false for NaN
		return Point{}, false
	}
	return Point{int32(x), int32(y)}, true
}

func firstOutside(c *geometry.Contour) geometry.Point {
	if _, ok := toGrid(c.Start); !ok {
		return c.Start
	}
	for _, s := range c.Segments {
		for _, p := range []geometry.Point{s.C1, s.C2, s.End} {
			if _, ok := toGrid(p); !ok {
				return p
			}
		}
	}
	return c.End()
}
