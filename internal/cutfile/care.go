package cutfile

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/parallel"
)

// Care is what helps with cutting and weeding beyond the pieces' own lines. The zero
// value adds none of it.
type Care struct {
	// OvercutMM is how far a closed line is cut on over its beginning, so that its
	// ends part although knife and paper give a little.
	OvercutMM float64
	// Weeding adds lines that divide large waste into strips to peel, and a box around
	// small work to lift its waste by.
	Weeding bool
}

// The lines that help to weed. They are common sense rather than measured: none of
// these lengths is critical.
const (
	// ClearMM is how far such lines stay away from pieces and marks: the bridge that
	// is left holds until it is pulled.
	ClearMM = 0.5
	// stripMM is how broad strips are at most.
	stripMM = 30
	// leastLineMM is the shortest line that is worth a cut: shorter waste is no longer
	// large.
	leastLineMM = 8
	// boxMM is how far the box lies outside the work; it is on the trimmed sheet, too.
	boxMM = 3
	// smallMM is the longer side of work that gets a box. Of larger work, and where
	// a sheet has no room for one, the waste reaches to the sheet's edge anyway, and is
	// lifted there.
	smallMM = 150
)

// ForCutting returns the page as it is cut: contours in an order that holds and
// travels little, each begun on a straight run, with what is asked for in care. A
// page that is no sheet may become larger by a box. The error is the context's.
func (p *Page) ForCutting(ctx context.Context, care Care) (*Page, error) {
	out := *p
	out.Separations = slices.Clone(p.Separations)
	err := parallel.Do(ctx, len(out.Separations), func(i int) {
		s := &out.Separations[i]
		s.Contours = inOrder(ctx, s.Contours)
		s.Marks = inOrder(ctx, s.Marks)
		if s.Frame != nil {
			s.Frame = &inOrder(ctx, []Contour{*s.Frame})[0]
		}
		if care.Weeding {
			s.weed(out.holds)
		}
		if care.OvercutMM > 0 {
			for k := range s.Contours {
				s.Contours[k].Over = s.Contours[k].beginning(care.OvercutMM)
			}
			for _, c := range []**Contour{&s.Frame, &s.Box} {
				if *c != nil {
					d := **c
					d.Over = d.beginning(care.OvercutMM)
					*c = &d
				}
			}
		}
	})
	if err != nil {
		return nil, err
	}
	out.grow()
	return &out, nil
}

// AidsMM is how much longer the knife's way is by what helps with cutting and weeding:
// lines through waste, a box, and what is cut on over the beginning of closed lines.
func (s *Separation) AidsMM() (sum float64) {
	along := func(from Point, way []Segment) {
		for _, g := range way {
			sum, from = sum+lengthOf(from, g), g.End
		}
	}
	for _, c := range s.Weeding {
		along(c.Start, c.Segments)
	}
	over := s.Contours
	if s.Box != nil {
		along(s.Box.Start, s.Box.Segments)
		over = append(slices.Clip(over), *s.Box)
	}
	if s.Frame != nil {
		over = append(slices.Clip(over), *s.Frame)
	}
	for _, c := range over {
		along(c.Start, c.Over)
	}
	return sum
}

// beginning returns the first so many millimetres of a contour, all of a shorter one.
func (c Contour) beginning(mm float64) (out []Segment) {
	at := c.Start
	for _, s := range closing(c) {
		length := lengthOf(at, s)
		if length >= mm {
			return append(out, partOf(at, s, mm, length))
		}
		out, at, mm = append(out, s), s.End, mm-length
	}
	return out
}

// chords is how many a curve's length is measured by: within a thousandth of it.
const chords = 64

func lengthOf(from Point, s Segment) (sum float64) {
	a, g := from.MM(), s.MM()
	if !s.Cubic {
		return g.End.Sub(a).Len()
	}
	at := a
	for k := range chords {
		b := g.At(a, float64(k+1)/chords)
		sum, at = sum+b.Sub(at).Len(), b
	}
	return sum
}

