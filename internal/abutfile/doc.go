// Package abutfile reads and writes .abut files: a job as the user left it, to
// the last bit of every number.
//
// A file is JSON, compressed with gzip when it is large. It begins with a
// schema and a version; a version newer than this program's is refused, with
// what to do about it. Fields bear the names that package job gives them, so
// that what is added there is kept without a word here; renaming one takes a
// new version. Outlines are text in the manner of SVG's path data, absolute
// commands M, L, C and Z only, each number with as many digits as bring it back
// exactly. Clips stand in a table, since many shapes share one.
package abutfile
