package fit

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// Drawing is what a pen draws on one sheet, in the same pass and before
// anything is cut from it: the lines of all drawn layers of one colour, as far
// as they lie on the sheet's pieces.
type Drawing struct {
	Separation int
	Colour     colour.RGB
	// Name is a plain name of the pen's colour.
	Name   string
	Layers []job.LayerID
	// Lines are open or closed. They are the centres of the art's strokes where
	// the file said what those were, else outlines.
	Lines    geometry.Path
	LengthMM float64
}

// OffLines are lines of drawn layers that lie on no piece: the backing takes no
// ink, so they are not drawn.
type OffLines struct {
	LengthMM float64
	// At is the middle of the first one.
	At     geometry.Point
	Layers []job.LayerID
	names  []string
}

// penLine is a line of a drawn layer, before it is known what it lies on.
type penLine struct {
	contour geometry.Contour
	layer   job.LayerID
	name    string
	colour  colour.RGB
}

const (
	// penSagittaMM is how finely curves become chords where they cross the edge
	// of a piece; a pen's own line is far wider.
	penSagittaMM = 0.01
	// penReachMM: a line as near to a piece counts as on it, so that the line
	// around a piece does. It is less than any pen's own width.
	penReachMM = 0.05
	// offLinesMM is how much may lie on no piece without a word: the width of a
	// fine pen.
	offLinesMM = 0.3
)

// penLines lists the lines of the layers that are drawn: the centres of strokes,
// and around all else that a layer covers. Errors as Compute.
func penLines(ctx context.Context, placed []placedLayer) ([]penLine, error) {
	var out []penLine
	conv := converter{clips: map[clipKey]boundedClip{}}
	for _, p := range placed {
		if p.layer.Use != job.Drawn {
			continue
		}
		var filled []job.Shape
		for i := range p.shapes {
			s := &p.shapes[i]
			if s.Centre == nil {
				filled = append(filled, *s)
				continue
			}
			for _, c := range s.Centre.Transform(p.transform) {
				out = append(out, penLine{c, p.layer.ID, p.layer.Name, p.layer.Colour})
			}
		}
		if len(filled) == 0 {
			continue
		}
		around, err := outline(ctx, &conv, filled, p)
		if err != nil {
			return nil, err
		}
		for _, c := range around {
			c.Closed = true
			out = append(out, penLine{c, p.layer.ID, p.layer.Name, p.layer.Colour})
		}
	}
	return out, nil
}

// outline returns the line around all that shapes of a layer cover.
func outline(ctx context.Context, conv *converter, shapes []job.Shape, p placedLayer) (geometry.Path, error) {
	figures, _ := conv.figures(shapes, p.transform)
	m, err := planar.Build(ctx, []planar.Layer{{Figures: figures}}, planar.Options{})
	if err != nil {
		return nil, explain(err, []placedLayer{p})
	}
	labels := make([]int32, m.NumFaces())
	for f := range labels {
		labels[f] = planar.None
		if len(m.Cover(planar.FaceID(f))) > 0 {
			labels[f] = 0
		}
	}
	m.Heal(labels, HealMM)
	d := m.Divide(labels)
	if err := d.Smooth(ctx); err != nil {
		return nil, err
	}
	var out geometry.Path
	for i := range d.Pieces {
		out = append(out, d.Outline(i)...)
	}
	return out, nil
}

// addDrawings lays the plan's pen lines on the pieces that are cut.
func (p *Plan) addDrawings() {
	p.Drawings, p.Off = nil, OffLines{}
	if len(p.pen) == 0 || len(p.Separations) == 0 {
		return
	}
	sheets := make([]*edges, len(p.Separations))
	for k := range sheets {
		sheets[k] = newEdges(p.Separations[k].Outline)
	}
	type key struct {
		separation int
		colour     colour.RGB
	}
	at := map[key]int{}
	for _, line := range p.pen {
		c, name, id := line.colour, line.name, line.layer
		for _, run := range split(line.contour, sheets) {
			length := lengthMM(run.line)
			if run.on < 0 {
				if p.Off.LengthMM == 0 {
					p.Off.At = middle(run.line)
				}
				p.Off.LengthMM += length
				if !slices.Contains(p.Off.Layers, id) {
					p.Off.Layers = append(p.Off.Layers, id)
					p.Off.names = append(p.Off.names, name)
				}
				continue
			}
			k := key{run.on, c}
			i, ok := at[k]
			if !ok {
				i = len(p.Drawings)
				at[k] = i
				p.Drawings = append(p.Drawings, Drawing{Separation: run.on, Colour: c, Name: colour.Word(c)})
			}
			d := &p.Drawings[i]
			d.Lines = append(d.Lines, run.line)
			d.LengthMM += length
			if !slices.Contains(d.Layers, id) {
				d.Layers = append(d.Layers, id)
			}
		}
	}
	slices.SortStableFunc(p.Drawings, func(a, b Drawing) int { return a.Separation - b.Separation })
}

// run is a part of a line that lies on one separation, −1 for none.
type run struct {
	line geometry.Contour
	on   int
}

