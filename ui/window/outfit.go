package window

import (
	"abut/internal/job"
)

// Names of preferences.
const (
	prefCutter    = "cutter-mm"
	prefSheetWide = "sheet-width-mm"
	prefSheetHigh = "sheet-height-mm"
)

// keepOutfit keeps sheet and cutter for jobs that are new, once they were changed.
func (w *Window) keepOutfit(before, s job.Settings) {
	if before.CutterMM == s.CutterMM && before.SheetWidthMM == s.SheetWidthMM && before.SheetHeightMM == s.SheetHeightMM {
		return
	}
	w.session.CutterMM, w.session.SheetMM = s.CutterMM, [2]float64{s.SheetWidthMM, s.SheetHeightMM}
	w.prefs.SetFloat(prefCutter, s.CutterMM)
	w.prefs.SetFloat(prefSheetWide, s.SheetWidthMM)
	w.prefs.SetFloat(prefSheetHigh, s.SheetHeightMM)
}

// takeOutfit takes sheet and cutter as they were left, unless no edit could have
// made them.
func (w *Window) takeOutfit() {
	p := w.prefs
	cutter, wide, high := p.Float(prefCutter), p.Float(prefSheetWide), p.Float(prefSheetHigh)
	if _, err := job.SetCutter(job.Job{}, cutter); err == nil {
		w.session.CutterMM = cutter
	}
	if _, err := job.SetSheetSize(job.Job{}, wide, high); err == nil {
		w.session.SheetMM = [2]float64{wide, high}
	}
}
