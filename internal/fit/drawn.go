package fit

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// Drawing is what a pen draws on one sheet, in the same pass and before
// anything is cut from it: the lines of all drawn layers of one colour, as far
// as they lie on the sheet's pieces.
type Drawing struct {
	// Of is the separation that is drawn on.
	Of     Material
	Colour colour.RGB
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
	byMM   map[job.LayerID]float64
}

// spilt reports whether no more is drawn than the ends of lines that lie on other sheets, shorter than
// the pen is broad: nobody loads a sheet for that.
func spilt(d *Drawing, all []Drawing) bool {
	elsewhere := func(id job.LayerID) bool {
		return slices.ContainsFunc(all, func(o Drawing) bool {
			return o.Of != d.Of && o.LengthMM > PenMM && slices.Contains(o.Layers, id)
		})
	}
	return d.LengthMM < PenMM && !slices.ContainsFunc(d.Layers, func(id job.LayerID) bool { return !elsewhere(id) })
}

// add counts a run of a line in.
func (o *OffLines) add(line penLine, run geometry.Contour) {
	if o.LengthMM == 0 {
		o.At = middle(run)
	}
	length := lengthMM(run)
	o.LengthMM += length
	if o.byMM == nil {
		o.byMM = map[job.LayerID]float64{}
	}
	o.byMM[line.layer] += length
	if !slices.Contains(o.Layers, line.layer) {
		o.Layers = append(o.Layers, line.layer)
		o.names = append(o.names, line.name)
	}
}

const (
	// penReachMM: a line as near to a piece counts as on it, so that the line
	// around a piece does. It is less than any pen's own width.
	penReachMM = 0.05
	// offLinesMM is how much may lie on no piece without a word: the width of a
	// fine pen.
	offLinesMM = 0.3
)

// addDrawings lays the plan's pen lines on the pieces that are cut.
func (p *Plan) addDrawings() {
	p.Drawings, p.Off = nil, OffLines{}
	if len(p.pen) == 0 || len(p.Separations) == 0 {
		return
	}
	sheets := make([]*geometry.Enclosure, len(p.Separations))
	for k := range sheets {
		sheets[k] = geometry.NewEnclosure(p.Separations[k].Outline.Flatten(penSagittaMM))
	}
	type key struct {
		separation int
		colour     colour.RGB
	}
	at := map[key]int{}
	for _, line := range p.pen {
		c, id := line.colour, line.layer
		for _, run := range split(line.contour, ground{sheets, line.behind}) {
			length := lengthMM(run.line)
			switch {
			case run.on == hidden:
				continue
			case run.on < 0:
				p.Off.add(line, run.line)
				continue
			}
			k := key{run.on, c}
			i, ok := at[k]
			if !ok {
				i = len(p.Drawings)
				at[k] = i
				p.Drawings = append(p.Drawings, Drawing{Of: p.Separations[run.on].Of, Colour: c, Name: colour.Word(c)})
			}
			d := &p.Drawings[i]
			d.Lines = append(d.Lines, run.line)
			d.LengthMM += length
			if !slices.Contains(d.Layers, id) {
				d.Layers = append(d.Layers, id)
			}
		}
	}
	all := slices.Clone(p.Drawings)
	p.Drawings = slices.DeleteFunc(p.Drawings, func(d Drawing) bool { return spilt(&d, all) })
	order := func(d Drawing) int { _, i := p.Find(d.Of); return i }
	slices.SortStableFunc(p.Drawings, func(a, b Drawing) int { return order(a) - order(b) })
}

// run is a part of a line that lies on one separation, or on none, or is hidden.
type run struct {
	line geometry.Contour
	on   int
}

// What a run lies on that lies on no separation.
const (
	nowhere = -1
	hidden  = -2 // behind what hides it, where it is not drawn: the picture does not show it there
)

// ground is what a line may lie on, and what hides it there, nil for nothing.
type ground struct {
	sheets []*geometry.Enclosure
	behind *geometry.Enclosure
}

