// Package typeset turns text into outlines: it finds a font, shapes the text as
// its script asks (ligatures, marks, joining letters, right to left) and returns
// each glyph's outline with its place.
//
// Lengths are in the caller's units, y down, from the start of the base line.
// The fonts are those that are installed and, for what none of them has, the Go
// fonts, which come along. Nothing is fetched.
package typeset
