// Package svgimport turns an SVG file into layers of flat colour and a list of
// warnings.
//
// What it draws is what SVG 2 prescribes for static pictures: paths, basic
// shapes, groups, transforms, use and symbol, nested viewports, style sheets,
// fills, strokes, markers, clips, opacity, and drawings inside drawings. Whatever has no flat colour becomes
// the nearest that has one (pictures of pixels by Options.Picture), or is left out, and each such place is a warning
// with its line, element and id. Nothing is ever fetched: a reference out of
// the file is a warning.
//
// Curves stay cubic Béziers and clips stay with their shapes: nothing is
// flattened, merged or cut here. Coordinates are root user units (the units of
// the root viewBox), y down. Strokes become outlines under the nonzero rule,
// within 1e-5 of the canvas' diagonal of the exact outline.
//
// The life of a file: reader.go (bytes → tree) → css.go, cascade.go (tree →
// styles) → draw.go and its neighbours (tree → painted areas, bottom first) →
// package layering (painted areas → layers). Elements have their table in
// elements.go, properties theirs in properties.go and its neighbours: what is
// not there, or holds a value that is not understood, is told. budget.go is what
// an import may use up.
package svgimport
