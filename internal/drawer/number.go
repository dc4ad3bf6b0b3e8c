package drawer

import (
	"math"
	"strconv"
	"strings"
)

// Numbers in tables are written in the way of the country: 1,234.50 or 1.234,50.
// One mark with three digits after it may be either, so it counts only where the
// rest of the file tells which it is; else a point is a decimal point, as we
// write it, and a comma is refused.

// unsure says that a number may be one or a thousand times as much.
const unsure = "unsure"

// parts splits a number at the mark that stands before its decimals, 0 when it
// has none. wrong is empty, unsure, or "no number".
func parts(text string) (whole string, mark byte, decimals, wrong string) {
	last := strings.LastIndexAny(text, ".,")
	if last < 0 {
		return text, 0, "", ""
	}
	whole, mark, decimals = text[:last], text[last], text[last+1:]
	other := '.' + ',' - mark
	switch {
	case strings.IndexByte(whole, other) >= 0: // both: the last one is the decimal mark
		if strings.IndexByte(whole, mark) >= 0 || !grouped(whole, other) {
			return "", 0, "", "no number"
		}
		return strings.ReplaceAll(whole, string(other), ""), mark, decimals, ""
	case strings.IndexByte(whole, mark) >= 0: // several of one kind stand between thousands
		if !grouped(text, mark) {
			return "", 0, "", "no number"
		}
		return strings.ReplaceAll(text, string(mark), ""), other, "", ""
	case len(decimals) == 3 && grouped(text, mark):
		return whole, mark, decimals, unsure
	}
	return whole, mark, decimals, ""
}

// grouped reports whether marks stand between groups of three digits, the first
// of which may be shorter and is not 0.
func grouped(text string, mark byte) bool {
	groups := strings.Split(text, string(mark))
	for i, g := range groups {
		if len(g) > 3 || len(g) < 3 && i > 0 || g == "" || i == 0 && g[0] == '0' {
			return false
		}
	}
	return true
}

// parseNumber reads a number of 0 or more in a file whose decimal mark is known,
// or 0. wrong is empty when it is one.
func parseNumber(text string, known byte) (v float64, wrong string) {
	whole, mark, decimals, wrong := parts(text)
	if wrong == unsure && (mark == known || mark == '.' && known == 0) {
		wrong = ""
	}
	if wrong != "" {
		return 0, wrong
	}
	if strings.Trim(whole+decimals, "0123456789") != "" {
		return 0, "no number"
	}
	v, err := strconv.ParseFloat(whole+"."+decimals, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, "no number"
	}
	return v, ""
}

// decimalMark is the one that numbers tell of, 0 when they tell none or both.
func decimalMark(numbers []string) byte {
	var found byte
	for _, text := range numbers {
		_, mark, _, wrong := parts(text)
		if wrong != "" || mark == 0 {
			continue
		}
		if found != 0 && found != mark {
			return 0
		}
		found = mark
	}
	return found
}

// number writes a number in full with a decimal mark, and nothing for 0.
func number(v float64, mark byte) string {
	if v == 0 {
		return ""
	}
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if mark != ',' {
		return s
	}
	s = strings.Replace(s, ".", ",", 1)
	if _, _, _, wrong := parts(s); wrong == unsure {
		s += "0"
	}
	return s
}
