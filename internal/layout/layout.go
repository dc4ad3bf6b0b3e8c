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
	// Pinned stay where they lie, as they were laid in an earlier layout or by hand, and
	// nothing else lies on KeptFree. What has no place there any more, or would lie over
	// another, is laid like the rest.
	Pinned   []Pinned
	KeptFree []KeptFree
	// Earlier is all that lay on the sheets, what is pinned too: where all of a separation
	// can lie so still, nothing is tried for it.
	Earlier []Pinned
	// Tries is how many layouts are tried for each separation; with 0 it goes on until
	// the context ends. Seed makes the choices.
	Tries int
	Seed  uint64
	// First, unless nil, gets a quick layout before better ones are tried.
	First func(*Layout)
	// Enough, unless nil, ends the trying: the best so far is the layout.
	Enough <-chan struct{}
	// Progress, unless nil, is told what share is done, by what was put somewhere and
	// what was tried.
	Progress func(share float64)
}

// Layout is what lies on which sheet.
type Layout struct {
	// Sheets are in order of assembly, those of a separation together.
	Sheets []Sheet
	// Least is what each separation takes at least, in the same order.
	Least []Least
	// Lapsed is how many pins could not be kept: what they held has changed or is gone, or
	// lies over what another one holds.
	Lapsed int
}

// Sheet is one sheet with what is cut from it.
type Sheet struct {
	Which
	Way Way
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
	// Turns: things may be turned.
	Turns bool
	// Room is where anything may lie, and Free what is kept free there.
	Room Box
	Free []Box

	frames []cutfile.Contour
	gap    float64
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
	bar := progress{told: o.Progress}
	for _, s := range all {
		bar.total += float64(s.count(s.way(o.Way), o.Copies) * (1 + max(1, o.Tries)))
	}
	for i := range tasks {
		var err error
		if tasks[i], err = begin(ctx, all[i], o, &bar); err != nil {
			return nil, err
		}
	}
	if o.First != nil {
		o.First(spread(tasks, o.Pinned))
	}
	trying, end := context.WithCancel(ctx)
	defer end()
	if o.Enough != nil {
		go func() {
			select {
			case <-o.Enough:
				end()
			case <-trying.Done():
			}
		}()
	}
	for i := range tasks {
		if err := tasks[i].improve(trying, &bar); err != nil && trying.Err() == nil {
			return nil, err
		}
	}
	return spread(tasks, o.Pinned), nil
}

// spread makes the sheets of all packings.
func spread(tasks []task, pinned []Pinned) *Layout {
	out := &Layout{Lapsed: len(pinned)}
	for i := range tasks {
		out.Lapsed -= tasks[i].kept
		sheets := tasks[i].spread(i + 1)
		for k := range sheets {
			s := &sheets[k].Page.Separations[0]
			if s.Orders = len(tasks); len(sheets) > 1 {
				s.Sheet, s.Sheets = k+1, len(sheets)
			}
		}
		out.Sheets, out.Least = append(out.Sheets, sheets...), append(out.Least, tasks[i].least())
	}
	return out
}

// progress adds up what is done: one for each thing that was put somewhere.
type progress struct {
	told        func(float64)
	done, total float64
}

// part returns who is told of so many layouts of some things, as layouts count.
func (p *progress) part(things int) func(layouts float64) {
	if p.told == nil {
		return nil
	}
	from := p.done
	return func(layouts float64) {
		p.done = max(p.done, from+layouts*float64(things))
		p.told(min(1, p.done/p.total))
	}
}

// task is the packing of one separation.
type task struct {
	of   separation
	way  Way
	pack func(context.Context, packing.Options) (packing.Packing, error)
	// items are what is packed, by packing.Placed.Item.
	items []item
	// each is how many copies of each page there are.
	each int
	// turns: things may be turned.
	turns  bool
	pinned []Pinned
	// kept is how many of the pins asked for those are.
	kept int
	free []KeptFree
	seek packing.Options
	beds []bed
	edge float64
	// margin is left between what is cut and what is kept of the sheet.
	margin cutfile.Steps
	// held: all lies as it did earlier, and is among what is pinned.
	held bool
	best packing.Packing
}

// item is a copy of a part, or one of its pieces, whose copies are one item.
type item struct {
	part
	piece int
	// copies are those that are packed, from 0.
	copies []int
}

