package svgimport

import (
	"math"
	"strings"
	"unicode"
)

// textProperties say how text is set.
var textProperties = []property{
	// Its value has been applied before the others, which may count in it.
	{"font-size", anywhere, true, "", readFontSize, field(func(st *style) *float64 { return &st.fontSize })},
	{"font-family", anywhere, true, "", readFamilies, field(func(st *style) *[]string { return &st.font.families })},
	{"font-weight", anywhere, true, "", readWeight, field(func(st *style) *int { return &st.font.weight })},
	{"font-style", anywhere, true, "normal", readFontStyle, field(italicOf)},
	{"font-variant", anywhere, true, "", oneOf(smallCapsOf, variants), field(smallCapsOf)},
	{"font-variant-caps", anywhere, true, "", oneOf(smallCapsOf, variants), field(smallCapsOf)},
	{"font-stretch", anywhere, true, "", readStretch, field(stretchFieldOf)},
	{"font-width", anywhere, true, "", readStretch, field(stretchFieldOf)},
	{"font-kerning", anywhere, true, "", oneOf(noKerningOf, map[string]bool{"auto": false, "normal": false, "none": true}), field(noKerningOf)},
	{"kerning", asAttribute, true, "", oneOf(noKerningOf, map[string]bool{"auto": false, "0": true}), field(noKerningOf)},
	{"font", anywhere, true, "", readFont, func(st, from *style) { st.font.copyFont(from.font) }},
	{"text-anchor", anywhere, true, "start", oneOf(anchorOf, map[string]textAnchor{"start": anchorStart, "middle": anchorMiddle, "end": anchorEnd}), field(anchorOf)},
	{"direction", anywhere, true, "ltr", oneOf(rightToLeftOf, map[string]bool{"ltr": false, "rtl": true}), field(rightToLeftOf)},
	{"writing-mode", anywhere, true, "", oneOf(verticalOf, writingModes), field(verticalOf)},
	{"white-space", anywhere, true, "", oneOf(whiteSpaceOf, whiteSpaces), field(whiteSpaceOf)},
	{"text-transform", inSheets, true, "none", oneOf(letterCaseOf, letterCases), field(letterCaseOf)},
	{"letter-spacing", anywhere, true, "", readSpacing(letterSpacingOf), field(letterSpacingOf)},
	{"word-spacing", anywhere, true, "", readSpacing(wordSpacingOf), field(wordSpacingOf)},
	{"dominant-baseline", anywhere, true, "", readWord(baselineOf, baselines), field(baselineOf)},
	{"alignment-baseline", anywhere, false, "", readWord(alignmentOf, baselines), field(alignmentOf)},
	{"baseline-shift", anywhere, false, "", readBaselineShift, field(func(st *style) *string { return &st.own.baselineShift })},
	{"text-decoration", anywhere, false, "", readLines, field(linesOf)},
	{"text-decoration-line", anywhere, false, "", readLines, field(linesOf)},
}

func italicOf(st *style) *bool           { return &st.font.italic }
func smallCapsOf(st *style) *bool        { return &st.font.smallCaps }
func stretchFieldOf(st *style) *float64  { return &st.font.stretch }
func noKerningOf(st *style) *bool        { return &st.font.noKerning }
func anchorOf(st *style) *textAnchor     { return &st.font.anchor }
func rightToLeftOf(st *style) *bool      { return &st.font.rightToLeft }
func verticalOf(st *style) *bool         { return &st.font.vertical }
func whiteSpaceOf(st *style) *whiteSpace { return &st.font.whiteSpace }
func letterCaseOf(st *style) *letterCase { return &st.font.letterCase }
func letterSpacingOf(st *style) *float64 { return &st.font.letterSpacing }
func wordSpacingOf(st *style) *float64   { return &st.font.wordSpacing }
func baselineOf(st *style) *string       { return &st.font.baseline }
func alignmentOf(st *style) *string      { return &st.own.alignment }
func linesOf(st *style) *textLines       { return &st.own.lines }

