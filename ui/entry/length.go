// Package entry holds the entries that lengths are typed into.
package entry

import (
	"strings"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
)

// Length is an entry for a length in millimetres, or for a number.
type Length struct {
	controls.Entry
	// Units is how lengths are shown and taken where no unit is typed.
	Units job.Units
	// Signed numbers may be negative or zero; Plain ones are no lengths.
	Signed, Plain bool
	// Fine lengths are shown with two decimals.
	Fine bool

	value float64
}

// NewLength returns an entry for a length.
func NewLength(u job.Units) *Length {
	e := &Length{Units: u}
	e.ExtendBaseWidget(e)
	return e
}

// UnitName is what stands behind a length.
func UnitName(u job.Units) string {
	return map[job.Units]string{job.Millimetres: "mm", job.Inches: "in"}[u]
}

// Value returns the length that was set last, in millimetres.
func (e *Length) Value() float64 { return e.value }

// Set shows a length in millimetres.
func (e *Length) Set(v float64) {
	e.value = v
	if text := e.Format(v); e.Text != text {
		e.SetText(text)
	}
}

// Untouched reports whether the entry shows what was set.
func (e *Length) Untouched() bool { return e.Text == e.Format(e.value) }

// Format writes a value as it is shown, with the decimal mark of the language.
func (e *Length) Format(v float64) string {
	switch {
	case e.Units == job.Inches && !e.Plain:
		return words.Typed(v/25.4, 3)
	case e.Fine:
		return words.Typed(v, 2)
	}
	return words.Typed(v, 1)
}

// Parse returns what is typed, in millimetres, and whether that is a length.
func (e *Length) Parse() (mm float64, ok bool) {
	v, ok := e.number()
	return v, ok && (e.Signed || v > 0)
}

// TooSmall reports whether what is typed is a number that is no length: 0 or less.
func (e *Length) TooSmall() bool {
	v, ok := e.number()
	return ok && !e.Signed && v <= 0
}

// number reads what is typed.
func (e *Length) number() (v float64, ok bool) {
	text := e.Text
	if e.Plain {
		text = strings.TrimSuffix(strings.TrimSpace(text), "°")
	} else if e.Units == job.Inches && strings.Trim(text, "-0123456789., ") == "" {
		text += "in"
	}
	return words.ParseSigned(text)
}
