package workshop

import (
	"context"
	"image"
	"image/color"
	paint "image/draw"
	"math"
	"slices"
	"strings"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/internal/colour"
	"abut/internal/cutfile"
	"abut/internal/cutfile/png"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/layout"
	"abut/internal/message"
	"abut/internal/words"
)

// Laid is a job that is laid out, for looking at.
type Laid struct {
	*ManifestLayout
	sheets []layout.Sheet
	// rows are those of the designs, 0 without a list, each how many copies of each there
	// are, and was where it lay before.
	rows []int
	each int
	was  job.Laid
}

// Designs are what is cut of a job: one or, with a list, one for each row that is not
// left out.
type Designs struct{ all []design }

// DesignsOf makes the designs of a job. Errors are those of filling in and fitting; where
// rows of a list cannot be made, it says how many.
func DesignsOf(ctx context.Context, cache *fit.Cache, j job.Job) (Designs, error) {
	list := j.Settings.List
	j.Settings.List = nil
	if list == nil {
		d, err := designOf(ctx, cache, j)
		return Designs{[]design{d}}, err
	}
	l := ListOf(list)
	all, errs := make([]design, len(l.Rows)), make([]error, len(l.Rows))
	if err := parallel.Do(ctx, len(all), func(i int) {
		if l.Rows[i].Out {
			return
		}
		filled, _, err := fillRow(ctx, j, l, i)
		if err == nil {
			all[i], err = designOf(ctx, new(fit.Cache), filled)
		}
		all[i].row, errs[i] = i+1, err
	}); err != nil {
		return Designs{}, err
	}
	wrong := 0
	for _, err := range errs {
		if fit.IsCancelled(err) {
			return Designs{}, err
		}
		if err != nil {
			wrong++
		}
	}
	if wrong > 0 {
		return Designs{}, fail("list-rows-wrong", nil, "count", words.Count(wrong))
	}
	return Designs{slices.DeleteFunc(all, func(d design) bool { return d.row == 0 })}, nil
}

// LayOut lays the designs of a job out as Write and CutList do, and writes nothing. first
// gets a quick layout; what is returned is the best one, or the best so far as soon as
// enough ends. progress is told the share that is done. Errors are those of Write, or the
// context's.
func LayOut(ctx, enough context.Context, d Designs, j job.Job, o WriteOptions, first func(Laid), progress func(float64)) (Laid, error) {
	set := o.Layout.of(j)
	if j.Settings.List != nil {
		set.Copies = 1 // the list says how many
	}
	tell := func(l *layout.Layout) (Laid, error) {
		pages, err := o.forCutting(ctx, l)
		if err != nil {
			return Laid{}, err
		}
		out := Laid{ManifestLayout: set.describe(l, d.all, pages), sheets: l.Sheets, each: max(1, set.Copies), was: set.laid}
		for _, x := range d.all {
			out.rows = append(out.rows, x.row)
		}
		return out, nil
	}
	set.first = func(l *layout.Layout) {
		if quick, err := tell(l); err == nil {
			first(quick)
		}
	}
	percent := 0
	set.told = func(share float64) {
		if now := int(100 * share); now > percent {
			percent = now
			progress(share)
		}
	}
	set.enough = enough.Done()
	l, err := set.layOut(ctx, d.all)
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return Laid{}, err
	}
	return tell(l)
}

// Kept is where all of a layout lies, for the job to keep. What of it is pinned, and what
// is kept free, is as the job has it.
func (l Laid) Kept() job.Laid {
	var out job.Laid
	pinned := l.pins()
	for i := range l.sheets {
		out.Sheets = append(out.Sheets, l.sheet(i))
		for _, x := range l.sheets[i].Placed {
			t := l.thing(i, x)
			t.Pinned = pinned[l.place(t)]
			out.Things = append(out.Things, t)
		}
	}
	for _, f := range l.was.Free {
		on := l.was.Sheets[f.Sheet]
		if f.Sheet = slices.Index(out.Sheets, on); f.Sheet < 0 { // nothing lies there now
			f.Sheet, out.Sheets = len(out.Sheets), append(out.Sheets, on)
		}
		out.Free = append(out.Free, f)
	}
	return out
}

