// Package thing finds the things of a drawing, what a person would name: a line,
// a dot, a letter, a run of dashes, an outline around a shape. A mend may say what
// becomes of one as it is drawn, before the layers are laid over each other: then
// all that lies beneath refits as it does for any other edit, edges stay as clean as
// drawn, and what is alike stays alike.
//
// In reading order: slant.go (how long and broad one is, however it is turned), look.go (what it is
// by its shape), alike.go (which things belong together), grow.go (one of them broader or larger),
// dots.go (the dots of letters as large as they must be), fine.go (its hairlines broader, and its stems as they are), strands.go (narrow contours that one is
// made of), runs.go (dashes and the line that they follow), thing.go (connected parts of a layer's
// shapes and what they are), finder.go (which of them lies where), rhythm.go (how long dashes and gaps are along a line), dashes.go (dashes
// with another width), rays.go (lines that end sooner beside each other), ground.go (where a line ends
// on what it lies on), rim.go (what shows around what lies over a thing as broad as it must be), baseline.go and spacing.go (the line that letters stand on, and letters further apart), displace.go (a straight side moved), draw.go (a layer's shapes with its mends).
package thing
