// Package corpus has no code: its tests take the main job through the workshop
// and the command line as a whole, on art that nobody here drew, on our own
// pictures, and on files that are no good, and read back what was written.
package corpus