// Obstacle is why something cannot lie at a place.
type Obstacle = layout.Obstacle

// What may be in the way.
const (
	OffSheet = layout.OffSheet
	TooNear  = layout.TooNear
	OnFree   = layout.OnFree
)

// Move returns thing k of sheet i as it lies once turned clockwise by so many quarters and
// moved by so many millimetres, pinned there, and what is in the way of that, 0 for
// nothing. Things count as in Kept.
func (l Laid) Move(ctx context.Context, i, k, quarters int, by geometry.Point) (job.LaidThing, Obstacle, error) {
	s := &l.sheets[i]
	x, why, err := s.Moved(ctx, k, quarters, cutfile.Point{X: cutfile.ToSteps(by.X), Y: cutfile.ToSteps(by.Y)})
	t := l.thing(i, x)
	t.Pinned = true
	return t, why, err
}

// At returns which thing of sheet i lies at a place, −1 for none.
func (l Laid) At(i int, p geometry.Point) int {
	return l.sheets[i].At(cutfile.Point{X: cutfile.ToSteps(p.X), Y: cutfile.ToSteps(p.Y)})
}

// Turns reports whether what lies on sheet i may be turned: not where its pattern runs one
// way.
func (l Laid) Turns(i int) bool { return l.sheets[i].Turns }

// Thing paints thing k of sheet i alone, at so many pixels a millimetre.
func (l Laid) Thing(i, k int, scale float64) image.Image {
	p := l.sheets[i].Alone(k)
	return png.Sheet(p, 0, max(1, int(scale*math.Max(p.Width.MM(), p.Height.MM()))))
}

// thing is what lies on sheet i, as the job keeps it.
func (l Laid) thing(i int, x layout.Placed) job.LaidThing {
	return job.LaidThing{
		Sheet: i, Row: l.rows[x.From], Of: x.Of, Copy: (x.Copy-1)%l.each + 1, Piece: x.Piece, Turn: x.Turn, Min: x.Min.MM(), Max: x.Max.MM(),
	}
}

// sheet is sheet i, as the job keeps it.
func (l Laid) sheet(i int) job.LaidSheet {
	s := &l.sheets[i]
	return job.LaidSheet{Row: l.rows[s.From], Of: s.Of, Kind: string(s.Kind), WidthMM: s.Size.WidthMM, HeightMM: s.Size.HeightMM, Nth: s.Nth}
}

// laidPlace is what lies on which sheet, and where: its turn and the corners of its bounds.
type laidPlace struct {
	sheet                job.LaidSheet
	row, of, copy, piece int
	turn                 float64
	min, max             cutfile.Point
}

func placeOf(t job.LaidThing, on job.LaidSheet) laidPlace {
	at := func(p geometry.Point) cutfile.Point {
		return cutfile.Point{X: cutfile.ToSteps(p.X), Y: cutfile.ToSteps(p.Y)}
	}
	return laidPlace{on, t.Row, t.Of, t.Copy, t.Piece, t.Turn, at(t.Min), at(t.Max)}
}

func (l Laid) place(t job.LaidThing) laidPlace { return placeOf(t, l.sheet(t.Sheet)) }

// pins are where things were pinned: what could not stay there is pinned no more.
func (l Laid) pins() map[laidPlace]bool {
	out := map[laidPlace]bool{}
	for _, t := range l.was.Things {
		if t.Pinned {
			out[placeOf(t, l.was.Sheets[t.Sheet])] = true
		}
	}
	return out
}

// Called is the name of what sheet i is cut from.
func (l Laid) Called(w *words.Words, i int) string {
	k := slices.IndexFunc(l.Costs.Colors, func(c ManifestCost) bool { return c.Order == l.Sheets[i].Order })
	return words.Capital(w.Put(l.Costs.Colors[k].called))
}

