// Package docs holds the pages of the guide that the program shows, with their
// pictures.
package docs

import (
	"embed"
	"strings"
	"unicode"
)

// Files are the pages and their pictures, by the names that the pages link to.
//
//go:embed crafting*.md teaching*.md command-line.md mended.md *.png
var Files embed.FS

// Anchor returns how links name a heading, by GitHub's rule: small letters, spaces as
// hyphens, no other marks.
func Anchor(heading string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == ' ':
			return '-'
		case r == '-' || r == '_' || unicode.IsLetter(r) || unicode.IsDigit(r):
			return unicode.ToLower(r)
		}
		return -1
	}, heading)
}
