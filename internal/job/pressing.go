package job

import "unicode/utf8"

// Pressing is what a person has found to work for a blank: nothing that anything
// that is cut depends on. The zero value is nothing yet.
type Pressing struct {
	// Kind names the kind of blank in the table of starting points, "" for what its
	// material says.
	Kind string `json:",omitempty"`
	// HeatC is in °C, Seconds is how long; 0 for unknown.
	HeatC   float64 `json:",omitempty"`
	Seconds float64 `json:",omitempty"`
	// Pressure and Note are in the person's own words: presses count differently.
	Pressure string `json:",omitempty"`
	Note     string `json:",omitempty"`
}

// reasonable reports whether the values are such as a person may have typed: no press
// goes beyond 400 °C or needs more than an hour, and the words fit on a card.
func (p Pressing) reasonable() bool {
	return between(0, 400, p.HeatC) && between(0, 3600, p.Seconds) &&
		utf8.RuneCountInString(p.Kind) <= 40 && utf8.RuneCountInString(p.Pressure) <= 80 && utf8.RuneCountInString(p.Note) <= 400
}
