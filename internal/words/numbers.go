package words

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"abut/internal/job"
	"abut/internal/message"
)

// inchMM is an inch in millimetres, by definition.
const inchMM = 25.4

// Length returns a length of v millimetres for people: "86.4 mm", at most one
// decimal, or inches with two decimals, the usual step of an inch rule that is
// not in fractions. Something that is there but would round to nothing is
// "under 0.1 mm".
func (w *Words) Length(v float64) string {
	if w.units == job.Inches {
		return w.quantity(v/inchMM, 2, "in")
	}
	return w.quantity(v, 1, "mm")
}

// Fine is Length for what is thin: "0.45 mm", or inches with three decimals.
func (w *Words) Fine(v float64) string {
	if w.units == job.Inches {
		return w.quantity(v/inchMM, 3, "in")
	}
	return w.quantity(v, 2, "mm")
}

// Area returns an area of v square millimetres: "5.8 mm²", "412 mm²", "0.64 in²", from a tenth of a square metre up
// "1315 cm²". From 100 up a decimal says nothing.
func (w *Words) Area(v float64) string {
	if w.units == job.Inches {
		return w.quantity(v/(inchMM*inchMM), 2, "in²")
	}
	if v >= 99_950 { // nobody pictures a million of them, and there is no room for that
		return w.quantity(v/100, 0, "cm²")
	}
	if v >= 99.95 {
		return w.quantity(v, 0, "mm²")
	}
	return w.quantity(v, 1, "mm²")
}

// Size returns a width and height: "90 × 86.4 mm".
func (w *Words) Size(width, height float64) string {
	if w.units == job.Inches {
		return w.number(width/inchMM, 2) + " × " + w.number(height/inchMM, 2) + " in"
	}
	return w.number(width, 1) + " × " + w.number(height, 1) + " mm"
}

// Number returns v with at most one decimal, thousands from 10,000 up set off.
func (w *Words) Number(v float64) string { return w.number(v, 1) }

// List joins names for a sentence: "red, blue and green". Where a name has a comma of its own, semicolons part them.
func (w *Words) List(names []string) string {
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return names[0]
	default:
		return w.Say("list-and", map[string]string{"first": strings.Join(names[:n-1], between(names)), "last": names[n-1]})
	}
}

// few lists the first few of many names.
func (w *Words) few(names []string) string {
	const most = 4
	if len(names) > most {
		return strings.Join(names[:most], between(names)) + " … (" + w.Number(float64(len(names))) + ")"
	}
	return strings.Join(names, between(names))
}

// between is what parts names in a row.
func between(names []string) string {
	if slices.ContainsFunc(names, func(n string) bool { return strings.Contains(n, ",") }) {
		return "; "
	}
	return ", "
}

// Colour returns the name that a colour word stands for.
func (w *Words) Colour(n message.ColourName) string {
	name := n.Word
	if id := "colour-" + strings.ReplaceAll(strings.ToLower(n.Word), " ", "-"); w.Has(id) {
		name = w.Say(id, nil)
	}
	if n.Number > 1 {
		name += " " + strconv.Itoa(n.Number)
	}
	return name
}

func (w *Words) quantity(v float64, decimals int, unit string) string {
	if least := math.Pow10(-decimals); v > 0 && v < least/2 {
		return w.Say("under", map[string]string{"limit": w.number(least, decimals) + " " + unit})
	}
	return w.number(v, decimals) + " " + unit
}

// number writes v with at most so many decimals.
func (w *Words) number(v float64, decimals int) string {
	if math.Abs(v) >= 10000 {
		decimals = 0 // a decimal says nothing at that size
	}
	s := w.fixed(v, decimals)
	if decimals > 0 {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), w.decimal)
	}
	if s == "−0" {
		return "0"
	}
	return s
}

// fixed writes v with exactly so many decimals.
func (w *Words) fixed(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "?"
	}
	whole, frac, _ := strings.Cut(strconv.FormatFloat(rounded(math.Abs(v), decimals), 'f', decimals, 64), ".")
	if len(whole) > 4 {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + w.group + whole[i:]
		}
	}
	if frac != "" {
		whole += w.decimal + frac
	}
	if v < 0 {
		return "−" + whole
	}
	return whole
}

// rounded is v with so many decimals, halves away from zero: what lies on a grid often ends in one, and says the same
// wherever it is said.
func rounded(v float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	if math.Abs(v) > 1e15/scale { // no decimals to round
		return v
	}
	return math.Round(v*scale) / scale
}

// What follows speaks the chosen language.

// MM2 returns an area for people in square millimetres; see Words.Area.
func MM2(v float64) string { return Chosen().In(job.Millimetres).Area(v) }

// Size returns a width and height in millimetres; see Words.Size.
func Size(width, height float64) string { return Chosen().In(job.Millimetres).Size(width, height) }

// SizeIn is Size in the units that the user chose.
func SizeIn(width, height float64, u job.Units) string { return Chosen().In(u).Size(width, height) }

// Length returns a length in the units that the user chose; see Words.Length.
func Length(v float64, u job.Units) string { return Chosen().In(u).Length(v) }

// Fine is Length for what is thin; see Words.Fine.
func Fine(v float64, u job.Units) string { return Chosen().In(u).Fine(v) }

// Number returns a number with at most one decimal; see Words.Number.
func Number(v float64) string { return Chosen().Number(v) }

// Count returns a number of things, for a placeholder.
func Count(n int) message.Count { return message.Count(n) }

// List joins names for a sentence; see Words.List.
func List(names []string) string { return Chosen().List(names) }

// Few lists the first few of many names; see message.Few.
func Few(names []string) string { return Chosen().few(names) }

// Typed returns v as one types it: at most so many decimals, the language's
// decimal mark, nothing between thousands.
func Typed(v float64, decimals int) string {
	if v = rounded(v, decimals); v == 0 {
		v = 0 // not −0
	}
	return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", Chosen().decimal, 1)
}

// Colour returns the chosen language's name for a plain English colour word.
func Colour(word string) string { return Chosen().Colour(message.ColourName{Word: word}) }

// Capital makes the first letter a capital: names of colours begin lines.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// ParseLength reads a length in millimetres; a unit may follow, and the decimal
// sign may be a comma.
func ParseLength(s string) (float64, bool) {
	v, ok := ParseSigned(s)
	if !ok || !(v > 0) {
		return 0, false
	}
	return v, true
}

// ParseSigned is ParseLength for places, which may be negative.
func ParseSigned(s string) (float64, bool) {
	s = strings.ToLower(strings.TrimSpace(strings.ReplaceAll(strings.ReplaceAll(s, ",", "."), "−", "-")))
	unit := 1.0
	for _, u := range []struct {
		name string
		mm   float64
	}{{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"\"", 25.4}} {
		if rest, ok := strings.CutSuffix(s, u.name); ok {
			s, unit = strings.TrimSpace(rest), u.mm
			break
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e6 {
		return 0, false
	}
	return v * unit, true
}
