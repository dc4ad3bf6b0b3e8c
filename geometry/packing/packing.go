package packing

import (
	"math"

	"abut/geometry"
	"abut/geometry/planar"
)

// Sheet is a kind of sheet to pack on, in millimetres.
type Sheet struct {
	// Width is along the sheet and Height across it. A Width of 0 stands for a
	// roll, which is as long as need be; what follows it in a list is never used.
	Width, Height float64
	// Count is how many there are, 0 for any number.
	Count int
}

// Options steer a search. The zero value has no sheets.
type Options struct {
	// Sheets are used in this order: the next only for what the ones before have
	// no room for.
	Sheets []Sheet
	// GapMM is what is left between any two items. Items may lie on the sheet's
	// edge.
	GapMM float64
	// Blocked are places where nothing comes to lie.
	Blocked []Blocked
	// Seed makes the choices.
	Seed uint64
	// Steps is how many layouts are tried; with 0 the search goes on until the
	// context ends.
	Steps int
	// Progress, unless nil, is called with the first layout and each better one.
	Progress func(Packing)
	// Tried, unless nil, is told now and then how many layouts were tried, and of the
	// first what share of it is there.
	Tried func(layouts float64)
	// SlabMM is how broad the slabs of shapes are, 0 for a width that suits them.
	SlabMM float64
}

// Blocked is a place on one sheet that is taken already, or not to be used: items keep
// the gap from it. It may reach over the sheet's edge.
type Blocked struct {
	// Kind indexes Options.Sheets, and Nth is which one of that kind, from 0.
	Kind, Nth int
	// Outline is filled even-odd, in millimetres from the sheet's lowest corner.
	Outline geometry.Path
}

// Packing is a layout of all items.
type Packing struct {
	// Placed are the items that found a place, in the order they were given in.
	Placed []Placed
	// Left are the items that found none.
	Left []int
	// Sheets are those that are used, in order.
	Sheets []Used
	// Step is the step that found it, from 1.
	Step int
}

// Placed is where an item lies: turned by the angle Turn about the origin of its
// own coordinates, one of its turns, and then shifted by Shift, whole steps.
type Placed struct {
	Item int
	// Copy is which of several alike it is, from 0.
	Copy int
	// Sheet indexes Packing.Sheets.
	Sheet int
	Turn  float64
	Shift geometry.Point
}

// Map returns how the item comes to its place.
func (p Placed) Map() geometry.Affine {
	return geometry.Translate(p.Shift.X, p.Shift.Y).Mul(geometry.Rotate(p.Turn))
}

// Used is one sheet with something on it.
type Used struct {
	// Kind indexes Options.Sheets, and Nth is which one of that kind, from 0.
	Kind, Nth int
	// Extent is how far, from its lowest corner, the sheet is used.
	Extent geometry.Point
}

// steps rounds to the grid; up and down are for what must not come out smaller, or
// larger, than it is; floats of some metres are off by some 1e-9 of a step.
func steps(mm float64) int32 { return int32(math.Round(mm * planar.StepsPerMM)) }
func up(mm float64) int32    { return int32(math.Ceil(mm*planar.StepsPerMM - 1e-7)) }
func down(mm float64) int32  { return int32(math.Floor(mm*planar.StepsPerMM + 1e-7)) }

func mm(v int32) float64 { return float64(v) / planar.StepsPerMM }

// endless is longer than any roll that is used, in steps: 100 m.
const endless = 1_000_000_000

// bin is one sheet, in steps, larger than it is by what is around every item.
type bin struct {
	kind, nth     int
	width, height int32
}

// bins lists the sheets one by one, no more than there are items and blocked ones, and
// larger by more.
func bins(sheets []Sheet, items int, more int32) []bin {
	var out []bin
	for k, s := range sheets {
		b := bin{kind: k, width: down(s.Width) + more, height: down(s.Height) + more}
		if s.Width == 0 {
			b.width = endless
			return append(out, b)
		}
		n := items
		if s.Count > 0 {
			n = min(n, s.Count)
		}
		for b.nth = range n {
			out = append(out, b)
		}
	}
	return out
}
