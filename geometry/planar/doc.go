// Package planar overlays layers of filled shapes on one integer grid and
// answers, for every place at once, which layers cover it. It is the geometry
// of fitting colours edge to edge: stacked places, owners, pieces, the seams
// between them, all are read off one Map.
//
// # How it works
//
//  1. Curves become chords (within Options.SagittaMM), chords become segments
//     between points of a grid of 0.1 µm. Shapes that cross themselves or each
//     other go in as they are.
//  2. Chords that follow each other become runs, which lie in the boxes of their
//     ends. A grid of cells, finer where art is dense, brings together those that
//     may meet. Every end and every crossing, rounded to the grid, makes the
//     unit square around it hot; each segment is led through the centres of the
//     hot squares it passes (snap rounding). The fragments meet at vertices
//     only.
//  3. A sweep from left to right orders the fragments at every vertex and
//     knows, between any two neighbours, the winding number of every figure.
//     Windings are interned: an edge carries the name of a change, a face the
//     name of a state.
//  4. Winding states become covers: the layers whose figures, with their clips,
//     cover the place.
//
// A labelling of the faces says who owns what, by any rule; Heal gives slivers
// to their neighbours, and Divide reads off pieces and seams.
//
// # What it costs
//
// On one core of 2.3 GHz, a chord in 30 blobs of 2,000 that cross takes 173 ns (BenchmarkPasses tells
// it pass by pass): 16 to read it and put it on the grid, 34 to sort the ends and name vertices,
// 45 to find crossings, 11 to snap, 38 to make edges and sweep over them, 8 to name faces, 21 to divide. The limit is to
// read the chords, to sort them and to write edges and vertices: a third of it. A good part of the rest is
// branches that no processor can guess, each some 15 cycles: which side of a box tells, which way a segment
// runs, which neighbour ends first. Where both ways can be worked out and one taken, that is quicker. Where much
// crosses, parts of chords are what counts: a flag of 54,000 chords has 77,000 crossings and is 180,000
// parts until they are put together, some 800 ns each. So whoever makes outlines should not have
// them cross themselves over and over: of the densest flag's 400,000 crossings all but 5,500 were within
// the outlines of its strokes.
//
// Two workers share each pass from some thousand items on, and a map is made 1.5 to 1.7 times as fast
// from 20,000 chords on (BenchmarkWorkers). The rest is what one worker does alone: making room, walking along
// seams, chaining them around pieces; and reading from the other core's memory.
//
// # What is exact
//
// Within one map everything is: owners partition the plane, two pieces share
// no area, no gap is left, areas add up to the last square step. What rounding
// costs is derived at toGrid: some √½ step × perimeter against the chords,
// plus ⅔ · sagitta · length for the chords against their curves.
package planar