// split cuts a line where it goes from one separation to another. One that lies
// on a single separation stays as it is, curves and all.
func split(c geometry.Contour, sheets []*edges) []run {
	flat := geometry.Path{c}.Flatten(penSagittaMM)[0]
	points := []geometry.Point{flat.Start}
	for _, s := range flat.Segments {
		points = append(points, s.End)
	}
	if c.Closed && flat.End() != flat.Start {
		points = append(points, flat.Start)
	}
	var runs []run
	var cuts []float64
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if a == b {
			continue
		}
		cuts = append(cuts[:0], 0, 1)
		for _, e := range sheets {
			cuts = e.crossings(a, b, cuts)
		}
		slices.Sort(cuts)
		for k := 1; k < len(cuts); k++ {
			if cuts[k] <= cuts[k-1] {
				continue
			}
			from, to := a.Lerp(b, cuts[k-1]), a.Lerp(b, cuts[k])
			on := lieOn(from.Lerp(to, 0.5), sheets)
			if n := len(runs); n > 0 && runs[n-1].on == on {
				runs[n-1].line.Segments = append(runs[n-1].line.Segments, geometry.LineTo(to))
				continue
			}
			runs = append(runs, run{geometry.Contour{Start: from, Segments: []geometry.Segment{geometry.LineTo(to)}}, on})
		}
	}
	switch n := len(runs); {
	case n == 1:
		runs[0].line = c
	case n > 2 && c.Closed && runs[0].on == runs[n-1].on:
		// It began in the middle of a run.
		last := runs[n-1].line
		last.Segments = append(last.Segments, runs[0].line.Segments...)
		runs[0].line = last
		runs = runs[:n-1]
	}
	return runs
}

// lieOn returns the separation that a place lies on, the first of those that it
// is near enough to, or −1.
func lieOn(p geometry.Point, sheets []*edges) int {
	const r = penReachMM
	for k, e := range sheets {
		if e.encloses(p) || e.encloses(p.Add(geometry.Pt(r, 0))) || e.encloses(p.Add(geometry.Pt(-r, 0))) ||
			e.encloses(p.Add(geometry.Pt(0, r))) || e.encloses(p.Add(geometry.Pt(0, -r))) {
			return k
		}
	}
	return -1
}

// edges are the chords of a separation's outline, sorted into level bands.
type edges struct {
	bounds geometry.Rect
	height float64
	bands  [][][2]geometry.Point
}

func newEdges(o geometry.Path) *edges {
	flat := o.Flatten(penSagittaMM)
	n := 0
	for _, c := range flat {
		n += len(c.Segments) + 1
	}
	e := &edges{bounds: flat.Bounds()}
	count := min(max(n/4, 1), 4096)
	e.bands = make([][][2]geometry.Point, count)
	e.height = e.bounds.Height() / float64(count)
	for _, c := range flat {
		from := c.Start
		add := func(to geometry.Point) {
			if from != to {
				for k := e.band(math.Min(from.Y, to.Y)); k <= e.band(math.Max(from.Y, to.Y)); k++ {
					e.bands[k] = append(e.bands[k], [2]geometry.Point{from, to})
				}
			}
			from = to
		}
		for _, s := range c.Segments {
			add(s.End)
		}
		add(c.Start)
	}
	return e
}

func (e *edges) band(y float64) int {
	if !(e.height > 0) {
		return 0
	}
	return max(0, min(int((y-e.bounds.Min.Y)/e.height), len(e.bands)-1))
}

// encloses reports whether the outline encloses p by the even-odd rule.
func (e *edges) encloses(p geometry.Point) bool {
	if !e.bounds.Contains(p) {
		return false
	}
	in := false
	for _, s := range e.bands[e.band(p.Y)] {
		a, b := s[0], s[1]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// crossings appends where on the way from a (0) to b (1) the outline is crossed;
// the same crossing may come more than once.
func (e *edges) crossings(a, b geometry.Point, dst []float64) []float64 {
	box := geometry.Rect{Min: a, Max: a}.Union(geometry.Rect{Min: b, Max: b})
	if box.Max.X < e.bounds.Min.X || box.Min.X > e.bounds.Max.X || box.Max.Y < e.bounds.Min.Y || box.Min.Y > e.bounds.Max.Y {
		return dst
	}
	d := b.Sub(a)
	for k := e.band(box.Min.Y); k <= e.band(box.Max.Y); k++ {
		for _, s := range e.bands[k] {
			f := s[1].Sub(s[0])
			den := d.Cross(f)
			if den == 0 {
				continue
			}
			w := s[0].Sub(a)
			t, u := w.Cross(f)/den, w.Cross(d)/den
			if t > 0 && t < 1 && u >= 0 && u <= 1 {
				dst = append(dst, t)
			}
		}
	}
	return dst
}

func lengthMM(c geometry.Contour) float64 {
	sum := 0.0
	flat := geometry.Path{c}.Flatten(penSagittaMM)[0]
	from := flat.Start
	for _, s := range flat.Segments {
		sum += s.End.Sub(from).Len()
		from = s.End
	}
	if c.Closed {
		sum += flat.Start.Sub(from).Len()
	}
	return sum
}

// middle returns a place half along a line.
func middle(c geometry.Contour) geometry.Point {
	half := lengthMM(c) / 2
	from := c.Start
	for _, s := range (geometry.Path{c}).Flatten(penSagittaMM)[0].Segments {
		d := s.End.Sub(from).Len()
		if d >= half && d > 0 {
			return from.Lerp(s.End, half/d)
		}
		half -= d
		from = s.End
	}
	return from
}

// warnDrawn says what of the pen's lines is not drawn.
func (p *Plan) warnDrawn() {
	if p.Off.LengthMM < offLinesMM {
		return
	}
	at := p.Off.At
	p.Warnings = append(p.Warnings, job.Warning{At: &at, Message: message.Message{ID: "drawn-off", Values: map[string]any{
		"layers": message.Few(p.Off.names), "length": message.MM(p.Off.LengthMM),
	}}})
}
