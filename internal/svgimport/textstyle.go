package svgimport

import (
	"strconv"
	"strings"

	"abut/internal/typeset"
)

// fontStyle is what text inherits besides its size.
type fontStyle struct {
	families                   []string
	weight                     int // 0 stands for 400
	italic                     bool
	anchor                     textAnchor
	rightToLeft                bool
	letterSpacing, wordSpacing float64 // user units
}

// textAnchor says which part of a line stands where it is put.
type textAnchor uint8

const (
	anchorStart textAnchor = iota
	anchorMiddle
	anchorEnd
)

func (f fontStyle) face() typeset.Face {
	return typeset.Face{Families: f.families, Weight: f.weight, Italic: f.italic}
}

// setFont applies a declaration about text, and reports whether it was one.
func (st *style) setFont(name, v string) bool {
	low := strings.ToLower(v)
	f := &st.font
	switch name {
	case "font-family":
		f.families = families(v)
	case "font-weight":
		f.weight = weight(low, f.weight)
	case "font-style":
		f.italic = strings.HasPrefix(low, "italic") || strings.HasPrefix(low, "oblique")
	case "font":
		st.setFontShorthand(v)
	case "text-anchor":
		switch low {
		case "start":
			f.anchor = anchorStart
		case "middle":
			f.anchor = anchorMiddle
		case "end":
			f.anchor = anchorEnd
		}
	case "direction":
		f.rightToLeft = low == "rtl"
	case "letter-spacing":
		f.letterSpacing = st.spacing(low)
	case "word-spacing":
		f.wordSpacing = st.spacing(low)
	default:
		return false
	}
	return true
}

func (st *style) spacing(v string) float64 {
	if l, ok := parseLength(v); ok {
		return l.user(viewport{}, alongX, st.fontSize)
	}
	return 0 // normal
}

// families splits a font-family list; quotes are dropped.
func families(v string) []string {
	var out []string
	for _, f := range strings.Split(v, ",") {
		if f = strings.TrimSpace(strings.Trim(strings.TrimSpace(f), `"'`)); f != "" {
			out = append(out, f)
		}
	}
	return out
}

// weight reads a font-weight (CSS Fonts 4, 2.2).
func weight(v string, inherited int) int {
	if inherited == 0 {
		inherited = 400
	}
	switch v {
	case "normal":
		return 400
	case "bold":
		return 700
	case "bolder":
		switch {
		case inherited < 350:
			return 400
		case inherited < 550:
			return 700
		}
		return max(inherited, 900)
	case "lighter":
		switch {
		case inherited < 550:
			return 100
		case inherited < 750:
			return 400
		}
		return 700
	}
	if n, err := strconv.ParseFloat(v, 64); err == nil && n >= 1 && n <= 1000 {
		return int(n)
	}
	return inherited
}

// setFontShorthand reads font: style and weight in any order, the size with an
// optional line height, then the families (CSS Fonts 4, 2.7). System fonts by
// name are left alone.
func (st *style) setFontShorthand(v string) {
	words := strings.Fields(v)
	f := fontStyle{
		anchor: st.font.anchor, rightToLeft: st.font.rightToLeft,
		letterSpacing: st.font.letterSpacing, wordSpacing: st.font.wordSpacing,
	}
	for i, w := range words {
		low := strings.ToLower(w)
		switch low {
		case "italic", "oblique":
			f.italic = true
			continue
		case "normal", "small-caps":
			continue
		case "bold", "bolder", "lighter":
			f.weight = weight(low, st.font.weight)
			continue
		}
		size, _, _ := strings.Cut(low, "/")
		if n, err := strconv.ParseFloat(size, 64); err == nil && n >= 1 && n <= 1000 {
			f.weight = int(n)
			continue
		}
		l, ok := parseLength(size)
		if !ok || l.v < 0 || i+1 == len(words) {
			return
		}
		f.families = families(strings.Join(words[i+1:], " "))
		st.fontSize = l.user(viewport{st.fontSize, st.fontSize}, alongX, st.fontSize)
		st.font = f
		return
	}
}

// copyFrom takes one property over from another style.
func (f *fontStyle) copyFrom(name string, o fontStyle) {
	switch name {
	case "font-family":
		f.families = o.families
	case "font-weight":
		f.weight = o.weight
	case "font-style":
		f.italic = o.italic
	case "text-anchor":
		f.anchor = o.anchor
	case "direction":
		f.rightToLeft = o.rightToLeft
	case "letter-spacing":
		f.letterSpacing = o.letterSpacing
	case "word-spacing":
		f.wordSpacing = o.wordSpacing
	}
}
