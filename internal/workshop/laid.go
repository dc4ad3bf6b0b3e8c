package workshop

import (
	"context"
	"image"
	"image/color"
	paint "image/draw"
	"math"
	"slices"
	"strings"

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
}

// LayOut lays a job out as Write does, and writes nothing. first gets a quick layout;
// what is returned is the best one, or the best so far as soon as enough ends. progress
// is told the share that is done. Errors are those of Write, or the context's.
func LayOut(ctx, enough context.Context, cache *fit.Cache, j job.Job, o LayoutOptions, first func(Laid), progress func(float64)) (Laid, error) {
	o = o.of(j)
	d, err := designOf(ctx, cache, j)
	if err != nil {
		return Laid{}, err
	}
	all := []design{d}
	lay := func(ctx context.Context, o LayoutOptions) (Laid, error) {
		l, err := o.layOut(ctx, all)
		if err != nil {
			return Laid{}, err
		}
		return Laid{o.describe(l, all), l.Sheets}, nil
	}
	quick := o
	quick.Tries = 1
	best, err := lay(ctx, quick)
	if err != nil {
		return best, err
	}
	first(best)
	o.told = func(separation, _ int) { progress(float64(separation) / float64(len(d.page.Separations))) }
	ending, end := context.WithCancel(ctx)
	defer end()
	defer context.AfterFunc(enough, end)()
	switch better, err := lay(ending, o); {
	case err == nil:
		return better, ctx.Err()
	case ending.Err() == nil:
		return best, err
	}
	return best, ctx.Err()
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
