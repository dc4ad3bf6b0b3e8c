package layout

import (
	"cmp"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/packing"
	"abut/internal/cutfile"
	"abut/internal/drawer"
)

// Stock is what there is to cut a separation from. Lengths are millimetres.
type Stock struct {
	// Sheet is the size of a whole one, or of a roll, which has no height.
	Sheet drawer.Size
	// Direction is how its pattern runs: nothing is turned on one that has any.
	Direction drawer.Direction
	// Offcuts are used before whole sheets.
	Offcuts []drawer.Size
}

// Kind is what a sheet of a layout is cut from.
type Kind string

// The kinds.
const (
	Whole  Kind = "sheet"
	Offcut Kind = "offcut"
	Roll   Kind = "roll"
)

// bed is a sheet as it is packed on: along its longer side where it may be turned,
// so that what is left over is as broad as can be.
type bed struct {
	kind Kind
	// alike is how many offcuts of its size come before it.
	alike   int
	size    drawer.Size
	upright bool
	// along and across are the usable lengths, 0 for a roll's.
	along, across float64
}

// beds lists a stock's: the smallest offcut first, so that large ones are kept, then
// the whole sheets. edge is left free on all sides, and across no more is used than
// the cutter can cut.
func (s Stock) beds(edge, cutter float64) []bed {
	var out []bed
	offcuts := slices.Clone(s.Offcuts)
	slices.SortStableFunc(offcuts, func(a, b drawer.Size) int {
		return cmp.Compare(a.WidthMM*a.HeightMM, b.WidthMM*b.HeightMM)
	})
	for _, o := range offcuts {
		out = append(out, s.bed(Offcut, o, edge, cutter))
	}
	kind := Whole
	if s.Sheet.HeightMM == 0 {
		kind = Roll
	}
	out = append(out, s.bed(kind, s.Sheet, edge, cutter))
	for i := range out[:len(out)-1] {
		for _, b := range out[:i] {
			if b.size == out[i].size {
				out[i].alike++
			}
		}
	}
	return slices.DeleteFunc(out, func(b bed) bool { return b.across <= 0 || b.along <= 0 && b.kind != Roll })
}

func (s Stock) bed(kind Kind, size drawer.Size, edge, cutter float64) bed {
	b := bed{kind: kind, size: size, along: size.WidthMM - 2*edge, across: size.HeightMM - 2*edge}
	switch {
	case kind == Roll:
		b.upright, b.along, b.across = true, 0, math.Min(size.WidthMM-2*edge, cutter)
		return b
	case s.Direction == drawer.AnyWay && size.HeightMM > size.WidthMM:
		b.upright, b.along, b.across = true, b.across, b.along
	}
	// The shorter side goes across the cutter.
	if b.along < b.across {
		b.along = math.Min(b.along, cutter)
	} else {
		b.across = math.Min(b.across, cutter)
	}
	return b
}

// room is where on a sheet anything may lie, with so much kept free at its edge when the
// bed was made.
func (b bed) room(edge float64) Box {
	along, across := b.along, b.across
	if b.kind == Roll {
		along = endlessMM
	}
	lo, hi := geometry.Pt(edge, edge), geometry.Pt(edge+along, edge+across)
	if b.upright {
		lo, hi = geometry.Pt(b.size.WidthMM-edge-across, edge), geometry.Pt(b.size.WidthMM-edge, edge+along)
	}
	on := func(p geometry.Point) cutfile.Point {
		return cutfile.Point{X: cutfile.ToSteps(p.X), Y: cutfile.ToSteps(p.Y)}
	}
	return Box{on(lo), on(hi)}
}

// endlessMM is longer than any roll that is used.
const endlessMM = 100_000

// sheets are the beds for packing.
func sheets(beds []bed) []packing.Sheet {
	out := make([]packing.Sheet, len(beds))
	for i, b := range beds {
		out[i] = packing.Sheet{Width: b.along, Height: b.across}
		if b.kind == Offcut {
			out[i].Count = 1
		}
	}
	return out
}
