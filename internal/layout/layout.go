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
	// Copies is how many of each design there are, 0 for one.
	Copies int
	// Stock is what a separation of a page is cut from.
	Stock func(page, separation int) Stock
	// CutterMM is how wide the cutter can cut.
	CutterMM float64
	// GapMM is left between copies, or loose pieces; EdgeMM at the edge of sheets, as
	// far as there is room.
	GapMM, EdgeMM float64
	// Pinned stay where they lie, as they were laid in an earlier layout, and nothing
	// lies on KeptFree; what is pinned on such a place or over another stays all the same.
	Pinned   []Pinned
	KeptFree []KeptFree
	// Tries is how many layouts are tried for each separation; with 0 it goes on until
	// the context ends. Seed makes the choices.
	Tries int
	Seed  uint64
	// Progress, unless nil, is told which separation of all has a first or better
	// layout, and how many sheets that takes.
	Progress func(separation, sheets int)
}

// Layout is what lies on which sheet.
type Layout struct {
	// Sheets are in order of assembly, those of a separation together.
	Sheets []Sheet
}

// Sheet is one sheet with what is cut from it.
type Sheet struct {
	Which
	Kind Kind
	Way  Way
	// Page is as large as the sheet, or as long as what is used of a roll. It has one
	// separation, mirrored as the design's page is.
	Page *cutfile.Page
	// Placed is what lies where.
	Placed []Placed
	// AreaMM2 is that of its pieces, UsedMM how much of the sheet is used from a
	// corner on, and Left the largest free rectangles that are worth keeping.
	AreaMM2 float64
	UsedMM  drawer.Size
	Left    []drawer.Size

	frames []cutfile.Contour
	free   []box
}

// CutMM returns the length of all lines that are cut.
func (t *Sheet) CutMM() float64 {
	s := &t.Page.Separations[0]
	sum, lines := s.CutMM, s.Marks
	if s.Frame != nil {
		lines = append(slices.Clone(lines), *s.Frame)
	}
	// Chords a hundredth of a millimetre off are far closer than any speed is known.
	for _, c := range path(lines).Flatten(0.01) {
		for a, b := range c.Sides() {
			sum += b.Sub(a).Len()
		}
	}
	return sum
}

// Placed is a copy, or a piece of one.
type Placed struct {
	// Copy and Piece count from 1; Piece is 0 for all pieces of a copy. Those of the
	// first page are the first copies.
	Copy, Piece int
	// From is its page, and Of indexes the separations of that.
	From, Of int
	// Turn is the angle that it is turned by, clockwise.
	Turn float64
	// Min and Max are its bounds on the sheet, At is a place inside, for its number.
	Min, Max, At cutfile.Point
	// Narrower is the smaller side of a piece.
	Narrower cutfile.Steps
}

// RoomError says that something is larger than the sheets that there are for it.
type RoomError struct {
	// Separation indexes those of a page.
	Page, Separation int
	// WidthMM and HeightMM are its size.
	WidthMM, HeightMM float64
}

func (e *RoomError) Error() string {
	return fmt.Sprintf("separation %d has no room for %g × %g mm", e.Separation, e.WidthMM, e.HeightMM)
}

// Lay lays out the copies of pages: what is of one sheet in several of them, by name
// and colour, lies together. When the context ends that is the best layout so far,
// as soon as every separation has one. Errors: *RoomError, or the context's.
func Lay(ctx context.Context, pages []*cutfile.Page, o Options) (*Layout, error) {
	o.Copies = max(1, o.Copies)
	all := separations(pages)
	tasks := make([]task, len(all))
	for i := range tasks {
		var err error
		if tasks[i], err = begin(ctx, i, all[i], o); err != nil {
			return nil, err
		}
	}
	out := &Layout{}
	for i := range tasks {
		t := &tasks[i]
		if err := t.improve(ctx); err != nil && ctx.Err() == nil {
			return nil, err
		}
		sheets := t.spread(i + 1)
		if len(sheets) > 1 {
			for k := range sheets {
				sheets[k].Page.Separations[0].Sheet = k + 1
			}
		}
		out.Sheets = append(out.Sheets, sheets...)
	}
	return out, nil
}

// task is the packing of one separation.
type task struct {
	of   separation
	way  Way
	pack func(context.Context, packing.Options) (packing.Packing, error)
	// items are what is packed, by packing.Placed.Item.
	items []item
	// each is how many copies of each page there are.
	each   int
	pinned []Pinned
	free   []KeptFree
	seek   packing.Options
	beds   []bed
	edge   float64
	// margin is left between what is cut and what is kept of the sheet.
	margin cutfile.Steps
	best   packing.Packing
}

// item is a copy of a part, or one of its pieces, whose copies are one item.
type item struct {
	part
	piece int
	// copies are those that are packed, from 0.
	copies []int
}