// begin finds a first layout of a separation.
func begin(ctx context.Context, s separation, o Options, bar *progress) (task, error) {
	stock := o.Stock(s[0].n, s[0].of)
	t := task{of: s, way: s.way(o.Way), each: o.Copies, margin: cutfile.ToSteps(o.EdgeMM), seek: packing.Options{GapMM: o.GapMM, Seed: o.Seed, Steps: 1}}
	for _, f := range o.KeptFree {
		if f.On.on(s) {
			t.free = append(t.free, f)
		}
	}
	t.turns = stock.Direction == drawer.AnyWay
	things := s.count(t.way, o.Copies)
	// Where there is no room for it the edge is not kept free: what a whole design
	// fits without is no reason to refuse it.
	edges := []float64{o.EdgeMM, 0}
	for _, edge := range edges {
		if err := t.use(ctx, stock, edge, o); err != nil {
			return t, err
		}
		var err error
		if t.held, err = t.holds(ctx, o.Earlier); err != nil || t.held {
			bar.done += float64(things * (1 + max(1, o.Tries)))
			return t, err
		}
	}
	t.seek.Tried = bar.part(things)
	done := bar.done + float64(things)
	defer func() { bar.done = done }()
	for _, edge := range edges {
		if err := t.use(ctx, stock, edge, o); err != nil {
			return t, err
		}
		t.seek.Sheets, t.seek.Blocked, t.items = sheets(t.beds), t.blocked(), nil
		if t.way == Together {
			items := t.copies()
			t.pack = func(ctx context.Context, o packing.Options) (packing.Packing, error) {
				return packing.Rectangles(ctx, items, o)
			}
		} else {
			shapes := t.pieces()
			t.pack = func(ctx context.Context, o packing.Options) (packing.Packing, error) {
				return packing.Shapes(ctx, shapes, o)
			}
		}
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
	return t, nil
}

// use has sheets kept free at their edge, and what is pinned there.
func (t *task) use(ctx context.Context, s Stock, edge float64, o Options) (err error) {
	t.edge, t.beds = edge, s.beds(edge, o.CutterMM)
	t.pinned, err = t.pins(ctx, o.Pinned)
	t.kept = len(t.pinned)
	return err
}

// improve looks for a better one.
func (t *task) improve(ctx context.Context, bar *progress) error {
	if t.held {
		return nil
	}
	things := t.of.count(t.way, t.each)
	t.seek.Tried = bar.part(things)
	from := bar.done
	p, err := t.pack(ctx, t.seek)
	bar.done = from + float64(things*t.seek.Steps)
	if err == nil {
		t.best = p
	}
	return err
}

// copies are the rectangles around a separation on each page.
func (t *task) copies() (out []packing.Rectangle) {
	for _, p := range t.of {
		s := p.get()
		for k := range t.each {
			if t.isPinned(p, k, 0) {
				continue
			}
			t.items = append(t.items, item{part: p, copies: []int{k}})
			out = append(out, packing.Rectangle{Width: (s.Max.X - s.Min.X).MM(), Height: (s.Max.Y - s.Min.Y).MM(), Turns: t.turns})
		}
	}
	return out
}

// pieces are the outlines of a separation on each page.
func (t *task) pieces() (out []packing.Shape) {
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
			if t.turns {
				shape.Turns = turnsOf(shape.Outline)
			}
			out = append(out, shape)
		}
	}
	return out
}

// placing is where a copy, or a piece of one, goes.
type placing struct {
	on          onBed
	nth         int // which part
	piece, copy int
	move
}

// placings are all, in an order that does not depend on what is pinned.
func (t *task) placings() (out []placing) {
	inset := cutfile.ToSteps(t.edge)
	for _, x := range t.best.Placed {
		u := t.best.Sheets[x.Sheet]
		b, of := t.beds[u.Kind], t.items[x.Item]
		m := move{turn: x.Turn, upright: b.upright, width: cutfile.ToSteps(b.size.WidthMM)}
		m.shift = cutfile.Point{X: cutfile.ToSteps(x.Shift.X) + inset, Y: cutfile.ToSteps(x.Shift.Y) + inset}
		p := placing{on: onBed{u.Kind, u.Nth}, nth: slices.Index(t.of, of.part), piece: of.piece + 1, copy: t.number(of.part, of.copies[x.Copy]), move: m}
		if t.way == Together {
			// Packed was the rectangle; what is in it lies off the origin.
			low := move{turn: x.Turn}.point(of.get().Min)
			p.shift.X, p.shift.Y, p.piece = m.shift.X-low.X, m.shift.Y-low.Y, 0
		}
		out = append(out, p)
	}
	for _, x := range t.pinned {
		k := t.bed(x.On)
		p, _ := t.part(x)
		out = append(out, placing{on: t.onBed(x.On), nth: slices.Index(t.of, p), piece: x.Piece, copy: x.Copy, move: t.moveOf(x, p, k)})
	}
	slices.SortFunc(out, func(a, b placing) int {
		return cmp.Or(a.on.bed-b.on.bed, a.on.nth-b.on.nth, a.nth-b.nth, a.piece-b.piece, a.copy-b.copy)
	})
	return out
}

// spread makes the sheets of a packing, of the separation that is laid in this order,
// with what is pinned.
func (t *task) spread(order int) (out []Sheet) {
	var at onBed
	for _, x := range t.placings() {
		if len(out) == 0 || x.on != at {
			at = x.on
			out = append(out, t.sheet(order, at))
		}
		sheet, p := &out[len(out)-1], t.of[x.nth]
		if x.piece > 0 {
			sheet.putPiece(p, x.piece-1, x.move, x.copy)
		} else {
			sheet.put(p, x.move, x.copy)
		}
		b := t.beds[at.bed]
		sheet.use(b, b.reach(sheet.Placed[len(sheet.Placed)-1], t.edge))
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
		Which: Which{From: first.n, Of: first.of, Kind: b.kind, Size: b.size, Nth: at.nth + b.alike}, Way: t.way, Turns: t.turns, Room: b.room(t.edge), gap: t.seek.GapMM,
		Page: &cutfile.Page{
			Width: cutfile.ToSteps(b.size.WidthMM), Height: cutfile.ToSteps(b.size.HeightMM), IsSheet: true, BoardToPage: geometry.Identity(),
			Separations: []cutfile.Separation{{Order: order, Name: s.Name, Colour: s.Colour, Use: s.Use, Carry: s.Carry}},
		},
	}
	for _, f := range t.free {
		if f.On == out.Which {
			out.Free = append(out.Free, f.Box)
		}
	}
	return out
}