// partOf is the beginning of a segment of this length, as long as mm.
func partOf(from Point, s Segment, mm, length float64) Segment {
	a, g := from.MM(), s.MM()
	t := mm / length
	if s.Cubic {
		at := a
		for k := range chords {
			b := g.At(a, float64(k+1)/chords)
			d := b.Sub(at).Len()
			if d >= mm {
				t = (float64(k) + mm/d) / chords
				break
			}
			mm, at = mm-d, b
		}
	}
	_, part := g.Sub(a, 0, t)
	on := func(q geometry.Point) Point { return Point{ToSteps(q.X), ToSteps(q.Y)} }
	return Segment{C1: on(part.C1), C2: on(part.C2), End: on(part.End), Cubic: s.Cubic}
}

// holds reports whether there is room for a box on the page.
func (p *Page) holds(box Contour) bool {
	page := geometry.Rect{Max: Point{p.Width, p.Height}.MM()}
	return !p.IsSheet || page.Encloses(geometry.Path{box.MM()}.Bounds())
}

// weed adds lines that help to weed. Waste is what lies in the frame, in the box or,
// with neither, as near to the work as a box would.
func (s *Separation) weed(holds func(box Contour) bool) {
	var keep geometry.Path
	for _, c := range slices.Concat(s.Contours, s.Marks) {
		keep = append(keep, c.MM())
	}
	keep = keep.Flatten(flatMM)
	all := keep.Bounds()
	if all.Empty() {
		return
	}
	around := boxAround(all)
	if s.Frame == nil && max(all.Width(), all.Height()) <= smallMM && holds(around) {
		s.Box = &around
	}
	outer := geometry.Path{around.MM()}
	if s.Frame != nil {
		outer = geometry.Path{s.Frame.MM()}.Flatten(flatMM)
	}
	box := outer.Bounds()
	turned := box.Height() > box.Width() // strips run across the longer side
	length := max(box.Width(), box.Height())
	n := math.Ceil(length / stripMM)
	for k := 1.0; k < n; k++ {
		level := box.Min.X + length*k/n
		if turned {
			level = box.Min.Y + length*k/n
		}
		for _, x := range clearParts(keep, outer, ToSteps(level).MM(), !turned) {
			a, b := Point{ToSteps(x[0]), ToSteps(level)}, Point{ToSteps(x[1]), ToSteps(level)}
			if !turned {
				a, b = Point{a.Y, a.X}, Point{b.Y, b.X}
			}
			s.Weeding = append(s.Weeding, Contour{Start: a, Segments: []Segment{{End: b}}})
		}
	}
	// There and back again, not from the same end each time.
	for k := 1; k < len(s.Weeding); k += 2 {
		w := &s.Weeding[k]
		w.Start, w.Segments = w.Segments[0].End, []Segment{{End: w.Start}}
	}
}

func boxAround(r geometry.Rect) Contour {
	x0, y0 := ToSteps(r.Min.X-boxMM), ToSteps(r.Min.Y-boxMM)
	x1, y1 := ToSteps(r.Max.X+boxMM), ToSteps(r.Max.Y+boxMM)
	mid := (x0 + x1) / 2
	return Contour{Start: Point{mid, y0}, Segments: []Segment{{End: Point{x1, y0}}, {End: Point{x1, y1}}, {End: Point{x0, y1}}, {End: Point{x0, y0}}}}
}

// flatMM is how far chords lie from curves where distances are taken; what is
// kept away from is kept away from by so much more.
const flatMM = 0.005

