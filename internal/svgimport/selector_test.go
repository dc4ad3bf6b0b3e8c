package svgimport

import "testing"

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