// Colour is that of sheet i, once pressed.
func (l Laid) Colour(i int) colour.RGB { return l.sheets[i].Page.Separations[0].Colour }

// Picture paints sheet i as it lies on the mat, so mirrored, as large as it fits into a
// size in pixels.
func (l Laid) Picture(i int, size image.Point) image.Image {
	w, h := l.sheets[i].Page.Width.MM(), l.sheets[i].Page.Height.MM()
	scale := math.Min(float64(size.X)/w, float64(size.Y)/h)
	pieces := png.Sheet(l.sheets[i].Page, 0, int(scale*math.Max(w, h)))
	out := image.NewRGBA(pieces.Bounds())
	paint.Draw(out, out.Rect, image.NewUniform(sheetEdge), image.Point{}, paint.Src)
	paint.Draw(out, out.Rect.Inset(2), image.White, image.Point{}, paint.Src)
	paint.Draw(out, out.Rect, pieces, pieces.Bounds().Min, paint.Over)
	for _, f := range l.sheets[i].Free {
		hatch(out, f, scale)
	}
	pinned := l.pins()
	for _, x := range l.sheets[i].Placed {
		if pinned[l.place(l.thing(i, x))] {
			at := x.At.MM()
			pin(out, at.X*scale, at.Y*scale)
		}
	}
	return out
}

// hatch marks what is kept free: grey lines, for red ones are what stacks.
func hatch(out *image.RGBA, f layout.Box, scale float64) {
	const apart, broad = 14, 3 // pixels
	lo, hi := f.Min.MM(), f.Max.MM()
	r := image.Rect(int(lo.X*scale), int(lo.Y*scale), int(math.Ceil(hi.X*scale)), int(math.Ceil(hi.Y*scale))).Intersect(out.Rect)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			edge := !image.Pt(x, y).In(r.Inset(broad))
			if edge || (x+y)%apart < broad {
				out.Set(x, y, freeDark)
			} else {
				out.Set(x, y, freeLight)
			}
		}
	}
}

// pin marks what is pinned: a dot with a light and a dark ring, to be seen on any colour.
func pin(out *image.RGBA, cx, cy float64) {
	const r = 9.0 // pixels
	for y := int(cy - r - 1); y <= int(cy+r+1); y++ {
		for x := int(cx - r - 1); x <= int(cx+r+1); x++ {
			switch d := math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy); {
			case !image.Pt(x, y).In(out.Rect) || d > r:
			case d > r-2 || d < r-5:
				out.Set(x, y, freeDark)
			default:
				out.Set(x, y, color.White)
			}
		}
	}
}

var freeDark, freeLight = color.NRGBA{70, 76, 80, 255}, color.NRGBA{236, 236, 234, 255}

// sheetEdge shows where a sheet ends, on light and on dark.
var sheetEdge = color.NRGBA{160, 160, 160, 255}

// CostsLine says in one line what a layout takes, how many sheets of that are to be
// bought, what it costs and how long it is cut.
func CostsLine(w *words.Words, l *ManifestLayout) string {
	var all ManifestCost
	buy, known := 0, false
	for _, c := range l.Costs.Colors {
		all.Sheets, all.Offcuts, all.RollMM = all.Sheets+c.Sheets, all.Offcuts+c.Offcuts, all.RollMM+c.RollMM
		if c.Buy != nil {
			buy, known = buy+*c.Buy, true
		}
	}
	say := func(id string, pairs ...any) string { return w.Message(words.Pairs(id, pairs...)) }
	out := []string{w.List(all.takes(w))}
	if known {
		out = append(out, say("costs-line-buy", "count", words.Count(buy)))
	}
	return strings.Join(append(out, l.Costs.sumText(w, l.Copies), say("costs-line-cut",
		"length", message.Exact{Value: l.Costs.CutMM / 1000, Decimals: 2}, "count", words.Count(max(1, int(math.Round(l.Costs.CutS/60)))))), " · ")
}
