package workshop

import (
	"cmp"
	"context"
	"errors"
	"math"

	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/layout"
	"abut/internal/message"
)

// LayoutOptions say how what is cut is laid out on sheets. With the zero value it is
// not: every colour is one file as large as the design.
type LayoutOptions struct {
	// Way is empty where nothing is laid out, unless the job, copies or a roll say so;
	// AsOne lays nothing out all the same.
	Way   layout.Way
	AsOne bool
	// Copies is how many of the design there are, 0 for one.
	Copies int
	// RollMM is the width of rolls that all is cut from; 0 for sheets.
	RollMM float64
	// GapMM is left between what is cut apart, 0 for DefaultGapMM.
	GapMM float64
	// Tries is how many layouts are tried for each colour, 0 for as many as a few
	// seconds allow.
	Tries int
	// SpeedMMS is how fast the cutter cuts, in mm/s, 0 for DefaultSpeedMMS.
	SpeedMMS float64
	// Drawer are the user's own sheets: offcuts of those are used first.
	Drawer []drawer.Sheet

	// laid is where the job has it all lie already, where it is laid out as the job says.
	laid job.Laid
	// first, enough and told are First, Enough and Progress of layout.Options.
	first  func(*layout.Layout)
	enough <-chan struct{}
	told   func(share float64)
}

const (
	// DefaultGapMM is twice the narrowest width that can be cut and weeded: the waste
	// between holds together when it is lifted.
	DefaultGapMM = 2
	// mostTries are as many as save much: ten times as many save a few per cent more.
	mostTries = 300
	// placings are how many times anything is put somewhere by default: some ten
	// seconds. Of ten thousand loose pieces few layouts are tried then.
	placings = 200_000
	// Pieces of designs that differ take some four times as long each: of those no two
	// share what was found out about the other.
	slowdown = 4
)

// of are the options with what a job keeps where they say nothing. Copies or a roll are
// laid out together unless anything says else.
func (o LayoutOptions) of(j job.Job) LayoutOptions {
	if o.AsOne {
		return LayoutOptions{AsOne: true}
	}
	asked := o
	if k := j.Settings.Layout; k.On() {
		if k.Loose {
			o.Way = cmp.Or(o.Way, layout.Loose)
		}
		o.Way = cmp.Or(o.Way, layout.Together)
		o.Copies, o.RollMM, o.GapMM = cmp.Or(o.Copies, k.Copies), cmp.Or(o.RollMM, k.RollMM), cmp.Or(o.GapMM, k.SpacingMM)
		if differs := asked.Copies > 0 && asked.Copies != k.Copies || asked.RollMM > 0 && asked.RollMM != k.RollMM || asked.GapMM > 0 && asked.GapMM != k.SpacingMM ||
			asked.Way != "" && (asked.Way == layout.Loose) != k.Loose; !differs {
			o.laid = j.Settings.Laid
		}
	}
	if o.Copies > 1 || o.RollMM > 0 {
		o.Way = cmp.Or(o.Way, layout.Together)
	}
	return o
}

// on reports whether anything is laid out.
func (o LayoutOptions) on() bool { return o.Way != "" }

// design is what is laid out: a job with what is cut of it and its page.
type design struct {
	// row is that of a list, from 1, 0 without one.
	row  int
	job  job.Job
	cut  *fit.Plan
	page *cutfile.Page
}

func newDesign(j job.Job, cut *fit.Plan) (d design, err error) {
	d.job, d.cut = j, cut
	d.page, err = cutfile.New(cut)
	return d, err
}

// layOut lays out designs, the cutter being that of the first.
func (o LayoutOptions) layOut(ctx context.Context, all []design) (*layout.Layout, error) {
	pages := make([]*cutfile.Page, len(all))
	for i, d := range all {
		pages[i] = d.page
	}
	set := layout.Options{
		Way: o.Way, Copies: o.Copies, CutterMM: all[0].job.Settings.Cutter(), GapMM: DefaultGapMM, EdgeMM: cutfile.TrimMarginMM, Tries: o.tries(pages), First: o.first, Enough: o.enough, Progress: o.told,
		Stock: func(n, i int) layout.Stock { return o.stock(all[n].job, &all[n].cut.Separations[i]) },
	}
	if o.GapMM > 0 {
		set.GapMM = o.GapMM
	}
	o.keep(&set, all)
	l, err := layout.Lay(ctx, pages, set)
	var room *layout.RoomError
	if errors.As(err, &room) {
		return nil, fail("layout-no-room", err, "name", all[room.Page].cut.Separations[room.Separation].Called(), "size", message.Size{Width: room.WidthMM, Height: room.HeightMM})
	}
	return l, err
}

// keep has designs laid out as they lay, as far as the job knows: what is of rows that
// are not cut lapses.
func (o LayoutOptions) keep(set *layout.Options, all []design) {
	page := map[int]int{}
	for i, d := range all {
		page[d.row] = i
	}
	at := func(p geometry.Point) cutfile.Point {
		return cutfile.Point{X: cutfile.ToSteps(p.X), Y: cutfile.ToSteps(p.Y)}
	}
	on := func(i int) (w layout.Which, ok bool) {
		s := o.laid.Sheets[i]
		w = layout.Which{Of: s.Of, Kind: layout.Kind(s.Kind), Size: drawer.Size{WidthMM: s.WidthMM, HeightMM: s.HeightMM}, Nth: s.Nth}
		w.From, ok = page[s.Row]
		return w, ok
	}
	each := max(1, o.Copies)
	for _, t := range o.laid.Things {
		w, ok := on(t.Sheet)
		from, too := page[t.Row]
		if !ok || !too {
			continue
		}
		p := layout.Pinned{On: w, Placed: layout.Placed{Copy: from*each + t.Copy, Piece: t.Piece, From: from, Of: t.Of, Turn: t.Turn, Min: at(t.Min), Max: at(t.Max)}}
		set.Earlier = append(set.Earlier, p)
		if t.Pinned {
			set.Pinned = append(set.Pinned, p)
		}
	}
	for _, f := range o.laid.Free {
		if w, ok := on(f.Sheet); ok {
			set.KeptFree = append(set.KeptFree, layout.KeptFree{On: w, Box: layout.Box{Min: at(f.Min), Max: at(f.Max)}})
		}
	}
	if o.Tries > 0 { // better ones are asked for
		set.Earlier = nil
	}
}