// begin finds a first layout of separation i.
func begin(ctx context.Context, i int, s separation, o Options) (task, error) {
	stock := o.Stock(s[0].n, s[0].of)
	t := task{of: s, way: s.way(o.Way), each: o.Copies, margin: cutfile.ToSteps(o.EdgeMM), seek: packing.Options{GapMM: o.GapMM, Seed: o.Seed, Steps: 1}}
	t.pinned = t.pins(o, stock.beds(o.EdgeMM, o.CutterMM))
	for _, f := range o.KeptFree {
		if f.On.on(s) {
			t.free = append(t.free, f)
		}
	}
	turns := stock.Direction == drawer.AnyWay
	if t.way == Together {
		items := t.copies(turns)
		t.pack = func(ctx context.Context, o packing.Options) (packing.Packing, error) {
			return packing.Rectangles(ctx, items, o)
		}
	} else {
		shapes := t.pieces(turns)
		t.pack = func(ctx context.Context, o packing.Options) (packing.Packing, error) {
			return packing.Shapes(ctx, shapes, o)
		}
	}
	// Where there is no room for it the edge is not kept free: what a whole design
	// fits without is no reason to refuse it.
	for _, t.edge = range []float64{o.EdgeMM, 0} {
		t.beds = stock.beds(t.edge, o.CutterMM)
		t.seek.Sheets, t.seek.Blocked = sheets(t.beds), t.blocked()
		var err error
		if t.best, err = t.pack(ctx, t.seek); err != nil {
			return t, err
		}
		if len(t.best.Left) == 0 {
			break
		}
	}
	if len(t.best.Left) > 0 {
		x := t.items[t.best.Left[0]]
		size := geometry.Rect{Min: x.get().Min.MM(), Max: x.get().Max.MM()}
		if t.way == Loose {
			size = path(x.get().Pieces[x.piece].Contours).Bounds()
		}
		return t, &RoomError{x.n, x.of, size.Width(), size.Height()}
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

// copies are the rectangles around a separation on each page.
func (t *task) copies(turns bool) (out []packing.Rectangle) {
	for _, p := range t.of {
		s := p.get()
		for k := range t.each {
			if t.isPinned(p, k, 0) {
				continue
			}
			t.items = append(t.items, item{part: p, copies: []int{k}})
			out = append(out, packing.Rectangle{Width: (s.Max.X - s.Min.X).MM(), Height: (s.Max.Y - s.Min.Y).MM(), Turns: turns})
		}
	}
	return out
}

// pieces are the outlines of a separation on each page.
func (t *task) pieces(turns bool) (out []packing.Shape) {
	for _, p := range t.of {
		for k, q := range p.get().Pieces {
			x := item{part: p, piece: k}
			for c := range t.each {
				if !t.isPinned(p, c, k+1) {
					x.copies = append(x.copies, c)
				}
			}
			if len(x.copies) == 0 {
				continue
			}
			t.items = append(t.items, x)
			shape := packing.Shape{Outline: path(q.Contours), Count: len(x.copies)}
			if turns {
				shape.Turns = turnsOf(shape.Outline)
			}
			out = append(out, shape)
		}
	}
	return out
}

// spread makes the sheets of a packing, of the separation that is laid in this order,
// with what is pinned.
func (t *task) spread(order int) []Sheet {
	var all []onBed
	for _, u := range t.best.Sheets {
		all = append(all, onBed{u.Kind, u.Nth})
	}
	for _, x := range t.pinned {
		all = append(all, onBed{t.bed(x.On.Bed), x.On.Nth})
	}
	slices.SortFunc(all, func(a, b onBed) int { return cmp.Or(a.bed-b.bed, a.nth-b.nth) })
	all = slices.Compact(all)
	out := make([]Sheet, len(all))
	for k, at := range all {
		out[k] = t.sheet(order, at)
	}
	for _, u := range t.best.Sheets {
		s := &out[slices.Index(all, onBed{u.Kind, u.Nth})]
		s.use(t.beds[u.Kind], drawer.Size{WidthMM: u.Extent.X + 2*t.edge, HeightMM: u.Extent.Y + 2*t.edge})
	}
	inset := cutfile.ToSteps(t.edge)
	for _, x := range t.best.Placed {
		u := t.best.Sheets[x.Sheet]
		sheet := &out[slices.Index(all, onBed{u.Kind, u.Nth})]
		b, of := t.beds[u.Kind], t.items[x.Item]
		m := move{turn: x.Turn, upright: b.upright, width: sheet.Page.Width}
		m.shift = cutfile.Point{X: cutfile.ToSteps(x.Shift.X) + inset, Y: cutfile.ToSteps(x.Shift.Y) + inset}
		copied := t.number(of.part, of.copies[x.Copy])
		if t.way == Together {
			// Packed was the rectangle; what is in it lies off the origin.
			low := move{turn: x.Turn}.point(of.get().Min)
			m.shift.X, m.shift.Y = m.shift.X-low.X, m.shift.Y-low.Y
			sheet.put(of.part, m, copied)
		} else {
			sheet.putPiece(of.part, of.piece, m, copied)
		}
	}
	for _, x := range t.pinned {
		p, _ := t.part(x)
		k := t.bed(x.On.Bed)
		sheet := &out[slices.Index(all, onBed{k, x.On.Nth})]
		if m := t.moveOf(x, p, k); x.Piece > 0 {
			sheet.putPiece(p, x.Piece-1, m, x.Copy)
		} else {
			sheet.put(p, m, x.Copy)
		}
		sheet.use(t.beds[k], t.beds[k].reach(sheet.Placed[len(sheet.Placed)-1], t.edge))
	}
	for k := range out {
		out[k].finish()
		out[k].leave(t.margin)
	}
	return out
}

// onBed is a sheet: which bed, and which one of it.
type onBed struct{ bed, nth int }

// sheet is one with nothing on it yet.
func (t *task) sheet(order int, at onBed) Sheet {
	first, b := t.of[0], t.beds[at.bed]
	s := first.get()
	out := Sheet{
		Which: Which{From: first.n, Of: first.of, Bed: b.id, Nth: at.nth}, Kind: b.kind, Way: t.way,
		Page: &cutfile.Page{
			Width: cutfile.ToSteps(b.size.WidthMM), Height: cutfile.ToSteps(b.size.HeightMM), BoardToPage: geometry.Identity(),
			Separations: []cutfile.Separation{{Order: order, Name: s.Name, Colour: s.Colour, Use: s.Use, Carry: s.Carry}},
		},
	}
	for _, f := range t.free {
		if f.On == out.Which {
			out.free = append(out.free, box{f.Min, f.Max})
		}
	}
	return out
}

// reach is how much of a bed something uses, along and across it.
func (b bed) reach(p Placed, edge float64) drawer.Size {
	if b.upright {
		return drawer.Size{WidthMM: p.Max.Y.MM() + edge, HeightMM: b.size.WidthMM - p.Min.X.MM() + edge}
	}
	return drawer.Size{WidthMM: p.Max.X.MM() + edge, HeightMM: p.Max.Y.MM() + edge}
}

// use says that so much of the bed is used, along and across it.
func (t *Sheet) use(b bed, used drawer.Size) {
	if b.upright {
		used.WidthMM, used.HeightMM = used.HeightMM, used.WidthMM
	}
	t.UsedMM.WidthMM, t.UsedMM.HeightMM = max(t.UsedMM.WidthMM, used.WidthMM), max(t.UsedMM.HeightMM, used.HeightMM)
	if b.kind == Roll {
		t.Page.Height = cutfile.ToSteps(t.UsedMM.HeightMM)
	}
}

// put adds a copy of a separation, with what is drawn on it.
func (t *Sheet) put(p part, m move, n int) {
	to, s := &t.Page.Separations[0], p.get()
	to.Contours = append(to.Contours, m.contours(s.Contours)...)
	to.Marks = append(to.Marks, m.contours(s.Marks)...)
	if s.Frame != nil {
		t.frames = append(t.frames, m.contour(*s.Frame))
	}
	placed := Placed{Copy: n, From: p.n, Of: p.of, Turn: m.angle(), Min: m.point(s.Min), Max: m.point(s.Max)}
	placed.Min, placed.Max = sorted(placed.Min, placed.Max)
	placed.At = cutfile.Point{X: (placed.Min.X + placed.Max.X) / 2, Y: (placed.Min.Y + placed.Max.Y) / 2}
	placed.Narrower = min(placed.Max.X-placed.Min.X, placed.Max.Y-placed.Min.Y)
	t.Placed = append(t.Placed, placed)
	for k := range s.Pieces {
		to.Pieces = append(to.Pieces, moved(&s.Pieces[k], m))
	}
	to.AreaMM2 += s.AreaMM2
	to.CutMM += s.CutMM
	for _, d := range p.page.Drawings {
		if d.Sheet == p.of {
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
func (t *Sheet) putPiece(p part, piece int, m move, copied int) {
	q := moved(&p.get().Pieces[piece], m)
	to := &t.Page.Separations[0]
	to.Pieces = append(to.Pieces, q)
	to.AreaMM2 += q.AreaMM2
	to.CutMM += q.CutMM
	lo, hi := bounds(q.Contours)
	t.Placed = append(t.Placed, Placed{Copy: copied, Piece: piece + 1, From: p.n, Of: p.of, Turn: m.angle(), Min: lo, Max: hi, At: q.Inside, Narrower: q.Narrower})
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

// leave finds what is left of a sheet, with a margin around all that is cut. What
// remains of a roll stays on it.
func (t *Sheet) leave(margin cutfile.Steps) {
	if t.Kind == Roll {
		return
	}
	taken := slices.Clone(t.free)
	for _, x := range t.Placed {
		taken = append(taken, box{
			cutfile.Point{X: x.Min.X - margin, Y: x.Min.Y - margin}, cutfile.Point{X: x.Max.X + margin, Y: x.Max.Y + margin},
		})
	}
	for _, b := range left(cutfile.Point{X: t.Page.Width, Y: t.Page.Height}, taken) {
		t.Left = append(t.Left, b.size())
	}
}
