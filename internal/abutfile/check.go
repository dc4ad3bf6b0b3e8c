package abutfile

import (
	"fmt"

	"abut/geometry"
	"abut/internal/job"
)

// maxLayers is far beyond what an import gives (10,000) with what edits add.
const maxLayers = 100_000

// maxPixels is the largest file of a picture of pixels that is traced.
const maxPixels = 256 << 20

// maxDrawn is larger than any canvas.
const maxDrawn = 1e9

// check reports what in a job no edit could have made.
func check(j job.Job) error {
	items, ids := map[job.ItemID]bool{}, map[job.LayerID]bool{}
	layers := 0
	for _, it := range j.Items {
		if it.ID == 0 || items[it.ID] {
			return fmt.Errorf("item %d is there twice or has no number", it.ID)
		}
		items[it.ID] = true
		if !sound(it.Placement) {
			return fmt.Errorf("item %d: its placement cannot be undone", it.ID)
		}
		if layers += len(it.Layers); layers > maxLayers {
			return fail(TooLarge, nil)
		}
		for _, l := range it.Layers {
			switch {
			case l.ID == 0 || ids[l.ID]:
				return fmt.Errorf("layer %d is there twice or has no number", l.ID)
			case !sound(l.Transform):
				return fmt.Errorf("layer %d: its transform cannot be undone", l.ID)
			case !(l.Alpha > 0 && l.Alpha <= 1):
				return fmt.Errorf("layer %d: opacity %g", l.ID, l.Alpha)
			case l.Band.Of != 0 && (l.Band.Count > job.MaxBands || !(l.Band.Alpha > 0 && l.Band.Alpha <= 1)):
				return fmt.Errorf("layer %d: a band that there is not", l.ID)
			case l.Use > job.LeftOut:
				return fmt.Errorf("layer %d: use %d", l.ID, l.Use)
			}
			ids[l.ID] = true
		}
		if p := it.Pixels; p != nil && (len(p.File) == 0 || len(p.File) > maxPixels || p.Tracing.Colours < 0 || max(p.Tracing.Detail, -p.Tracing.Detail) > job.MostDetail) {
			return fmt.Errorf("item %d: a picture of pixels that there is not", it.ID)
		}
		for _, m := range it.Mends {
			if m.Spot > job.Speck || m.Do > job.Enlarge || m.Side > job.Inwards || !(m.Drawn >= 0 && m.Drawn <= maxDrawn) || m.Do.OfThing() && !(m.Drawn > 0) || m.Round >= job.MaxRounds || !m.At.Finite() || !m.Moved.Finite() || !(m.WidthMM >= 0 && m.WidthMM <= 50) {
				return fmt.Errorf("item %d: a mend that there is not", it.ID)
			}
		}
	}
	sheets := map[job.SheetID]bool{}
	for _, s := range j.Sheets {
		if s.ID == 0 || sheets[s.ID] {
			return fmt.Errorf("sheet %d is there twice or has no number", s.ID)
		}
		sheets[s.ID] = true
	}
	for c, t := range j.Assign {
		if !t.Bare && !sheets[t.Sheet] {
			return fmt.Errorf("%s goes to a sheet that is not there", c)
		}
	}
	s := j.Settings
	if s.Bare.Mode > job.BareListed || s.Frame.Mode > job.FrameAlways || s.Units > job.Inches || !(s.Frame.MarginMM >= 0) || !(s.Frame.CornerMM >= 0) {
		return fmt.Errorf("a setting that there is not")
	}
	if _, err := job.SetNarrowest(j, s.NarrowestMM, s.SpeckMM); err != nil {
		return err
	}
	if _, err := job.SetSheets(j, s.Sheets); err != nil {
		return err
	}
	if _, err := job.SetClearance(j, s.ClearanceMM); err != nil {
		return err
	}
	if _, err := job.SetCutter(j, s.CutterMM); err != nil {
		return err
	}
	if _, err := job.SetSheetSize(j, s.SheetWidthMM, s.SheetHeightMM); err != nil {
		return err
	}
	if _, err := job.SetLayout(j, s.Layout); err != nil {
		return err
	}
	if _, err := job.SetLaid(j, s.Laid); err != nil {
		return err
	}
	if _, err := job.SetList(j, s.List); err != nil {
		return err
	}
	if _, err := job.SetBlankShape(job.Job{}, s.BlankShape); err != nil {
		return err
	}
	return nil
}

func sound(m geometry.Affine) bool {
	_, ok := m.Invert()
	return ok && m.Finite()
}
