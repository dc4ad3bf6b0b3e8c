// Package assemble decides how the separations of a plan are put together:
// which of them carries the rest, in which order the others are laid and how each
// gets there, whether there is a frame, what all of it has to fit, and what each
// is called. It knows outlines and sizes, but no map.
//
// In reading order: separation.go (what is put together, and what comes of it), name.go, room.go (sheets
// and cutters), frame.go, carry.go, base.go, marks.go (to line film up), and
// assembly.go, which asks all of them.
package assemble
