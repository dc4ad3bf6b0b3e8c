// Package fillin makes of one design the copies that a list asks for: what is marked
// with the name of a column says what the row has there.
//
// A text is marked by a column's name in braces among its words, as in "{name}", or
// as the name of its layer: then the row's words take the place of all of it, and the
// words that are drawn show how broad they may be. Any other layer with such a name
// takes the colour that the row has there.
package fillin