// tries is how many layouts are tried of each separation: as many as there is time for.
func (o LayoutOptions) tries(pages []*cutfile.Page) int {
	if o.Tries > 0 {
		return o.Tries
	}
	items := 0
	for _, page := range pages {
		for i := range page.Separations {
			n := 1
			if o.Way == layout.Loose {
				n = len(page.Separations[i].Pieces)
			}
			items += n * max(1, o.Copies)
		}
	}
	if o.Way == layout.Loose && len(pages) > 1 {
		items *= slowdown
	}
	return max(1, min(mostTries, placings/max(1, items)))
}

// stock is what there is to cut a separation from.
func (o LayoutOptions) stock(j job.Job, s *fit.Separation) layout.Stock {
	var out layout.Stock
	sheet, _ := j.Sheet(s.Of.Sheet)
	out.Sheet.WidthMM, out.Sheet.HeightMM = j.Settings.SizeOf(sheet)
	if o.RollMM > 0 {
		out.Sheet = drawer.Size{WidthMM: o.RollMM}
	}
	if own := o.owned(j, s); own != nil {
		out.Offcuts, out.Direction = own.Offcuts, own.Direction
	}
	return out
}

// ManifestLayout says in job.json what lies on which sheet, where that was laid out.
type ManifestLayout struct {
	Way    layout.Way      `json:"way"`
	Copies int             `json:"copies"`
	Sheets []ManifestSheet `json:"sheets"`
	// Costs are what all that takes.
	Costs *ManifestCosts `json:"costs"`
	// lapsed is how many pins could not be kept.
	lapsed int
}

// ManifestSheet is one sheet to cut.
type ManifestSheet struct {
	// Order is that of the separation.
	Order int         `json:"order"`
	Kind  layout.Kind `json:"kind"`
	// Buy: there are fewer whole ones in the user's own list.
	Buy bool `json:"buy"`
	// Way is together for the base and for what is drawn on in any case.
	Way layout.Way `json:"way"`
	// SheetMM is the size of the sheet, and of the page of its files.
	SheetMM [2]float64 `json:"sheet_mm"`
	Files   []string   `json:"files"`
	// AreaMM2 is that of the pieces, CutMM the length of what is cut, UsedMM how much of
	// the sheet is used, and LeftMM the sizes of what is left and worth keeping.
	AreaMM2 float64          `json:"area_mm2"`
	CutMM   float64          `json:"cut_mm"`
	UsedMM  [2]float64       `json:"used_mm"`
	LeftMM  [][2]float64     `json:"left_mm"`
	Placed  []ManifestPlaced `json:"placed"`
}

// ManifestPlaced is a copy, or a piece of one, on a sheet, mirrored as its file is.
type ManifestPlaced struct {
	Copy int `json:"copy"`
	// Piece is 0 for all pieces of the copy.
	Piece    int     `json:"piece"`
	XMM      float64 `json:"x_mm"`
	YMM      float64 `json:"y_mm"`
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
	TurnDeg  float64 `json:"turn_deg"`
}

// describe tells of a layout of designs, cut as on these pages; the files' names come later.
func (o LayoutOptions) describe(l *layout.Layout, all []design, pages []*cutfile.Page) *ManifestLayout {
	m := &ManifestLayout{Way: o.Way, Copies: len(all) * max(1, o.Copies), Costs: o.costs(l, all, pages), lapsed: l.Lapsed}
	whole := map[int]int{} // how many of a separation are whole sheets so far
	for i := range l.Sheets {
		s := &l.Sheets[i]
		x := ManifestSheet{
			Order: s.Page.Separations[0].Order, Kind: s.Kind, Way: s.Way, SheetMM: [2]float64{s.Page.Width.MM(), s.Page.Height.MM()},
			AreaMM2: rounded(s.AreaMM2), CutMM: rounded(s.CutMM() + pages[i].Separations[0].AidsMM()), UsedMM: sides(s.UsedMM), LeftMM: [][2]float64{},
		}
		if s.Kind == layout.Whole {
			d := &all[s.From]
			own := o.owned(d.job, &d.cut.Separations[s.Of])
			x.Buy = own != nil && own.Count >= 0 && whole[x.Order] >= own.Count
			whole[x.Order]++
		}
		for _, left := range s.Left {
			x.LeftMM = append(x.LeftMM, sides(left))
		}
		for _, p := range s.Placed {
			x.Placed = append(x.Placed, ManifestPlaced{
				Copy: p.Copy, Piece: p.Piece, XMM: p.Min.X.MM(), YMM: p.Min.Y.MM(),
				WidthMM: (p.Max.X - p.Min.X).MM(), HeightMM: (p.Max.Y - p.Min.Y).MM(), TurnDeg: rounded(p.Turn * 180 / math.Pi),
			})
		}
		m.Sheets = append(m.Sheets, x)
	}
	return m
}

func sides(s drawer.Size) [2]float64 { return [2]float64{rounded(s.WidthMM), rounded(s.HeightMM)} }
