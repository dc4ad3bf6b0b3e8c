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

// maxMendedMM is broader than mends make anything: the narrowest width is 50 mm at most, and a dot, some such widths large,
// becomes some times as large.
const maxMendedMM = 1000

// check reports what in a job no edit could have made.
func check(j job.Job) error {
	for _, part := range []func(job.Job) error{checkItems, checkSheets, checkSettings} {
		if err := part(j); err != nil {
			return err
		}
	}
	return nil
}

func checkItems(j job.Job) error {
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
			if l.ID == 0 || ids[l.ID] {
				return fmt.Errorf("layer %d is there twice or has no number", l.ID)
			}
			ids[l.ID] = true
			if err := checkLayer(l); err != nil {
				return err
			}
		}
		if it.Pixels != nil && !traceable(it.Pixels) {
			return fmt.Errorf("item %d: a picture of pixels that there is not", it.ID)
		}
		for _, m := range it.Mends {
			if !mendable(m) {
				return fmt.Errorf("item %d: a mend that there is not: %+v", it.ID, m)
			}
		}
	}
	return nil
}

func checkLayer(l job.Layer) error {
	switch {
	case !sound(l.Transform):
		return fmt.Errorf("layer %d: its transform cannot be undone", l.ID)
	case !(l.Alpha > 0 && l.Alpha <= 1):
		return fmt.Errorf("layer %d: opacity %g", l.ID, l.Alpha)
	case l.Band.Of != 0 && (l.Band.Count > job.MaxBands || !(l.Band.Alpha > 0 && l.Band.Alpha <= 1)):
		return fmt.Errorf("layer %d: a band that there is not", l.ID)
	case l.Use > job.LeftOut:
		return fmt.Errorf("layer %d: use %d", l.ID, l.Use)
	}
	return nil
}

func traceable(p *job.Pixels) bool {
	return len(p.File) > 0 && len(p.File) <= maxPixels && p.Tracing.Colours >= 0 && max(p.Tracing.Detail, -p.Tracing.Detail) <= job.MostDetail
}

func mendable(m job.Mend) bool {
	if m.Spot > job.Speck || !m.Do.Known() || m.Side > job.Inwards || m.Round >= job.MaxRounds || !m.At.Finite() || !m.Moved.Finite() {
		return false
	}
	if m.Do.OfThing() && !(m.Drawn > 0) {
		return false
	}
	return sized(m)
}

// sized reports whether lengths of a mend are such as an edit makes.
func sized(m job.Mend) bool {
	within := func(x, least, most float64) bool { return x >= least && x <= most }
	return within(m.Drawn, 0, maxDrawn) && within(m.Aside, -maxDrawn, maxDrawn) && within(m.WidthMM, 0, maxMendedMM) && within(m.LengthMM, 0, maxMendedMM)
}

func checkSheets(j job.Job) error {
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
	return nil
}

// checkSettings asks the edits that make settings whether they would make these.
func checkSettings(j job.Job) error {
	s := j.Settings
	if s.Bare.Mode > job.BareListed || s.Frame.Mode > job.FrameAlways || s.Units > job.Inches || !(s.Frame.MarginMM >= 0) || !(s.Frame.CornerMM >= 0) {
		return fmt.Errorf("a setting that there is not")
	}
	for _, again := range []func() (job.Job, error){
		func() (job.Job, error) { return job.SetNarrowest(j, s.NarrowestMM, s.SpeckMM) },
		func() (job.Job, error) { return job.SetSheets(j, s.Sheets) },
		func() (job.Job, error) { return job.SetClearance(j, s.ClearanceMM) },
		func() (job.Job, error) { return job.SetCutter(j, s.CutterMM) },
		func() (job.Job, error) { return job.SetSheetSize(j, s.SheetWidthMM, s.SheetHeightMM) },
		func() (job.Job, error) { return job.SetLayout(j, s.Layout) },
		func() (job.Job, error) { return job.SetLaid(j, s.Laid) },
		func() (job.Job, error) { return job.SetList(j, s.List) },
		func() (job.Job, error) { return job.SetBlankShape(job.Job{}, s.BlankShape) },
	} {
		if _, err := again(); err != nil {
			return err
		}
	}
	return nil
}

func sound(m geometry.Affine) bool {
	_, ok := m.Invert()
	return ok && m.Finite()
}
