package thing

import (
	"context"
	"fmt"
	"math"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
)

// Kind is what a thing is.
type Kind uint8

const (
	// Figure is anything that is neither narrow all along nor small and round.
	Figure Kind = iota
	// Line is narrow all along, such as a pen's stroke, a ray or a ring.
	Line
	// Dash is a line of a run of them.
	Dash
	// Dot is small and about as high as it is wide.
	Dot
	// Letter is one of several in a row, or of a text.
	Letter
)

// String returns the kind's id in words.
func (k Kind) String() string { return [...]string{"figure", "line", "dash", "dot", "letter"}[k] }

// Thing is a connected part of a shape of a layer, whatever lies over it. Lengths
// are millimetres on the board.
type Thing struct {
	Kind Kind
	// Shape indexes the layer's shapes.
	Shape int
	// Outline is closed polygons, even-odd, outer contours clockwise on screen.
	Outline geometry.Path
	Bounds  geometry.Rect
	AreaMM2 float64
	// WidthMM is the mean width of what is narrow: of a strip as long as half its
	// outline.
	WidthMM float64
	// Holed: there are holes in it.
	Holed bool
	// Group is the same for all that are alike, or letters of one word.
	Group int

	// Text is the same for all letters that the file, or the job, sets as one text; empty for what only looks like letters.
	Text string

	// Stroke: the file said that a pen drew it.
	Stroke bool

	ends []end
	line []geometry.Point // the open one that a pen drew it along, if it is one
	nth  int              // of its shape's dashes it is, if it is one
	caps lineCap          // and how it ends
	// grown is by how much it was drawn broader, to each side, at its straight ends.
	grown float64
	// strands are the narrow contours that it is made of, if it is, and meanMM is how broad it is on the whole where WidthMM is
	// that of the narrowest of them.
	strands []strand
	meanMM  float64
	// inside tells what the outline encloses, and rings are its corners, once that was asked.
	inside *geometry.Enclosure
	rings  []ring
}

// end is where a line was cut off straight: its middle, and which way it went on.
type end struct{ at, out geometry.Point }

// Find lists the things of a layer's shapes, which m takes to the board, in the
// order of the shapes. text says that they are the letters of a text. Errors as
// planar.Build.
func Find(ctx context.Context, shapes []job.Shape, m geometry.Affine, text bool) ([]Thing, error) {
	var out []Thing
	for i := range shapes {
		s := &shapes[i]
		d, err := planar.Region(ctx, planar.Layer{Figures: []planar.Figure{{Path: s.Path.Transform(m), Rule: s.Rule}}},
			planar.RegionOptions{Options: planar.Options{SagittaMM: sagittaMM}})
		if err != nil {
			return nil, err
		}
		first := len(out)
		for k := range d.Pieces {
			t := Thing{Shape: i, Outline: d.Outline(k), Bounds: d.Pieces[k].Bounds, AreaMM2: d.Pieces[k].AreaMM2()}
			t.Holed = len(d.Pieces[k].Rings) > 1
			t.WidthMM = stripWidth(t.AreaMM2, d.CutLengthMM(k), t.Holed)
			t.meanMM = t.WidthMM
			t.Kind = t.look()
			out = append(out, t)
		}
		if s.Centre != nil {
			strokes(out[first:], s.Centre.Transform(m))
		} else if contours := s.Path.Transform(m); len(contours) > 1 {
			for k := range out[first:] {
				t := &out[first+k]
				if t.strands, err = strandsOf(ctx, t, contours); err != nil {
					return nil, err
				}
				for _, s := range t.strands {
					t.WidthMM = math.Min(t.WidthMM, s.widthMM)
				}
			}
		}
		if text || s.IsText() {
			for k := range out[first:] {
				out[first+k].Kind, out[first+k].Text = Letter, fmt.Sprint("text ", s.Element, s.Line)
			}
		}
	}
	group(out)
	return out, nil
}

// sagittaMM is how far chords may stray from the curves of what is drawn anew: half
// of what is usual, since the chords of two curves come together in it.
const sagittaMM = 0.005

// shortTimes is how many times as long as broad what a pen drew is at least to be a line.
const shortTimes = 1.2

// strokes sees to things that a pen drew along lines: how broad its tip was, and
// where it was cut off straight.
func strokes(things []Thing, centre geometry.Path) {
	length := 0.0
	flat := centre.Flatten(sagittaMM)
	for _, c := range flat {
		for a, b := range sides(c) {
			length += b.Sub(a).Len()
		}
	}
	area := 0.0
	for i := range things {
		area += things[i].AreaMM2
	}
	for i := range things {
		t := &things[i]
		t.Stroke = true
		// A short line is no dot: it grows across, not along.
		if t.Kind == Figure || t.Kind == Dot && length > shortTimes*t.WidthMM*float64(len(things)) {
			t.Kind = Line
		}
		t.findEnds(flat)
	}
	if len(things) == 1 && length > 0 {
		// Where lines cross, the area counts once and the length twice.
		t := &things[0]
		t.WidthMM = math.Max(t.WidthMM, area/length)
	}
	if len(centre) >= len(things) {
		openLines(things, flat)
	}
}

// findEnds finds where a stroke along open lines was cut off straight.
func (t *Thing) findEnds(centre geometry.Path) {
	inside := geometry.NewEnclosure(t.Outline)
	for _, c := range centre {
		if c.Closed || len(c.Segments) == 0 || !inside.Holds(c.Start.Lerp(c.Segments[0].End, 1e-3)) {
			continue
		}
		last := len(c.Segments) - 1
		before := c.Start
		if last > 0 {
			before = c.Segments[last-1].End
		}
		for _, e := range [][2]geometry.Point{{c.Start, c.Segments[0].End}, {c.End(), before}} {
			way := e[0].Sub(e[1])
			if l := way.Len(); l > 0 {
				way = way.Mul(1 / l)
				// A round or a square end reaches half a width further.
				if !inside.Holds(e[0].Add(way.Mul(t.WidthMM / 8))) {
					t.ends = append(t.ends, end{e[0], way})
				}
			}
		}
	}
}

// Gap returns the least distance between two things of a group, 0 for those that
// touch; a large one where none are near.
func Gap(things []Thing, group int) float64 {
	gap := math.Inf(1)
	for i := range things {
		if things[i].Group != group {
			continue
		}
		for k := range i {
			a, b := &things[i], &things[k]
			if b.Group != group || a.Bounds.Grow(gap).Intersect(b.Bounds).Empty() {
				continue
			}
			gap = closer(a.Outline, b.Outline, gap)
		}
	}
	return gap
}

// closer returns the least distance between polygons that do not cross, or what is known to be no
// larger.
func closer(a, b geometry.Path, least float64) float64 {
	for _, x := range [...][2]geometry.Path{{a, b}, {b, a}} {
		for _, c := range x[0] {
			for p := range c.Sides() {
				if x[1].Nears(p, least) { // most are further off, which takes less to tell
					least = x[1].Distance(p)
				}
			}
		}
	}
	return least
}

// nearer reports whether the least distance between polygons that do not cross is below another one.
func nearer(a, b geometry.Path, within float64) bool {
	for _, x := range [...][2]geometry.Path{{a, b}, {b, a}} {
		for _, c := range x[0] {
			for p := range c.Sides() {
				if x[1].Nears(p, within) {
					return true
				}
			}
		}
	}
	return false
}
