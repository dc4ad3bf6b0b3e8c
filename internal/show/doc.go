// Package show makes a lesson of a job: steps that say, one short sentence each,
// why stacked colours fail and how the pieces come together, and for every step a
// drawing as a function of time. It knows no screen: window, handout and web page
// draw the same lists of shapes.
//
// In reading order: scene.go (what a drawing is), ease.go (how things move), art.go
// (what a job's plans give to draw), props.go (sheet, press and blanks, drawn
// simply), step.go (a step), stack.go, fit.go, make.go (the drawings: what fails, what
// fits, what is done by hand), show.go (a lesson, and what can be asked of it),
// ready.go (lessons that come along), steps.go (which steps a job has).
package show