var variants = map[string]bool{"normal": false, "none": false, "small-caps": true}

// writingModes are those whose text runs downwards.
var writingModes = map[string]bool{
	"horizontal-tb": false, "lr": false, "lr-tb": false, "rl": false, "rl-tb": false,
	"tb": true, "tb-rl": true, "tb-lr": true, "vertical-rl": true, "vertical-lr": true, "sideways-rl": true, "sideways-lr": true,
}

var whiteSpaces = map[string]whiteSpace{
	"pre": whiteSpaceKeep, "pre-wrap": whiteSpaceKeep, "break-spaces": whiteSpaceKeep,
	"normal": whiteSpaceCollapse, "nowrap": whiteSpaceCollapse, "pre-line": whiteSpaceCollapse,
}

const baselines = `auto alphabetic baseline use-script no-change reset-size middle central hanging mathematical
	text-before-edge before-edge text-top text-after-edge after-edge text-bottom ideographic`

// letterCase says which letters are set instead of those written.
type letterCase uint8

const (
	caseAsWritten letterCase = iota
	caseUpper
	caseLower
	caseTitle // the first letter of each word is a capital
)

var letterCases = map[string]letterCase{"none": caseAsWritten, "uppercase": caseUpper, "lowercase": caseLower, "capitalize": caseTitle}

// of returns the letter set for r; first says that a word begins with it. What
// becomes several letters, as ß does, stays.
func (c letterCase) of(r rune, first bool) rune {
	switch {
	case c == caseUpper, c == caseTitle && first:
		return unicode.ToUpper(r)
	case c == caseLower:
		return unicode.ToLower(r)
	}
	return r
}

func readFontSize(_ *style, v value) bool {
	_, ok := fontSize(v.low, v.parent.fontSize)
	return ok
}

func readFamilies(st *style, v value) bool {
	st.font.families = families(v.text)
	return len(st.font.families) > 0
}

func readWeight(st *style, v value) bool {
	w, ok := weight(v.low, v.parent.font.weight)
	if ok {
		st.font.weight = w
	}
	return ok
}

func readFontStyle(st *style, v value) bool {
	st.font.italic = strings.HasPrefix(v.low, "italic") || strings.HasPrefix(v.low, "oblique")
	return st.font.italic || v.low == "normal"
}

func readStretch(st *style, v value) bool {
	s, ok := stretchOf(v.low)
	if ok {
		st.font.stretch = s
	}
	return ok
}

func readFont(st *style, v value) bool {
	sh, ok := parseFont(v.text)
	if ok {
		w, _ := weight(sh.weight, v.parent.font.weight)
		st.font.copyFont(fontStyle{families: sh.families, weight: w, italic: sh.italic, stretch: sh.stretch, smallCaps: sh.smallCaps})
	}
	return ok
}

func readSpacing(to func(*style) *float64) func(*style, value) bool {
	return func(st *style, v value) bool {
		*to(st) = 0
		if v.low == "normal" {
			return true
		}
		l, ok := parseLength(v.low)
		s := l.user(viewport{st.fontSize, st.fontSize}, alongX, st.fontSize)
		if ok = ok && math.Abs(s) <= maxCoordinate; ok {
			*to(st) = s
		}
		return ok
	}
}

func readBaselineShift(st *style, v value) bool {
	switch v.low {
	case "baseline", "sub", "super":
	default:
		if _, ok := parseLength(v.low); !ok {
			return false
		}
	}
	st.own.baselineShift = v.low
	return true
}

// readLines reads text-decoration: its lines count, a colour or style of their
// own does not.
func readLines(st *style, v value) bool {
	st.own.lines = 0
	ok := true
	for _, w := range strings.Fields(v.low) {
		switch w {
		case "underline":
			st.own.lines |= lineUnder
		case "overline":
			st.own.lines |= lineOver
		case "line-through":
			st.own.lines |= lineThrough
		case "none", "solid", "auto", "currentcolor":
		default:
			ok = false
		}
	}
	return ok
}
