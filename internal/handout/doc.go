// Package handout makes what a class takes home of a lesson: the show as one page for a
// browser, and on paper.
//
// In reading order: svg.go (a scene as SVG), page.go (the page for a browser), paper.go
// (a scene on paper), handout.go (its steps), worksheet.go (tasks and answers),
// notes.go (what to say), files.go (all of it in a folder).
package handout
