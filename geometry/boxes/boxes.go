// Package boxes finds which of many rectangles meet one: what lies where, without a
// look at all there is. It puts an R-tree (Guttman, R-trees: a dynamic index structure
// for spatial searching, SIGMOD 1984) behind our types.
package boxes

import (
	"iter"
	"slices"

	"github.com/tidwall/rtree"

	"abut/geometry"
)

// Index files rectangles by their numbers. It may be asked by several goroutines at a
// time.
type Index struct{ tree rtree.RTreeG[int] }

// New files n rectangles, of which box returns each. An empty one meets nothing. It takes
// about n log n steps.
func New(n int, box func(i int) geometry.Rect) *Index {
	x := new(Index)
	for i := range n {
		if b := box(i); !b.Empty() {
			least, most := ends(b)
			x.tree.Insert(least, most, i)
		}
	}
	return x
}

// Meeting returns the numbers of those that meet a rectangle or touch it, the least first.
func (x *Index) Meeting(r geometry.Rect) (out []int) {
	if r.Empty() {
		return nil
	}
	least, most := ends(r)
	x.tree.Search(least, most, func(_, _ [2]float64, i int) bool {
		out = append(out, i)
		return true
	})
	slices.Sort(out)
	return out
}

// Near returns the numbers of those no further from a place than so much to each side, the
// least first.
func (x *Index) Near(at geometry.Point, within float64) []int {
	return x.Meeting(geometry.Rect{Min: at, Max: at}.Grow(within))
}

// Runs files a list of which what follows each other lies together, such as the sides of
// outlines, by runs of it.
type Runs[T any] struct {
	runs [][]T
	at   *Index
}

// inRun is how many a run has: the box about so much of an outline is small still.
const inRun = 32

// NewRuns files a list, which is not copied; box returns where one lies.
func NewRuns[T any](list []T, box func(T) geometry.Rect) *Runs[T] {
	r := &Runs[T]{runs: slices.Collect(slices.Chunk(list, inRun))}
	r.at = New(len(r.runs), func(i int) geometry.Rect {
		b := geometry.EmptyRect()
		for _, x := range r.runs[i] {
			b = b.Union(box(x))
		}
		return b
	})
	return r
}

// Meeting yields those runs, in order, of which the box meets a rectangle or touches it.
func (r *Runs[T]) Meeting(rect geometry.Rect) iter.Seq[[]T] {
	return func(yield func([]T) bool) {
		for _, i := range r.at.Meeting(rect) {
			if !yield(r.runs[i]) {
				return
			}
		}
	}
}

func ends(r geometry.Rect) (least, most [2]float64) {
	return [2]float64{r.Min.X, r.Min.Y}, [2]float64{r.Max.X, r.Max.Y}
}
