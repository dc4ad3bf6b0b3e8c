package words

import (
	"math"
	"strconv"
	"strings"

	"abut/internal/job"
)

// MM returns a length for people: at most one decimal, "86.4 mm". Something
// that is there but would round to nothing is "under 0.1 mm".
func MM(v float64) string { return quantity(v, "mm") }

// MM2 returns an area for people: at most one decimal, "412 mm²".
func MM2(v float64) string { return quantity(v, "mm²") }

// Size returns a width and height for people: "90 × 86.4 mm".
func Size(w, h float64) string { return Number(w) + " × " + Number(h) + " mm" }

// SizeIn is Size in the units that the user chose.
func SizeIn(w, h float64, u job.Units) string {
	if u == job.Inches {
		return strings.TrimSuffix(Length(w, u), " in") + " × " + Length(h, u)
	}
	return Size(w, h)
}

// Length returns a length of v millimetres in the units that the user chose:
// "86.4 mm", or inches with two decimals, the usual step of an inch rule that
// is not in fractions.
func Length(v float64, u job.Units) string {
	if u == job.Inches {
		return trimZeros(strconv.FormatFloat(v/25.4, 'f', 2, 64)) + " in"
	}
	return MM(v)
}

// Number returns v with at most one decimal, thousands from 10,000 up set off
// by commas.
func Number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "?"
	}
	decimals := 1
	if math.Abs(v) >= 10000 {
		decimals = 0 // a decimal says nothing at that size
	}
	whole, frac, _ := strings.Cut(trimZeros(strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)), ".")
	if len(whole) > 4 {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + "," + whole[i:]
		}
	}
	if frac != "" {
		whole += "." + frac
	}
	if v < 0 && whole != "0" {
		return "−" + whole
	}
	return whole
}

// Count returns a number of things.
func Count(n int) string { return Number(float64(n)) }

// List joins names for a sentence: "red, blue and green".
func List(names []string) string {
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

func quantity(v float64, unit string) string {
	if v > 0 && v < 0.05 {
		return "under 0.1 " + unit
	}
	return Number(v) + " " + unit
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
