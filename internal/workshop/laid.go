package workshop

import (
	"context"
	"image"
	"image/color"
	paint "image/draw"
	"math"
	"slices"
	"strings"

	"abut/geometry/parallel"
	"abut/internal/colour"
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
	return out
}

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
