package window

import (
	"math"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"abut/internal/job"
	"abut/internal/words"
)

// lengthEntry takes a length in millimetres: Enter or leaving it accepts,
// Escape goes back.
type lengthEntry struct {
	widget.Entry
	value float64
	// units is how lengths are shown and taken where no unit is typed.
	units job.Units
	// signed numbers may be negative or zero; plain ones are no lengths.
	signed, plain bool
	// fine lengths are shown with two decimals.
	fine     bool
	onLength func(float64)
	// onTyped is told of every change by whoever types, onLeft that Enter was
	// pressed, the entry left, or what was typed given up.
	onTyped, onLeft func()
}

func newLengthEntry(done func(float64)) *lengthEntry {
	e := &lengthEntry{onLength: done}
	e.ExtendBaseWidget(e)
	e.OnSubmitted = func(string) { e.accept() }
	e.OnChanged = func(string) {
		if e.onTyped != nil && e.Text != e.text(e.value) {
			e.onTyped()
		}
	}
	return e
}

// set shows a length, unless one is being typed.
func (e *lengthEntry) set(v float64) {
	e.value = v
	if c := fyne.CurrentApp().Driver().CanvasForObject(e); c == nil || c.Focused() != e {
		e.SetText(e.text(v))
	}
}

func (e *lengthEntry) accept() {
	v, ok := e.parse()
	if e.onLeft != nil {
		e.onLeft()
		if !ok {
			e.SetText(e.text(e.value))
		}
		return
	}
	if !ok {
		e.SetText(e.text(e.value))
		return
	}
	if e.text(v) != e.text(e.value) {
		e.onLength(v)
	}
}

// text writes a value as it is shown, with the decimal mark of the language.
func (e *lengthEntry) text(v float64) string {
	return strings.Replace(e.digits(v), ".", words.Chosen().Decimal(), 1)
}

func (e *lengthEntry) digits(v float64) string {
	if e.units == job.Inches && !e.plain {
		return strconv.FormatFloat(math.Round(v/25.4*1000)/1000, 'f', -1, 64)
	}
	if e.fine {
		return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	}
	return plainNumber(v)
}

func (e *lengthEntry) parse() (float64, bool) {
	text := e.Text
	if e.plain {
		text = strings.TrimSuffix(strings.TrimSpace(text), "°")
	} else if e.units == job.Inches && strings.Trim(text, "-0123456789., ") == "" {
		text += "in"
	}
	v, ok := words.ParseSigned(text)
	return v, ok && (e.signed || v > 0)
}

// FocusLost implements fyne.Focusable.
func (e *lengthEntry) FocusLost() {
	e.Entry.FocusLost()
	e.accept()
}

// TypedKey implements fyne.Focusable.
func (e *lengthEntry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.SetText(e.text(e.value))
		if e.onLeft != nil {
			e.onLeft()
		}
		return
	}
	e.Entry.TypedKey(k)
}

// plainNumber writes a length for an entry: at most one decimal, no unit.
func plainNumber(v float64) string {
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
}
