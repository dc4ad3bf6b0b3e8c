package planar

import (
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
	chords                          int32 // how many the segment was cut into
	curve                           int32 // index into input.curves, −1 for a straight line
}

// cubic is a source segment that is not straight.
type cubic struct {
	start geometry.Point
	curve geometry.Segment
}

// segment is one chord on the grid, in its contour's direction.
type segment struct {
	a, b   Point
	term   int32
	origin int32
	chord  int32 // which of the origin's chords, from 0
}

// chords are what contours were cut into.
type chords struct {
	origins  []origin
	curves   []cubic
	segments []segment
	rings    []int32 // first segment of each closed ring; ring follows ring; of use to Build alone
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
	term    int32
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
	ls := lister{input: &input{sagitta: sagitta}, outlines: sc.outlines[:0], clipIDs: map[*Clip]int32{}}
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
	*c = chords{c.origins[:0], c.curves[:0], c.segments[:0], c.rings[:0]}
	err := c.cut(unhurried(ctx), ls.outlines, ls.sagitta)
	ls.input.chords = chords{slices.Clone(c.origins), slices.Clone(c.curves), slices.Clone(c.segments), c.rings}
	return err
}

// chordsASegment is how many chords a segment of art makes, as a rule.
const chordsASegment = 4

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
		ls.outlines = append(ls.outlines, outline{contour, id, origin{layer: layer, figure: index, contour: int32(c)}, ls.segments})
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
			ls.clipIDs[clip] = id
		}
		ids = append(ids, id)
	}
	return ids
}

// share has workers cut a share of the outlines each, to where it stays.
func (ls *lister) share(ctx context.Context, sc *scratch) error {
	var shares [parallel.Workers][]outline
	var counts [parallel.Workers]chordCount
	err := parallel.Ranges(ctx, ls.segments, 0, func(part, lo, hi int) error {
		first := sort.Search(len(ls.outlines), func(i int) bool { return ls.outlines[i].before >= lo })
		after := sort.Search(len(ls.outlines), func(i int) bool { return ls.outlines[i].before >= hi })
		shares[part] = ls.outlines[first:after]
		counts[part] = countOf(shares[part], ls.sagitta)
		return nil
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
	in.chords = chords{origins: make([]origin, all.origins), curves: make([]cubic, all.curves), segments: make([]segment, all.segments)}
	var parts [parallel.Workers]chords
	err = parallel.Ranges(ctx, ls.segments, 0, func(part, _, _ int) error {
		n := counts[part]
		parts[part] = chords{origins: in.origins[:n.origins], curves: in.curves[:n.curves], segments: in.segments[:n.segments]}
		return parts[part].cut(unhurried(ctx), shares[part], ls.sagitta)
	})
	if err != nil {
		return err
	}
	// What came to nothing on the grid leaves a gap behind.
	in.segments = in.segments[:0]
	for part := range parts {
		gap := int32(counts[part].segments - len(in.segments))
		in.segments = append(in.segments, parts[part].segments[counts[part].segments:]...)
		for _, first := range parts[part].rings {
			in.rings = append(in.rings, first-gap)
		}
	}
	return nil
}

// chordCount is how many chords outlines are cut into, or a few less, and of how many
// source segments, some of them curves.
type chordCount struct{ origins, curves, segments int }

func countOf(list []outline, sagitta float64) (n chordCount) {
	for i := range list {
		c := list[i].contour
		last := c.Start
		for k := range c.Segments {
			s := &c.Segments[k]
			n.segments += s.Chords(last, sagitta)
			if s.Cubic {
				n.curves++
			}
			last = s.End
		}
		n.origins += len(c.Segments)
		a, _ := toGrid(c.Start)
		if b, _ := toGrid(last); a != b { // it is closed
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
	for i := range list {
		o, before := &list[i], len(c.segments)
		if !c.contour(o.contour, o.term, o.origin, sagitta) {
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
func (c *chords) contour(way *geometry.Contour, id int32, from origin, sagitta float64) bool {
	start, ok := toGrid(way.Start)
	if !ok {
		return false
	}
	at, last, first := start, way.Start, len(c.segments)
	for s, seg := range way.Segments {
		if seg.Cubic && !(seg.C1.Finite() && seg.C2.Finite()) {
			return false
		}
		n := seg.Chords(last, sagitta)
		o := int32(len(c.origins))
		from.segment, from.chords, from.curve = int32(s), int32(n), -1
		if seg.Cubic {
			from.curve = int32(len(c.curves))
			c.curves = append(c.curves, cubic{last, seg})
		}
		c.origins = append(c.origins, from)
		for k := 1; k <= n; k++ {
			end := seg.End
			if k < n {
				end = seg.Chord(last, k, n)
			}
			p, ok := toGrid(end)
			if !ok {
				return false
			}
			if p != at {
				c.segments = append(c.segments, segment{at, p, id, o, int32(k - 1)})
				at = p
			}
		}
		last = seg.End
	}
	if at != start {
		from.segment, from.chords, from.curve = int32(len(way.Segments)), 1, -1
		c.segments = append(c.segments, segment{at, start, id, int32(len(c.origins)), 0})
		c.origins = append(c.origins, from)
	}
	if len(c.segments) > first {
		c.rings = append(c.rings, int32(first))
	}
	return true
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
