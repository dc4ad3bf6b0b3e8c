package job

// Layout is how what is cut is laid out on sheets of true size. The zero value lays
// nothing out: every colour is one file as large as the design.
type Layout struct {
	// Copies is how many of the design there are, 0 where nothing is laid out.
	Copies int `json:",omitempty"`
	// Loose pieces are laid out one by one; else those of a copy keep their places.
	Loose bool `json:",omitempty"`
	// RollMM is the width of rolls that all is cut from; 0 for sheets.
	RollMM float64 `json:",omitempty"`
	// SpacingMM is left between what is cut apart, 0 for the usual.
	SpacingMM float64 `json:",omitempty"`
}

// MaxCopies is more than anyone presses in a day.
const MaxCopies = 1000

// On reports whether anything is laid out.
func (l Layout) On() bool { return l.Copies > 0 }

// SetLayout says how what is cut is laid out; without copies the rest is forgotten, and
// where anything changes, of what lay somewhere only what was decided by hand is kept.
// Copies are at most MaxCopies, a roll is no wider than a cutter, and a gap no wider than
// a hand.
func SetLayout(j Job, l Layout) (Job, error) {
	if l.Copies < 0 || l.Copies > MaxCopies || !between(0, 5000, l.RollMM) || !between(0, 100, l.SpacingMM) {
		return j, refuse("edit-bad-layout")
	}
	if !l.On() {
		l, j.Settings.Laid = Layout{}, Laid{}
	}
	if l != j.Settings.Layout {
		j.Settings.Laid = j.Settings.Laid.Decided()
	}
	j.Settings.Layout = l
	return j, nil
}
