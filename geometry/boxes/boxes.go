// Package boxes finds which of many rectangles meet one: what lies where, without a
// look at all there is. It puts an R-tree (Guttman, R-trees: a dynamic index structure
// for spatial searching, SIGMOD 1984) behind our types.
package boxes

import (
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

func ends(r geometry.Rect) (least, most [2]float64) {
	return [2]float64{r.Min.X, r.Min.Y}, [2]float64{r.Max.X, r.Max.Y}
}
