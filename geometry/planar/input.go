package planar

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
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

// input is Build's argument on the grid.
type input struct {
	terms    []term
	clips    [][]int32 // terms of each clip
	origins  []origin
	curves   []cubic
	segments []segment
	rings    []int32 // first segment of each closed ring; ring follows ring; of use to Build alone
	sagitta  float64
	clipIDs  map[*Clip]int32
	pace     *pace
}

// ring returns the first segment of a ring and the one after its last.
func (in *input) ring(r int) (first, last int32) {
	if r+1 < len(in.rings) {
		return in.rings[r], in.rings[r+1]
	}
	return in.rings[r], int32(len(in.segments))
}

// quantise cuts the layers' curves into chords within sagitta and puts them on
// the grid. Its errors are *RangeError and the context's.
func quantise(ctx context.Context, layers []Layer, sagitta float64, sc *scratch) (*input, error) {
	in := &sc.input
	segments, chords := sizes(layers, sagitta)
	large := chords > manyChords
	if large {
		in = &input{origins: make([]origin, 0, segments), segments: make([]segment, 0, chords)}
	}
	*in = input{
		origins: in.origins[:0], curves: in.curves[:0], segments: in.segments[:0], rings: in.rings[:0],
		sagitta: sagitta, clipIDs: map[*Clip]int32{}, pace: unhurried(ctx),
	}
	defer func() { in.clipIDs, in.pace = nil, nil }()
	for l, layer := range layers {
		for f, fig := range layer.Figures {
			if err := in.figure(fig, int32(l), int32(f)); err != nil {
				return nil, err
			}
		}
	}
	if large {
		return in, nil
	}
	// What stays with the map is no larger than it must be.
	out := &input{
		terms: in.terms, clips: in.clips, sagitta: sagitta,
		origins: slices.Clone(in.origins), curves: slices.Clone(in.curves), segments: slices.Clone(in.segments), rings: in.rings,
	}
	in.terms, in.clips = nil, nil
	return out, nil
}

// manyChords are read to where they stay. Fewer are copied there, so that none but
// they stay; counting the chords of curves beforehand would take longer.
const manyChords = 1 << 15

// sizes counts the layers' source segments and at least as many chords, clips aside.
// Of few it does not tell how many.
func sizes(layers []Layer, sagitta float64) (segments, chords int) {
	for _, layer := range layers {
		for _, fig := range layer.Figures {
			for _, c := range fig.Path {
				segments += len(c.Segments) + 1
			}
		}
	}
	if segments < manyChords/8 {
		return segments, segments
	}
	for _, layer := range layers {
		for _, fig := range layer.Figures {
			for _, c := range fig.Path {
				from := c.Start
				for i := range c.Segments {
					chords += c.Segments[i].Chords(from, sagitta)
					from = c.Segments[i].End
				}
				chords++
			}
		}
	}
	return segments, min(chords, 1<<20)
}

// figure adds a layer's figure, or with layer −1 a clip's.
func (in *input) figure(fig Figure, layer, index int32) error {
	clips, err := in.clipsOf(fig)
	if err != nil {
		return err
	}
	id := int32(len(in.terms))
	in.terms = append(in.terms, term{fig.Rule, layer, clips})
	for c, contour := range fig.Path {
		chords := len(in.segments)
		if !in.contour(contour, id, origin{layer: layer, figure: index, contour: int32(c)}) {
			return &RangeError{Layer: int(layer), Figure: int(index), At: firstOutside(contour)}
		}
		if err := in.pace.spend(chordEffort * (len(in.segments) - chords)); err != nil {
			return err
		}
	}
	return nil
}

func (in *input) clipsOf(fig Figure) ([]int32, error) {
	var ids []int32
	for _, clip := range fig.Clips {
		id, known := in.clipIDs[clip]
		if !known {
			var terms []int32
			for i, f := range clip.Figures {
				if err := in.figure(f, -1, int32(i)); err != nil {
					return nil, err
				}
				// The figure's own clips come first, so its term is the last.
				terms = append(terms, int32(len(in.terms)-1))
			}
			id = int32(len(in.clips))
			in.clips = append(in.clips, terms)
			in.clipIDs[clip] = id
		}
		ids = append(ids, id)
	}
	return ids, nil
}

// chordEffort is what a chord takes here, in the units of pace.
const chordEffort = 5

// contour adds the chords of one contour, closed; it reports false when a
// coordinate has no place on the grid.
func (in *input) contour(c geometry.Contour, id int32, from origin) bool {
	start, ok := toGrid(c.Start)
	if !ok {
		return false
	}
	at, last, first := start, c.Start, len(in.segments)
	for s, seg := range c.Segments {
		if seg.Cubic && !(seg.C1.Finite() && seg.C2.Finite()) {
			return false
		}
		n := seg.Chords(last, in.sagitta)
		o := int32(len(in.origins))
		from.segment, from.chords, from.curve = int32(s), int32(n), -1
		if seg.Cubic {
			from.curve = int32(len(in.curves))
			in.curves = append(in.curves, cubic{last, seg})
		}
		in.origins = append(in.origins, from)
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
				in.segments = append(in.segments, segment{at, p, id, o, int32(k - 1)})
				at = p
			}
		}
		last = seg.End
	}
	if at != start {
		from.segment, from.chords, from.curve = int32(len(c.Segments)), 1, -1
		in.segments = append(in.segments, segment{at, start, id, int32(len(in.origins)), 0})
		in.origins = append(in.origins, from)
	}
	if len(in.segments) > first {
		in.rings = append(in.rings, int32(first))
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

func firstOutside(c geometry.Contour) geometry.Point {
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
