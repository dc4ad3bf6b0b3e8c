// Package workshop is what the window and the command line share. Cut is the
// whole job on a picture, from the file to what is cut; the window, which does it
// in steps that people undo, takes them one by one.
//
// Errors of inner packages come out as they are; MessageOf and Explain say of any
// of them what it means.
//
// No file uses what a later one of these declares:
//
//	error.go     what errors say
//	blanks.go    things that are often decorated
//	open.go      a picture comes in
//	size.go      how large it is to be
//	sheets.go    which colour is cut from which sheet
//	places.go    sentences about what stacks or has no room
//	weak.go      what to say about weak spots
//	smallest.go  from which size on there are none
//	warnings.go  what to know about art and plan
//	formats.go   kinds of files to cut
//	manifest.go  job.json
//	describe.go  what it says about a plan
//	costs.go     what a layout takes
//	layout.go    copies and pieces on sheets of true size
//	taken.go     what of the user's own sheets was used up
//	opinion.go   what a second engine thinks
//	row.go       what came of a row of a list
//	write.go     all that is written
//	laid.go      how it would lie, for looking at and changing
//	foretell.go  what would be written
//	strip.go     the test strip
//	cut.go       the whole job
//	list.go      the whole job for each row of a list
//	stale.go     what earlier runs left beside that
//	trace.go     a picture of pixels as a drawing
package workshop
