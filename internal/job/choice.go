package job

import (
	"maps"
	"math"
	"slices"
	"strings"

	"abut/internal/colour"
)

// Edits of what holds for the whole job. The bounds of lengths are beyond any
// thing, sheet or machine at home or in a small shop: they keep slips of the
// finger out.

// Assign sends an art colour to a sheet, or leaves it bare.
func Assign(j Job, c colour.RGB, t Target) (Job, error) {
	if t.Bare {
		t.Sheet = 0
	} else if _, ok := j.Sheet(t.Sheet); !ok {
		return j, refuse("edit-no-such-sheet")
	}
	m := make(map[colour.RGB]Target, len(j.Assign)+1)
	maps.Copy(m, j.Assign)
	m[c] = t
	j.Assign = m
	return j, nil
}

// Unassign forgets where an art colour was sent: it is cut from a sheet of its
// own colour again, or stays bare where the job's rule says so.
func Unassign(j Job, c colour.RGB) (Job, error) {
	j.Assign = maps.Clone(j.Assign)
	delete(j.Assign, c)
	return j, nil
}

// AddSheet puts a sheet into the job under an id of its own, which it returns;
// s.ID is ignored.
func AddSheet(j Job, s Sheet) (Job, SheetID, error) {
	s.Name = strings.TrimSpace(s.Name)
	if s.Name == "" {
		return j, 0, refuse("edit-empty-name")
	}
	s.ID = 1
	for _, o := range j.Sheets {
		s.ID = max(s.ID, o.ID+1)
	}
	j.Sheets = append(slices.Clip(j.Sheets), s)
	return j, s.ID, nil
}

// SetFrame sets the rule for the frame.
func SetFrame(j Job, r FrameRule) (Job, error) {
	if !between(0, math.MaxFloat64, r.MarginMM) {
		return j, refuse("edit-bad-margin")
	}
	if !between(0, math.MaxFloat64, r.CornerMM) {
		return j, refuse("edit-bad-corner")
	}
	j.Settings.Frame = r
	return j, nil
}

// own returns a pointer to a copy, nil for nil.
func own[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

// SetBlank sets the colour of the thing decorated; nil stands for white.
func SetBlank(j Job, c *colour.RGB) (Job, error) {
	j.Settings.Blank = own(c)
	return j, nil
}

// SetBlankShape chooses the thing decorated, nil none.
func SetBlankShape(j Job, b *Blank) (Job, error) {
	if b = own(b); b != nil {
		b.Name = strings.TrimSpace(b.Name)
		if w, h := b.WidthMM, b.HeightMM; !(w > 0 && h > 0 && b.SafeMM >= 0 && b.SafeMM*2 < min(w, h)) || !between(0, 5000, w, h, b.AroundMM) || b.AroundMM > 0 && b.AroundMM < w || b.Material > Cotton || b.Product > Tote || !b.At.Finite() {
			return j, refuse("edit-bad-blank")
		}
		if !b.Press.reasonable() {
			return j, refuse("edit-bad-pressing")
		}
	}
	j.Settings.BlankShape = b
	return j, nil
}

// SetPressing keeps how the blank was pressed. It fails where no blank was chosen.
func SetPressing(j Job, p Pressing) (Job, error) {
	b := own(j.Settings.BlankShape)
	if b == nil {
		return j, refuse("edit-no-blank")
	}
	b.Press = p
	return SetBlankShape(j, b)
}

// SetUnits says how lengths are shown and typed.
func SetUnits(j Job, u Units) (Job, error) {
	j.Settings.Units = u
	return j, nil
}

// SetCutter sets the width that the cutter can cut; 0 stands for the default.
func SetCutter(j Job, mm float64) (Job, error) {
	if !between(0, 5000, mm) {
		return j, refuse("edit-bad-cutter")
	}
	j.Settings.CutterMM = mm
	return j, nil
}

// SetSheetSize sets the size of sheets that say nothing of their own; 0 × 0
// stands for the default.
func SetSheetSize(j Job, w, h float64) (Job, error) {
	if !between(0, 50_000, w, h) || (w > 0) != (h > 0) { // a roll is long
		return j, refuse("edit-bad-sheet-size")
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
	j.Settings.Base = own(c)
	return j, nil
}

// SetNarrowest sets the narrowest width that is no weak spot and the size under
// which a piece is a speck; 0 stands for the default.
func SetNarrowest(j Job, narrowestMM, speckMM float64) (Job, error) {
	if !between(0, 50, narrowestMM, speckMM) {
		return j, refuse("edit-bad-width")
	}
	j.Settings.NarrowestMM, j.Settings.SpeckMM = narrowestMM, speckMM
	return j, nil
}

// maxSheets is more than any picture is cut from.
const maxSheets = 10000

// SetSheets says how many sheets one is willing to use; 0 says nothing.
func SetSheets(j Job, n int) (Job, error) {
	if n < 0 || n > maxSheets {
		return j, refuse("edit-bad-sheets")
	}
	j.Settings.Sheets = n
	return j, nil
}

// SetClearance sets the width of the gap that is left between neighbours; 0
// leaves none.
func SetClearance(j Job, mm float64) (Job, error) {
	if !between(0, 5, mm) {
		return j, refuse("edit-bad-width")
	}
	j.Settings.ClearanceMM = mm
	return j, nil
}
