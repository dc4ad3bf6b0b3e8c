// Package docs holds the pages of the guide that the program shows, with their
// pictures.
package docs

import "embed"

// Files are the pages and their pictures, by the names that the pages link to.
//
//go:embed crafting*.md teaching.md command-line.md mended.md *.png
var Files embed.FS
