package svgimport

import (
	"strings"

	"github.com/tdewolff/parse/v2/css"
)

// atRule reads the at-rule at i and returns where it ends. Rules for a screen
// count; an import is noted, as is every rule that might change the picture and
// is not carried out.
func (s *styleSheet) atRule(t []cssToken, i int) int {
	name := strings.ToLower(t[i].text)
	j := i + 1
	for j < len(t) && t[j].kind != css.SemicolonToken && t[j].kind != css.LeftBraceToken {
		j++
	}
	prelude := strings.TrimSpace(join(t[i+1 : j]))
	end := j
	if j < len(t) && t[j].kind == css.LeftBraceToken {
		end = matching(t, j)
	}
	switch name {
	case "@import":
		s.external = append(s.external, prelude)
	case "@media":
		applies, known := onScreen(prelude)
		if !known {
			s.odd = append(s.odd, name+" "+prelude)
		}
		if applies && end > j {
			s.rules(t[j+1 : end])
		}
	case "@charset", "@namespace", "@page", "@font-face", "@counter-style", "@font-feature-values", "@font-palette-values",
		"@keyframes", "@-webkit-keyframes", "@-moz-keyframes", "@-o-keyframes", "@viewport", "@-ms-viewport", "@view-transition":
		// Nothing of it shows in a picture that stands still; a font that is
		// missing is told where it is asked for.
	default:
		if end > j { // without a block it only announces something
			s.odd = append(s.odd, strings.TrimSpace(name+" "+prelude))
		}
	}
	return end
}

// onScreen reads a list of media (Media Queries 4, 3) for a light screen in
// colour; known is false where a query asks for more.
func onScreen(list string) (applies, known bool) {
	if strings.TrimSpace(list) == "" {
		return true, true
	}
	known = true
	for _, q := range strings.Split(strings.ToLower(list), ",") {
		q = strings.Join(strings.Fields(strings.ReplaceAll(q, ":", ": ")), " ")
		switch strings.TrimPrefix(q, "only ") {
		case "all", "screen", "not print", "(prefers-color-scheme: light)", "screen and (prefers-color-scheme: light)", "(color)", "screen and (color)":
			applies = true
		case "print", "not all", "not screen", "speech", "tty", "tv", "projection", "handheld", "braille", "embossed", "aural",
			"(prefers-color-scheme: dark)", "screen and (prefers-color-scheme: dark)", "(prefers-reduced-motion: reduce)", "(prefers-contrast: more)":
		default:
			known = false
		}
	}
	return applies, known
}
