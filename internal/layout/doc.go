// Package layout puts what is cut of a job on sheets of their true size: copies of
// the design, on as few sheets, offcuts or as short a roll as it finds.
//
// Each colour is laid in one of two ways. Kept together, the pieces of a copy keep
// their places, so that transfer film carries them at once; a copy takes a rectangle,
// for film takes along whatever lies between. Loose, pieces are packed one by one by
// their true outlines, in holes of others too, and turned freely unless the sheet has
// a direction; each keeps its number. The base is always kept together: its pieces
// never move, and so is what a pen draws on.
//
// It starts from cutfile's page, which is mirrored already, and only moves and turns
// what is on it, in whole steps: copies are the same to the last digit.
package layout
