// Package typeset turns text into outlines: it finds fonts, shapes the text as
// its script asks (ligatures, marks, joining letters, right to left) and says
// where each glyph lies and what its outline is.
//
//	fonts, err := typeset.System(ctx)
//	line := fonts.Shape([]typeset.Span{{Text: "Hello", Style: typeset.Style{Size: 20}}}, false)
//	straight := line.Outline()
//	onArc := line.Along(typeset.NewTrack(arc), 0)
//
// Lengths are in the caller's units, y down; a line starts at the origin, on its
// base line. The fonts are those that are installed and, for what none of them
// has, the Go fonts, which come along. Nothing is fetched. The same text and
// fonts give the same outlines every time.
package typeset