// clearParts returns the parts of a line, at a level of y or, when upright, of x, that lie
// in an outline and at least ClearMM from all that is kept and not in it.
func clearParts(keep, outer geometry.Path, level float64, upright bool) [][2]float64 {
	if upright {
		swap := geometry.Affine{B: 1, C: 1}
		keep, outer = keep.Transform(swap), outer.Transform(swap)
	}
	blocked := inside(keep, level)
	const r = ClearMM + 2*flatMM
	for _, c := range keep {
		for a, b := range c.Sides() {
			if x, ok := near(a, b, level, r); ok {
				blocked = append(blocked, x)
			}
		}
	}
	slices.SortFunc(blocked, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out [][2]float64
	for _, x := range inside(outer, level) {
		from := x[0]
		for _, b := range append(blocked, [2]float64{x[1], x[1]}) {
			if end := min(b[0], x[1]); end-from >= leastLineMM {
				out = append(out, [2]float64{from, end})
			}
			from = max(from, b[1])
		}
	}
	return out
}

// inside returns where a level lies in an outline, by the even-odd rule.
func inside(p geometry.Path, y float64) (out [][2]float64) {
	var xs []float64
	for _, c := range p {
		for a, b := range c.Sides() {
			if (a.Y > y) != (b.Y > y) {
				xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	slices.Sort(xs)
	for i := 0; i+1 < len(xs); i += 2 {
		out = append(out, [2]float64{xs[i], xs[i+1]})
	}
	return out
}

// near returns where a level comes nearer than r to a side: to its ends, or to the
// straight way between. What is near a straight line is convex, so it is one part.
func near(a, b geometry.Point, y, r float64) (x [2]float64, ok bool) {
	if min(a.Y, b.Y)-r >= y || max(a.Y, b.Y)+r <= y {
		return x, false
	}
	x = [2]float64{math.Inf(1), math.Inf(-1)}
	add := func(v float64) { x = [2]float64{min(x[0], v), max(x[1], v)} }
	for _, p := range []geometry.Point{a, b} {
		if h := y - p.Y; math.Abs(h) < r {
			w := math.Sqrt(r*r - h*h)
			add(p.X - w)
			add(p.X + w)
		}
	}
	if d := b.Sub(a); d.Len() > 0 {
		side := geometry.Pt(-d.Y, d.X).Mul(r / d.Len())
		corners := []geometry.Point{a.Add(side), b.Add(side), b.Sub(side), a.Sub(side)}
		for i, p := range corners {
			q := corners[(i+1)%len(corners)]
			if (p.Y > y) != (q.Y > y) {
				add(p.X + (y-p.Y)/(q.Y-p.Y)*(q.X-p.X))
			}
		}
	}
	return x, x[0] < x[1]
}

// grow makes the page as large as all boxes need, all from one origin still.
func (p *Page) grow() {
	least, most := Point{}, Point{p.Width, p.Height}
	for _, s := range p.Separations {
		if s.Box != nil {
			for _, g := range s.Box.Segments {
				least = Point{min(least.X, g.End.X), min(least.Y, g.End.Y)}
				most = Point{max(most.X, g.End.X), max(most.Y, g.End.Y)}
			}
		}
	}
	if least == (Point{}) && most == (Point{p.Width, p.Height}) {
		return
	}
	p.BoardToPage = geometry.Translate((most.X - p.Width).MM(), -least.Y.MM()).Mul(p.BoardToPage)
	p.Width, p.Height = most.X-least.X, most.Y-least.Y
	by := func(q Point) Point { return Point{q.X - least.X, q.Y - least.Y} }
	for i := range p.Separations {
		s := &p.Separations[i]
		s.Contours, s.Marks, s.Weeding = movedAll(s.Contours, by), movedAll(s.Marks, by), movedAll(s.Weeding, by)
		for _, c := range []**Contour{&s.Frame, &s.Box} {
			if *c != nil {
				d := (*c).moved(by)
				*c = &d
			}
		}
		s.Pieces = slices.Clone(s.Pieces)
		for k := range s.Pieces {
			s.Pieces[k].Inside = by(s.Pieces[k].Inside)
		}
		s.Min, s.Max = by(s.Min), by(s.Max)
	}
	p.Drawings = slices.Clone(p.Drawings)
	for i := range p.Drawings {
		d := &p.Drawings[i]
		d.Lines = slices.Clone(d.Lines)
		for k := range d.Lines {
			d.Lines[k].Contour = d.Lines[k].moved(by)
		}
	}
}

func movedAll(cs []Contour, by func(Point) Point) []Contour {
	out := make([]Contour, len(cs))
	for i, c := range cs {
		out[i] = c.moved(by)
	}
	return out
}

func (c Contour) moved(by func(Point) Point) Contour {
	segments := func(in []Segment) []Segment {
		out := slices.Clone(in)
		for i, s := range out {
			out[i].End = by(s.End)
			if s.Cubic {
				out[i].C1, out[i].C2 = by(s.C1), by(s.C2)
			}
		}
		return out
	}
	return Contour{by(c.Start), segments(c.Segments), segments(c.Over)}
}
