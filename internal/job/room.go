package job

import (
	"math"

	"abut/geometry"
	"abut/internal/colour"
)

const (
	// DefaultCutterMM is the width that a desktop cutter for sheets of 12 in can
	// cut, 11.5 in (common practice, no source: its rollers and its mat's edge
	// take the rest).
	DefaultCutterMM = 292.1
	// DefaultSheetMM is the side of the usual square sheet, 12 in (common
	// practice).
	DefaultSheetMM = 304.8
)

// Cutter returns the width that the cutter can cut.
func (s Settings) Cutter() float64 {
	if s.CutterMM > 0 {
		return s.CutterMM
	}
	return DefaultCutterMM
}

// SheetSize returns the size of a sheet that says nothing of its own.
func (s Settings) SheetSize() (w, h float64) {
	if s.SheetWidthMM > 0 && s.SheetHeightMM > 0 {
		return s.SheetWidthMM, s.SheetHeightMM
	}
	return DefaultSheetMM, DefaultSheetMM
}

// SizeOf returns the size of a sheet: its own, or that of the settings.
func (s Settings) SizeOf(sheet Sheet) (w, h float64) {
	if sheet.WidthMM > 0 && sheet.HeightMM > 0 {
		return sheet.WidthMM, sheet.HeightMM
	}
	return s.SheetSize()
}

// SetCutter sets the width that the cutter can cut; 0 stands for the default.
func SetCutter(j Job, mm float64) (Job, error) {
	if !(mm >= 0 && mm <= 5000) {
		return j, refuse(BadCutter)
	}
	j.Settings.CutterMM = mm
	return j, nil
}

// SetSheetSize sets the size of sheets that say nothing of their own; 0 × 0
// stands for the default.
func SetSheetSize(j Job, w, h float64) (Job, error) {
	ok := func(v float64) bool { return v >= 0 && v <= 50_000 } // a roll is long
	if !ok(w) || !ok(h) || (w > 0) != (h > 0) {
		return j, refuse(BadSheetSize)
	}
	j.Settings.SheetWidthMM, j.Settings.SheetHeightMM = w, h
	return j, nil
}

// SetMarks puts small shapes outside the art on every sheet, to line film up.
func SetMarks(j Job, on bool) (Job, error) {
	j.Settings.Marks = on
	return j, nil
}

// SetBase chooses the separation that everything is assembled on by its colour;
// nil leaves the choice to the plan.
func SetBase(j Job, c *colour.RGB) (Job, error) {
	if c != nil {
		own := *c
		c = &own
	}
	j.Settings.Base = c
	return j, nil
}

// BaseColour returns the colour of the base that was chosen, nil when none was.
func (s Settings) BaseColour() *colour.RGB {
	if s.Frame.Mode == FrameOn {
		return &s.Frame.Colour
	}
	return s.Base
}

// Beyond returns how far the farthest place of path lies outside the blank's
// edge: by how much it would have to be wider at each side to hold all of it; 0
// when it does. Curves count as chords of a hundredth of a millimetre, and as
// much is forgiven.
func (b Blank) Beyond(path geometry.Path) float64 {
	const slack = 0.01
	rx, ry := b.WidthMM/2+slack, b.HeightMM/2+slack
	over := 0.0
	look := func(p geometry.Point) {
		x, y := math.Abs(p.X-b.At.X), math.Abs(p.Y-b.At.Y)
		if !b.Round {
			over = math.Max(over, math.Max(x-rx, y-ry))
			return
		}
		out := func(g float64) bool {
			u, v := x/(rx+g), y/(ry+g)
			return u*u+v*v > 1
		}
		if !out(over) {
			return
		}
		low, high := over, over+math.Hypot(x, y)
		for range 50 { // to far below what is said
			if mid := (low + high) / 2; out(mid) {
				low = mid
			} else {
				high = mid
			}
		}
		over = high
	}
	for _, c := range path.Flatten(slack) {
		look(c.Start)
		for _, s := range c.Segments {
			look(s.End)
		}
	}
	return over
}
