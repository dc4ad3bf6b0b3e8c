package layout

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"abut/geometry"
	"abut/geometry/packing"
	"abut/internal/cutfile"
	"abut/internal/drawer"
)

// Way is how the pieces of a colour are laid out.
type Way string

// The ways.
const (
	Together Way = "together"
	Loose    Way = "loose"
)

// Options say how. Lengths are millimetres.
type Options struct {
	Way Way
	// Copies is how many of the design there are, 0 for one.
	Copies int
	// Stock is what a separation of the page is cut from.
	Stock func(separation int) Stock
	// CutterMM is how wide the cutter can cut.
	CutterMM float64
	// GapMM is left between copies, or loose pieces; EdgeMM at the edge of sheets, as
	// far as there is room.
	GapMM, EdgeMM float64
	// Tries is how many layouts are tried for each separation; with 0 it goes on until
	// the context ends. Seed makes the choices.
	Tries int
	Seed  uint64
	// Progress, unless nil, is told which separation has a first or better layout,
	// and how many sheets that takes.
	Progress func(separation, sheets int)
}

// Layout is what lies on which sheet.
type Layout struct {
	// Sheets are in order of assembly, those of a separation together.
	Sheets []Sheet
}

// Sheet is one sheet with what is cut from it.
type Sheet struct {
	// Of indexes the separations of the design's page.
	Of   int
	Kind Kind
	Way  Way
	// Page is as large as the sheet, or as long as what is used of a roll. It has one
	// separation, mirrored as the design's page is.
	Page *cutfile.Page
	// Placed is what lies where.
	Placed []Placed
	// AreaMM2 is that of its pieces, UsedMM how much of the sheet is used from a
	// corner on, and Left what that leaves which is worth keeping.
	AreaMM2 float64
	UsedMM  drawer.Size
	Left    []drawer.Size

	frames []cutfile.Contour
}

// Placed is a copy, or a piece of one.
type Placed struct {
	// Copy and Piece count from 1; Piece is 0 for all pieces of a copy.
	Copy, Piece int
	// Turn is the angle that it is turned by, clockwise.
	Turn float64
	// Min and Max are its bounds on the sheet, At is a place inside, for its number.
	Min, Max, At cutfile.Point
	// Narrower is the smaller side of a piece.
	Narrower cutfile.Steps
}

// RoomError says that something is larger than the sheets that there are for it.
type RoomError struct {
	// Separation indexes the page's.
	Separation int
	// WidthMM and HeightMM are its size.
	WidthMM, HeightMM float64
}

func (e *RoomError) Error() string {
	return fmt.Sprintf("separation %d has no room for %g × %g mm", e.Separation, e.WidthMM, e.HeightMM)
}

// Lay lays out the copies of a page. When the context ends that is the best layout
// so far, as soon as every separation has one. Errors: *RoomError, or the context's.
func Lay(ctx context.Context, page *cutfile.Page, o Options) (*Layout, error) {
	o.Copies = max(1, o.Copies)
	tasks := make([]task, len(page.Separations))
	for i := range tasks {
		var err error
		if tasks[i], err = begin(ctx, page, i, o); err != nil {
			return nil, err
		}
	}
	out := &Layout{}
	for i := range tasks {
		t := &tasks[i]
		if err := t.improve(ctx); err != nil && ctx.Err() == nil {
			return nil, err
		}
		sheets := t.spread(page)
		if len(sheets) > 1 {
			for k := range sheets {
				sheets[k].Page.Separations[0].Sheet = k + 1
			}
		}
		out.Sheets = append(out.Sheets, sheets...)
	}
	return out, nil
}

// wayOf returns how separation i of a page is laid out: the base, and what is drawn
// on, always together.
func wayOf(page *cutfile.Page, i int, way Way) Way {
	drawn := slices.ContainsFunc(page.Drawings, func(d cutfile.Drawing) bool { return d.Sheet == i })
	if i == 0 || drawn {
		return Together
	}
	return way
}

// task is the packing of one separation.
type task struct {
	of   int
	way  Way
	pack func(context.Context, packing.Options) (packing.Packing, error)
	seek packing.Options
	beds []bed
	edge float64
	best packing.Packing
}

