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
		s.block(t[min(j+1, end):end], name+" "+prelude, applies, known)
	case "@supports":
		v := supported(prelude)
		s.block(t[min(j+1, end):end], name+" "+prelude, v == holds, v != unsure)
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

// block reads the rules within a rule if it applies, and notes the rule where that
// is not known.
func (s *styleSheet) block(t []cssToken, rule string, applies, known bool) {
	if !known {
		s.odd = append(s.odd, rule)
	}
	if applies {
		s.rules(t)
	}
}
