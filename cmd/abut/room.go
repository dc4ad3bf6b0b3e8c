package main

import (
	"context"

	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
)

// roomFlags say what the art has to fit, and how frame and base make use of it.
type roomFlags struct {
	Margin length     `placeholder:"LENGTH" help:"cli-help-margin"`
	Corner length     `placeholder:"LENGTH" help:"cli-help-corner"`
	Marks  bool       `help:"cli-help-marks"`
	Base   colourFlag `placeholder:"COLOUR" help:"cli-help-base"`

	Blank       blankFlag `placeholder:"NAME|WxH" help:"cli-help-blank"`
	Sheet       sizeFlag  `placeholder:"WxH" help:"cli-help-sheet"`
	CutterWidth length    `placeholder:"LENGTH" help:"cli-help-cutter-width"`
}

// check refuses a size that is no sheet's: a bare 12x12 is meant as inches.
func (f *roomFlags) check() error {
	const least = 20 // mm
	if s := f.Sheet; s.width > 0 && min(s.width, s.height) < least {
		return wrong("cli-wrong-sheet", "size", words.Size(s.width, s.height))
	}
	return nil
}

func (f *roomFlags) set(ctx context.Context, j job.Job) (job.Job, error) {
	j.Settings.Frame.MarginMM, j.Settings.Frame.CornerMM = float64(f.Margin), float64(f.Corner)
	j.Settings.Base, j.Settings.Marks = f.Base.RGB, f.Marks
	j, err := workshop.SheetAndCutter(j, float64(f.CutterWidth), f.Sheet.width, f.Sheet.height)
	if err != nil || f.Blank.Blank == nil {
		return j, err
	}
	return workshop.OnBlank(ctx, j, *f.Blank.Blank)
}
