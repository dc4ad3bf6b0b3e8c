package job

import (
	"math"
	"slices"

	"abut/geometry"
)

// Pages returns the pages that the items came with, on the board, together.
func Pages(j Job) geometry.Rect {
	r := geometry.EmptyRect()
	for _, it := range j.Items {
		r = r.Union(it.Placement.MapRect(it.Canvas))
	}
	return r
}

// scaled returns the job with all items k times as large about from, which comes
// to lie at to.
func scaled(j Job, from, to geometry.Point, k float64) Job {
	m := geometry.Translate(to.X, to.Y).Mul(geometry.Scale(k, k)).Mul(geometry.Translate(-from.X, -from.Y))
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		j.Items[i].Placement = m.Mul(j.Items[i].Placement)
	}
	return j
}

// Shift moves all items on the board.
func Shift(j Job, by geometry.Point) Job { return scaled(j, geometry.Point{}, by, 1) }

// Resize scales all items about the top left corner of extent, where their art
// lies on the board, so that it becomes widthMM wide or heightMM high; the other
// length must be 0. Surrounds keep their widths.
func Resize(j Job, extent geometry.Rect, widthMM, heightMM float64) (Job, error) {
	if (widthMM == 0) == (heightMM == 0) {
		return j, refuse("edit-bad-size")
	}
	a := artOf(j, extent)
	k := a.factor(geometry.Rect.Width, widthMM)
	if widthMM == 0 {
		k = a.factor(geometry.Rect.Height, heightMM)
	}
	return a.grow(j, k, func(r geometry.Rect) geometry.Point { return r.Min }, extent.Min)
}

// FillBlank scales and moves all items so that extent, where their art lies on
// the board, fills the blank's safe area as far as its proportions let it, in the
// middle. A round one's is taken by the corners. Surrounds keep their widths.
func FillBlank(j Job, extent geometry.Rect) (Job, error) {
	b := j.Settings.BlankShape
	if b == nil {
		return j, refuse("edit-bad-blank")
	}
	a := artOf(j, extent)
	return a.grow(j, a.factor(b.fill, 1), geometry.Rect.Centre, b.At)
}

// art is what a job's items cover, for scaling it: surrounds are part of it and
// yet keep their widths.
type art struct {
	extent geometry.Rect
	reaches
	// surrounded: some of it is.
	surrounded bool
}

func artOf(j Job, extent geometry.Rect) art {
	a := art{extent: extent, reaches: reachesOf(j, func(l *Layer) bool { return l.Use != LeftOut })}
	for _, r := range a.reaches {
		a.surrounded = a.surrounded || r.mm > 0
	}
	if !a.surrounded {
		a.reaches = reaches{0: {art: extent}} // which is more exact
	}
	return a
}

// at returns the extent once the art is k times as large about a place. What the
// extent has beyond the bounds of curves, such as the tips of sharp corners, or
// lacks stays as it is.
func (a art) at(k float64, place geometry.Point) geometry.Rect {
	now, then := a.bounds(), geometry.EmptyRect()
	for _, r := range a.reaches {
		then = then.Union(geometry.Rect{Min: place.Lerp(r.art.Min, k), Max: place.Lerp(r.art.Max, k)}.Grow(r.mm))
	}
	return geometry.Rect{Min: then.Min.Add(a.extent.Min.Sub(now.Min)), Max: then.Max.Add(a.extent.Max.Sub(now.Max))}
}

// factor returns how many times as large the art has to be for its extent to
// have a size, which is in proportion to that of a rectangle: 0 when it never
// has, infinite when it always is smaller.
func (a art) factor(size func(geometry.Rect) float64, want float64) float64 {
	if !a.surrounded {
		return want / size(a.extent)
	}
	at := func(k float64) float64 { return size(a.at(k, a.extent.Min)) }
	low, high := 0.0, 1.0
	for at(high) < want {
		if high *= 2; high > 1e12 { // only art without a size needs more
			return math.Inf(1)
		}
	}
	for range 60 { // halvings, to the last digit
		if k := (low + high) / 2; at(k) < want {
			low = k
		} else {
			high = k
		}
	}
	return low
}

// grow returns the job with all art k times as large and a point of its extent
// at a place.
func (a art) grow(j Job, k float64, point func(geometry.Rect) geometry.Point, at geometry.Point) (Job, error) {
	if a.extent.Empty() || !(k > 0) || math.IsInf(k, 0) {
		return j, refuse("edit-bad-size")
	}
	from := point(a.extent)
	out := scaled(j, from, at.Add(from.Sub(point(a.at(k, from)))), k)
	for _, it := range out.Items {
		if !invertible(it.Placement) {
			return j, refuse("edit-bad-size")
		}
	}
	return out, nil
}