// begin finds a first layout of separation i.
func begin(ctx context.Context, page *cutfile.Page, i int, o Options) (task, error) {
	s, stock := &page.Separations[i], o.Stock(i)
	t := task{of: i, way: wayOf(page, i, o.Way), seek: packing.Options{GapMM: o.GapMM, Seed: o.Seed, Steps: 1}}
	turns := stock.Direction == drawer.AnyWay
	if t.way == Together {
		items := copies(s, o.Copies, turns)
		t.pack = func(ctx context.Context, o packing.Options) (packing.Packing, error) {
			return packing.Rectangles(ctx, items, o)
		}
	} else {
		shapes := pieces(s, o.Copies, turns)
		t.pack = func(ctx context.Context, o packing.Options) (packing.Packing, error) {
			return packing.Shapes(ctx, shapes, o)
		}
	}
	// Where there is no room for it the edge is not kept free: what a whole design
	// fits without is no reason to refuse it.
	for _, t.edge = range []float64{o.EdgeMM, 0} {
		t.beds = stock.beds(t.edge, o.CutterMM)
		t.seek.Sheets = sheets(t.beds)
		var err error
		if t.best, err = t.pack(ctx, t.seek); err != nil {
			return t, err
		}
		if len(t.best.Left) == 0 {
			break
		}
	}
	if len(t.best.Left) > 0 {
		size := geometry.Rect{Min: s.Min.MM(), Max: s.Max.MM()}
		if t.way == Loose {
			size = path(s.Pieces[t.best.Left[0]].Contours).Bounds()
		}
		return t, &RoomError{i, size.Width(), size.Height()}
	}
	t.seek.Steps = max(1, o.Tries)
	if o.Progress != nil {
		t.seek.Progress = func(p packing.Packing) { o.Progress(i, len(p.Sheets)) }
	}
	return t, nil
}

// improve looks for a better one.
func (t *task) improve(ctx context.Context) error {
	p, err := t.pack(ctx, t.seek)
	if err == nil {
		t.best = p
	}
	return err
}

// copies are the rectangles around a separation.
func copies(s *cutfile.Separation, n int, turns bool) []packing.Rectangle {
	r := packing.Rectangle{Width: (s.Max.X - s.Min.X).MM(), Height: (s.Max.Y - s.Min.Y).MM(), Turns: turns}
	return slices.Repeat([]packing.Rectangle{r}, n)
}

// pieces are the outlines of a separation.
func pieces(s *cutfile.Separation, n int, turns bool) []packing.Shape {
	out := make([]packing.Shape, len(s.Pieces))
	for i, q := range s.Pieces {
		outline := path(q.Contours)
		out[i] = packing.Shape{Outline: outline, Count: n}
		if turns {
			out[i].Turns = turnsOf(outline)
		}
	}
	return out
}

// spread makes the sheets of a packing.
func (t *task) spread(page *cutfile.Page) []Sheet {
	s, p, edge := &page.Separations[t.of], &t.best, t.edge
	out := make([]Sheet, len(p.Sheets))
	for k, u := range p.Sheets {
		b := t.beds[u.Kind]
		used := drawer.Size{WidthMM: u.Extent.X + 2*edge, HeightMM: u.Extent.Y + 2*edge}
		if b.upright {
			used.WidthMM, used.HeightMM = used.HeightMM, used.WidthMM
		}
		size := b.size
		if b.kind == Roll {
			size.HeightMM = used.HeightMM
		}
		out[k] = Sheet{
			Of: t.of, Kind: b.kind, Way: t.way, UsedMM: used,
			Page: &cutfile.Page{
				Width: cutfile.ToSteps(size.WidthMM), Height: cutfile.ToSteps(size.HeightMM), BoardToPage: geometry.Identity(),
				Separations: []cutfile.Separation{{Order: s.Order, Name: s.Name, Colour: s.Colour, Use: s.Use, Carry: s.Carry}},
			},
		}
		if b.kind != Roll {
			out[k].Left = drawer.Remains(size, used)
		}
	}
	inset := cutfile.ToSteps(edge)
	for _, x := range p.Placed {
		sheet := &out[x.Sheet]
		b := t.beds[p.Sheets[x.Sheet].Kind]
		m := move{turn: x.Turn, upright: b.upright, width: sheet.Page.Width}
		m.shift = cutfile.Point{X: cutfile.ToSteps(x.Shift.X) + inset, Y: cutfile.ToSteps(x.Shift.Y) + inset}
		if t.way == Together {
			// Packed was the rectangle; what is in it lies off the origin.
			low := move{turn: x.Turn}.point(s.Min)
			m.shift.X, m.shift.Y = m.shift.X-low.X, m.shift.Y-low.Y
			sheet.put(page, s, m, x.Item+1)
		} else {
			sheet.putPiece(s, x.Item, m, x.Copy+1)
		}
	}
	for k := range out {
		out[k].finish()
	}
	return out
}

