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
		c, name, id := line.colour, line.name, line.layer
		for _, run := range split(line.contour, sheets) {
			length := lengthMM(run.line)
			if run.on < 0 {
				if p.Off.LengthMM == 0 {
					p.Off.At = middle(run.line)
				}
				p.Off.LengthMM += length
				if p.Off.byMM == nil {
					p.Off.byMM = map[job.LayerID]float64{}
				}
				p.Off.byMM[id] += length
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
	order := func(d Drawing) int { _, i := p.Find(d.Of); return i }
	slices.SortStableFunc(p.Drawings, func(a, b Drawing) int { return order(a) - order(b) })
}

// run is a part of a line that lies on one separation, −1 for none.
type run struct {
	line geometry.Contour
	on   int
}

// split cuts a line where it goes from one separation to another. One that lies
// on a single separation stays as it is, curves and all.
func split(c geometry.Contour, sheets []*geometry.Enclosure) []run {
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
			cuts = e.Crossings(a, b, cuts)
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
func lieOn(p geometry.Point, sheets []*geometry.Enclosure) int {
	const r = penReachMM
	for k, e := range sheets {
		if e.Holds(p) || e.Holds(p.Add(geometry.Pt(r, 0))) || e.Holds(p.Add(geometry.Pt(-r, 0))) ||
			e.Holds(p.Add(geometry.Pt(0, r))) || e.Holds(p.Add(geometry.Pt(0, -r))) {
			return k
		}
	}
	return -1
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
