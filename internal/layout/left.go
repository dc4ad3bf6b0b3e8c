package layout

import (
	"cmp"
	"slices"

	"abut/internal/cutfile"
	"abut/internal/drawer"
)

// Box is a rectangle on a sheet.
type Box struct{ Min, Max cutfile.Point }

// size is how large it is, down to tenths of a millimetre: nobody cuts closer by hand, and
// no more than is there is told.
func (b Box) size() drawer.Size {
	const tenth = cutfile.StepsPerMM / 10
	side := func(s cutfile.Steps) float64 { return (s - s%tenth).MM() }
	return drawer.Size{WidthMM: side(b.Max.X - b.Min.X), HeightMM: side(b.Max.Y - b.Min.Y)}
}

// mostLeft is how many offcuts of one sheet are kept: the third is hardly ever large.
const mostLeft = 2

// left returns what is worth keeping of a sheet with taken places on it: the largest
// free rectangle, and the largest beside it.
func left(size cutfile.Point, taken []Box) (out []Box) {
	taken = slices.Clone(taken)
	for range mostLeft {
		b, ok := largestFree(size, taken)
		if !ok {
			break
		}
		out, taken = append(out, b), append(taken, b)
	}
	return out
}

// largestFree returns the largest rectangle worth keeping that touches none of those
// that are taken but at its edges; false where there is none.
//
// Its left side is the sheet's or where something taken ends, its right side the sheet's
// or where something begins. From each left side on a line sweeps to the right over what
// is taken and keeps the heights that this reaches over; the widest gap between them is
// the height of the largest rectangle up to there, and only becomes less.
func largestFree(size cutfile.Point, taken []Box) (best Box, ok bool) {
	least := cutfile.ToSteps(drawer.KeepMM)
	taken = slices.SortedFunc(slices.Values(taken), func(a, b Box) int { return cmp.Compare(a.Min.X, b.Min.X) })
	lefts := []cutfile.Steps{0}
	for _, t := range taken {
		lefts = append(lefts, t.Max.X)
	}
	slices.Sort(lefts)
	most := cutfile.Steps(0) // in square steps: of sheets of some metres far below what fits
	for _, from := range slices.Compact(lefts) {
		var over []Box
		for i := 0; i <= len(taken); i++ {
			to := size.X
			if i < len(taken) {
				if taken[i].Max.X <= from {
					continue
				}
				to = min(taken[i].Min.X, size.X)
			}
			low, high := widestGap(over, size.Y)
			if high-low < least || (size.X-from)*(high-low) <= most {
				break
			}
			if area := (to - from) * (high - low); to-from >= least && area > most {
				most, ok = area, true
				best = Box{cutfile.Point{X: from, Y: low}, cutfile.Point{X: to, Y: high}}
			}
			if i < len(taken) {
				at, _ := slices.BinarySearchFunc(over, taken[i], func(a, b Box) int { return cmp.Compare(a.Min.Y, b.Min.Y) })
				over = slices.Insert(over, at, taken[i])
			}
		}
	}
	return best, ok
}

// widestGap returns the lower end of the widest gap between boxes, from the lowest up,
// and its upper end.
func widestGap(over []Box, height cutfile.Steps) (low, high cutfile.Steps) {
	at := cutfile.Steps(0)
	for _, b := range over {
		if b.Min.Y-at > high-low {
			low, high = at, b.Min.Y
		}
		at = max(at, b.Max.Y)
	}
	if height-at > high-low {
		low, high = at, height
	}
	return low, high
}