// put adds a copy of a separation, with what is drawn on it.
func (t *Sheet) put(page *cutfile.Page, s *cutfile.Separation, m move, n int) {
	to := &t.Page.Separations[0]
	to.Contours = append(to.Contours, m.contours(s.Contours)...)
	to.Marks = append(to.Marks, m.contours(s.Marks)...)
	if s.Frame != nil {
		t.frames = append(t.frames, m.contour(*s.Frame))
	}
	placed := Placed{Copy: n, Turn: m.angle(), Min: m.point(s.Min), Max: m.point(s.Max)}
	placed.Min, placed.Max = sorted(placed.Min, placed.Max)
	placed.At = cutfile.Point{X: (placed.Min.X + placed.Max.X) / 2, Y: (placed.Min.Y + placed.Max.Y) / 2}
	placed.Narrower = min(placed.Max.X-placed.Min.X, placed.Max.Y-placed.Min.Y)
	t.Placed = append(t.Placed, placed)
	for k := range s.Pieces {
		to.Pieces = append(to.Pieces, moved(&s.Pieces[k], m))
	}
	to.AreaMM2 += s.AreaMM2
	to.CutMM += s.CutMM
	for _, d := range page.Drawings {
		if page.Separations[d.Sheet].Order == s.Order {
			t.draw(d, m)
		}
	}
}

// draw adds a copy of a drawing to those of its pen.
func (t *Sheet) draw(d cutfile.Drawing, m move) {
	k := slices.IndexFunc(t.Page.Drawings, func(o cutfile.Drawing) bool { return o.Name == d.Name && o.Colour == d.Colour })
	if k < 0 {
		k = len(t.Page.Drawings)
		t.Page.Drawings = append(t.Page.Drawings, cutfile.Drawing{Name: d.Name, Colour: d.Colour, Layers: d.Layers})
	}
	to := &t.Page.Drawings[k]
	to.LengthMM += d.LengthMM
	for _, l := range d.Lines {
		to.Lines = append(to.Lines, cutfile.Line{Contour: m.contour(l.Contour), Closed: l.Closed})
	}
}

// putPiece adds one piece of a copy.
func (t *Sheet) putPiece(s *cutfile.Separation, n int, m move, copied int) {
	q := moved(&s.Pieces[n], m)
	to := &t.Page.Separations[0]
	to.Pieces = append(to.Pieces, q)
	to.AreaMM2 += q.AreaMM2
	to.CutMM += q.CutMM
	lo, hi := bounds(q.Contours)
	t.Placed = append(t.Placed, Placed{Copy: copied, Piece: n + 1, Turn: m.angle(), Min: lo, Max: hi, At: q.Inside, Narrower: q.Narrower})
}

func moved(q *cutfile.Piece, m move) cutfile.Piece {
	out := *q
	out.Inside, out.Contours = m.point(q.Inside), m.contours(q.Contours)
	return out
}

// finish puts loose pieces in the order in which they are cut, and measures.
func (t *Sheet) finish() {
	to := &t.Page.Separations[0]
	if t.Way == Loose {
		// From left to right by where they end: a piece in the hole of another one is
		// cut before that, as inner contours must be.
		order := make([]int, len(to.Pieces))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(t.Placed[a].Max.X, t.Placed[b].Max.X) })
		pieces, placed := make([]cutfile.Piece, len(order)), make([]Placed, len(order))
		for i, k := range order {
			pieces[i], placed[i] = to.Pieces[k], t.Placed[k]
			to.Contours = append(to.Contours, pieces[i].Contours...)
		}
		to.Pieces, t.Placed = pieces, placed
	}
	t.AreaMM2 = to.AreaMM2
	to.Min, to.Max = bounds(slices.Concat(to.Contours, to.Marks, t.frames))
	if len(t.frames) == 1 {
		to.Frame = &t.frames[0]
	} else { // a page has one frame; of several copies they are lines to cut like marks
		to.Marks = append(to.Marks, t.frames...)
	}
}

func bounds(contours []cutfile.Contour) (lo, hi cutfile.Point) {
	var s cutfile.Separation
	s.Min, s.Max = cutfile.Nowhere()
	s.Include(contours)
	return s.Min, s.Max
}

// sorted returns the corners of a rectangle by any two that are opposite.
func sorted(a, b cutfile.Point) (lo, hi cutfile.Point) {
	return cutfile.Point{X: min(a.X, b.X), Y: min(a.Y, b.Y)}, cutfile.Point{X: max(a.X, b.X), Y: max(a.Y, b.Y)}
}
