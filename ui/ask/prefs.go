package ask

import (
	"fyne.io/fyne/v2"

	"abut/internal/job"
	"abut/ui/theme"
)

// Names of preferences.
const (
	prefText  = "text-percent"
	prefCalm  = "reduce-motion"
	prefLook  = "look"
	prefUnits = "units"
)

// textPercents are the sizes of type that can be chosen.
var textPercents = []int{100, 115, 130}

// TextScale returns how large type was chosen to be, 1 being as usual.
func TextScale(p fyne.Preferences) float32 { return float32(textPercent(p)) / 100 }

func textPercent(p fyne.Preferences) int {
	for _, t := range textPercents {
		if p.Int(prefText) == t {
			return t
		}
	}
	return textPercents[0]
}

// Looks are those that can be chosen.
var Looks = []theme.Mode{theme.System, theme.AlwaysLight, theme.AlwaysDark}

// LookOf returns the look that was chosen last, in whatever window.
func LookOf(p fyne.Preferences) theme.Mode { return theme.Mode(p.String(prefLook)) }

// Look is the look that was chosen last.
func (h *Host) Look() theme.Mode { return LookOf(h.Prefs) }

// SetLook chooses a look.
func (h *Host) SetLook(mode theme.Mode) {
	h.Prefs.SetString(prefLook, string(mode))
	h.SetMode(mode)
}

// UnitsOf returns the units that documents begin with.
func UnitsOf(p fyne.Preferences) job.Units {
	if p.Int(prefUnits) == int(job.Inches) {
		return job.Inches
	}
	return job.Millimetres
}

// Units are those of the document or, without one, of the next.
func (h *Host) Units() job.Units {
	if h.Session.Opened() {
		return h.Session.Job().Settings.Units
	}
	return h.Session.Units
}

// SetUnits shows and takes lengths in other units, in this document and in those
// that are opened later.
func (h *Host) SetUnits(u job.Units) {
	h.Prefs.SetInt(prefUnits, int(u))
	h.Session.SetUnits(u)
}

// Calm reports whether nothing is to move by itself.
func (h *Host) Calm() bool { return h.Prefs.Bool(prefCalm) }
