// Package packing lays rectangles and true shapes on sheets and rolls so that
// little of them is used up. Nothing overlaps, nothing leaves its sheet, nothing
// is lost: what finds no place is told.
//
// # How it works
//
// A layout follows from an order of the items and a rule that puts one after
// the other where it fits best. Late acceptance hill climbing (Burke and Bykov,
// The late acceptance hill-climbing heuristic, 2017) looks for a better order:
// it needs neither a temperature nor to know how long it may search. The first
// layout is there after one pass; from then on it only gets better, until the
// steps are used up or the context ends.
//
// Rectangles are put on a skyline: the lowest place is filled with what fits it
// best (Burke, Kendall and Whitwell, A new placement heuristic for the orthogonal
// stock-cutting problem, 2004; Wei, Zhang and Chen, A least wasted first heuristic
// algorithm for the rectangular packing problem, 2009).
//
// Shapes are cut into narrow slabs across the sheet; in each slab a shape is the
// heights that it reaches over. A shape is put as far to the left as it goes and
// there as far down (bottom-left fill, in holes of other shapes too), which with
// slabs takes comparing heights only (the semi-discrete representation of Chehrazad,
// Roose and Wauters, A fast and scalable bottom-left-fill algorithm to solve
// nesting problems, 2022). Heights are exact, and a slab's are those of all of the
// shape within it, so that nothing overlaps whatever the slabs' width: broader
// ones only waste more. What is blocked is taken of the slabs
// from the start.
//
// # What is exact
//
// All positions are whole steps of 0.1 µm. With the same seed and number of steps
// the result is the same on every machine.
package packing
