// Package geometry holds the plane geometry of cutting: points, affine maps,
// paths of straight lines and cubic Béziers, their areas and bounds, and their
// flattening to chords.
//
// Lengths are millimetres unless a name says otherwise, angles are radians
// unless a name ends in Deg, x points right and y points down. With y down, an
// outline that runs clockwise on screen has positive signed area. Tolerances
// are arguments; nothing here keeps a global one.
//
// The package and those beneath it use the standard library only (boxes
// and pairwise excepted, which put a tree of rectangles and another engine behind the same types).
package geometry
