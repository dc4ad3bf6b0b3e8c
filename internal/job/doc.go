// Package job holds what the user decided about a piece of work: the art, its
// size, which colour is cut from which sheet, what knocks out what. A Job is an
// immutable value; every edit is a pure function that returns another. What
// follows from a job (pieces, stacked places, the base) is worked out by
// package fit and never stored here.
//
// Layers are listed from the one at the bottom to the one on top, as art is
// drawn. Board coordinates are millimetres, y down.
//
// Its files in the order of reading, each of which uses only those before it.
// What there is: id, error, shape, primitive, text, content, layer, band, mend,
// blank, settings, job. What can be done with it: edit, doubtful, choice, mending,
// surround, folder, order, arrange, size, graft, add, copy, replace, redraw.
package job
