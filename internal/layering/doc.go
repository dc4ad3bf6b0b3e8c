// Package layering makes layers of what a picture paints: which areas become one
// layer, in which order, called what. It knows no file format; whatever reads
// pictures hands it areas of flat colour, bottom first.
//
// Its files in the order of reading: names, layers, order, grid.
package layering
