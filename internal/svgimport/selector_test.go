package svgimport

import (
	"context"
	"testing"
)

// Selectors Level 3, section 9 (calculating a selector's specificity): its own
// examples, those with what no style sheet of a picture needs left out.
func TestSelector_SpecificityOfTheSpecification(t *testing.T) {
	for sel, want := range map[string]uint32{
		`*`:               0x000000,
		`LI`:              0x000001,
		`UL LI`:           0x000002,
		`UL OL+LI`:        0x000003,
		`H1 + *[REL=up]`:  0x000101,
		`UL OL LI.red`:    0x000103,
		`LI.red.level`:    0x000201,
		`#x34y`:           0x010000,
		`svg > #x34y.a b`: 0x010102,
		`#s12:not(FOO)`:   0x010001,
		`LI:nth-child(2)`: 0x000101,
	} {
		var sheet styleSheet
		sheet.addSheet(sel + `{fill:red}`)
		var rules []*rule
		for _, m := range []map[string][]*rule{sheet.byID, sheet.byClass, sheet.byType, {"": sheet.rest}} {
			for _, list := range m {
				rules = append(rules, list...)
			}
		}
		if len(rules) != 1 {
			t.Errorf("%s: %d rules", sel, len(rules))
			continue
		}
		if got := rules[0].selector.spec; got != want {
			t.Errorf("%s: specificity %06x, want %06x", sel, got, want)
		}
	}
}

// Which elements of a small picture each selector stands for (Selectors Level 3,
// chapters 6 and 8; that :first-child and :last-child may be the picture itself,
// Selectors Level 4, 13.3).
func TestSelector_StandsFor(t *testing.T) {
	doc, err := parseTree(context.Background(), []byte(`<svg xmlns="http://www.w3.org/2000/svg" id="s"><g id="a" class="sea  calm" lang="en-GB" data-k="tide clock"><rect id="b"/><circle id="c" class="sea"/><rect id="d" class="sea-side"/></g>
		<g id="e" data-k="tide" lang="en"><g id="f"><rect id="h" lang="english"/></g><path id="i" class="calm sea"/></g></svg>`), 512)
	if err != nil {
		t.Fatal(err)
	}
	var nodes []*node
	var walk func(n *node)
	walk = func(n *node) {
		nodes = append(nodes, n)
		for _, c := range n.children {
			walk(c)
		}
	}
	walk(doc.root)
	for sel, want := range map[string]string{
		`*`: "sabcdefhi", `rect`: "bdh", `RECT`: "", `#c`: "c", `rect#c`: "", `.sea`: "aci", `.sea.calm`: "ai", `g.calm`: "a",
		`g rect`: "bdh", `g > rect`: "bdh", `#e rect`: "h", `#e > rect`: "", `svg > g > g > rect`: "h", `g g`: "f", `svg svg`: "",
		`rect + circle`: "c", `circle + rect`: "d", `rect + rect`: "", `rect ~ rect`: "d", `circle ~ rect`: "d", `rect ~ circle`: "c", `g ~ g`: "e", `g ~ path`: "i", `path ~ g`: "",
		`g + path`: "i", `g rect ~ rect`: "d", `g + g rect`: "h", `g ~ g > g > rect`: "h", `circle ~ circle`: "",
		`:root`: "s", `:first-child`: "sabfh", `:last-child`: "sdehi", `rect:first-child`: "bh", `rect:last-child`: "dh", `g:last-child`: "e",
		`[lang]`: "aeh", `[lang=en]`: "e", `[lang|=en]`: "ae", `[lang^="en"]`: "aeh", `[lang$=GB]`: "a", `[lang*=gl]`: "h", `[lang^='']`: "", `[lang$='']`: "", `[lang*='']`: "",
		`[data-k="tide clock"]`: "a", `[data-k~=tide]`: "ae", `[data-k~=tid]`: "", `[data-k~="tide clock"]`: "", `[ data-k = tide ]`: "e", `[class=sea]`: "c", `[none]`: "", `rect[lang]`: "h",
		`rect, circle , #i`: "bcdhi", `rect:not(.a, #b), path`: "dhi",
		`rect:not(#b)`: "dh", `g:not([lang])`: "f", `:not(g):not( rect )`: "sci", `rect:not(.sea-side) + circle`: "c", `:not(*)`: "", `g:not(:first-child)`: "e",
		`rect:nth-child(1)`: "bh", `g > :nth-child(2n+1)`: "bdfh", `g > :nth-child(odd)`: "bdfh", `g > :nth-child(even)`: "ci", `g > :nth-child(-n+2)`: "bcfhi", `g > :nth-child(n)`: "bcdfhi",
		`g > :nth-child( +3n - 1 )`: "ci", `g > :nth-child(-2)`: "", `g > :nth-child(0n+3)`: "d", `:nth-child(1)`: "sabfh",
		`rect:hover`: "", `rect:FOCUS, #i`: "i", `rect:not(:hover)`: "bdh",
	} {
		var sheet styleSheet
		sheet.addSheet(sel + `{fill:red}`)
		got := ""
		for _, n := range nodes {
			if len(sheet.matching(n)) > 0 {
				got += n.id
			}
		}
		if got != want || len(sheet.odd) > 0 {
			t.Errorf("%s stands for %q, want %q; odd %q", sel, got, want, sheet.odd)
		}
	}
	for _, sel := range []string{`> rect`, `g >`, `g > > rect`, `g + ~ rect`, `rect:not(.a:not(.b))`, `rect:not()`, `rect:not(g rect)`, `rect:not(.a`, `:nth-child(2n of .a)`, `:nth-child(x)`, `:nth-child()`, `:nth-child(2n+)`, `:nth-last-child(1)`, `rect::before`, `rect:`, `[`, `[=a]`, `[a=]`, `.`, `rect!`, ``, `rect,`} {
		var sheet styleSheet
		sheet.addSheet(sel + `{fill:red}`)
		if len(sheet.odd) != 1 {
			t.Errorf("%q: odd %q, %d rules", sel, sheet.odd, sheet.count)
		}
	}
}
