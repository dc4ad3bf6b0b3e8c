// Package weak finds the places of cut pieces that a blade can hardly cut or a
// hand can hardly weed: where a piece, or a gap between pieces, is narrower than
// a given width.
//
// # What counts
//
// A piece is opened: shrunk by half the width and grown back (opening by a disc,
// Serra, Image Analysis and Mathematical Morphology, 1982, chapter II). What does
// not come back is the residue. Every corner leaves some; a residue counts when
// it is longer than the width, which for a straight corner means sharper than
// 2·atan ½ = 53.1°.
//
// Opening alone is blind to a short waist: two discs that overlap a little are
// shrunk apart and grown together again. So the same question is asked of the
// outline too: the largest disc inside the piece that touches the outline at a
// place (a medial disc; Blum, 1967) is narrower than the width, and touches the
// other side at an angle that no corner of 53.1° or more has. Both together are
// the thin part of a piece. Where it leads on to sturdy parts says what it is.
//
// # How it is found
//
// Along the outline, the largest disc and its centre change without a jump. So the
// stretches along which discs are smaller than half the width, the banks of thin
// parts, end where a disc of just that size touches, and it touches the end of
// another one across from there. From bank to end, across, and along the next bank:
// that is the border of a thin part, and no map is laid. Which piece is on the other
// side is told by sides with the same corners.
//
// A map is laid, and shapes are opened on it, where banks cannot be followed: in a
// pinch of many corners, and where rounding leaves an end without another one. Each shape
// that needs one has a map of its own.
//
// What is asked for in parts of a picture (Options.Within) is asked there alone: from the sides
// that lie near, along the outline and across it, as far as it is thin. So each spot is found as
// it would be among all others. With a Memory, what an outline answered is asked again only
// within a width of sides that came or went, and a map is laid anew only for a shape that changed.
//
// # Accuracy
//
// Outlines are taken as they are, polygons on planar's grid: a curve's chords
// add their own sagitta to a width. The narrowest distance of a neck is exact for
// the polygon. What is within 0.01 mm of the width may be found or not. Of a thousand
// jagged polygons that touch themselves one or two have a neck that is told otherwise by
// following banks than by a map.
//
// Cost: O(n log n) for n chords, times the number of chords that lie no further than
// where it is thin. All the open art takes as long as fitting it does: a third of that
// where lines are dense, seven times where few lines are thin all along. Where a map is
// needed here too it is thirty to a hundred times.
package weak