// crossings adds where a line from a to b goes from one to another.
func (g ground) crossings(a, b geometry.Point, cuts []float64) []float64 {
	for _, e := range g.sheets {
		cuts = e.Crossings(a, b, cuts)
	}
	if g.behind != nil {
		cuts = g.behind.Crossings(a, b, cuts)
	}
	return cuts
}

// at returns what a place lies on.
func (g ground) at(p geometry.Point) int {
	if g.behind != nil && hides(g.behind, p) {
		return hidden
	}
	return lieOn(p, g.sheets)
}

// split cuts a line where it goes from one separation to another or behind what hides it. One that
// lies on a single separation stays as it is, curves and all.
func split(c geometry.Contour, g ground) []run {
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
		cuts = g.crossings(a, b, append(cuts[:0], 0, 1))
		slices.Sort(cuts)
		for k := 1; k < len(cuts); k++ {
			if cuts[k] <= cuts[k-1] {
				continue
			}
			from, to := a.Lerp(b, cuts[k-1]), a.Lerp(b, cuts[k])
			on := g.at(from.Lerp(to, 0.5))
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

// withinReach are a place and those at its sides as far as a line may lie from what it is on.
func withinReach(p geometry.Point) [5]geometry.Point {
	const r = penReachMM
	return [...]geometry.Point{p, p.Add(geometry.Pt(r, 0)), p.Add(geometry.Pt(-r, 0)), p.Add(geometry.Pt(0, r)), p.Add(geometry.Pt(0, -r))}
}

// lieOn returns the separation that a place lies on, the first of those that it
// is near enough to, or nowhere.
func lieOn(p geometry.Point, sheets []*geometry.Enclosure) int {
	near := withinReach(p)
	for k, e := range sheets {
		if slices.ContainsFunc(near[:], e.Holds) {
			return k
		}
	}
	return nowhere
}

// hides reports whether a place is behind something: a line along the edge of that shows.
func hides(behind *geometry.Enclosure, p geometry.Point) bool {
	near := withinReach(p)
	return !slices.ContainsFunc(near[:], func(q geometry.Point) bool { return !behind.Holds(q) })
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

// pale reports whether what is drawn looks more like the sheet than like the pen: ink
// is transparent, so it only ever makes darker what it lies on.
func (d *Drawing) pale() bool {
	shown := d.Colour.Through(d.Of.Colour)
	return shown.DeltaE(d.Of.Colour) < shown.DeltaE(d.Colour)
}

// warnDrawn says what of the pen's lines is not drawn, and what does not show.
func (p *Plan) warnDrawn() {
	if p.Off.LengthMM >= offLinesMM {
		at := p.Off.At
		p.Warnings = append(p.Warnings, job.Warning{At: &at, Message: message.Message{ID: "drawn-off", Values: map[string]any{
			"layers": message.Few(p.Off.names), "length": message.MM(p.Off.LengthMM),
		}}})
	}
	for i := range p.Drawings {
		d := &p.Drawings[i]
		if !d.pale() {
			continue
		}
		sheet, _ := p.Find(d.Of)
		at := middle(d.Lines[0])
		p.Warnings = append(p.Warnings, job.Warning{At: &at, Message: message.Message{ID: "drawn-pale", Values: map[string]any{
			"colour": message.ColourName{Word: d.Name}, "sheet": sheet.Called(), "length": message.MM(d.LengthMM),
		}}})
	}
}

// illDrawn lists the drawn layers of which a part lies on no piece or does not show.
func (p *Plan) illDrawn() []job.LayerID {
	var out []job.LayerID
	for id, off := range p.Off.byMM {
		if off >= offLinesMM {
			out = append(out, id)
		}
	}
	for i := range p.Drawings {
		if d := &p.Drawings[i]; d.pale() {
			out = append(out, d.Layers...)
		}
	}
	return out
}
