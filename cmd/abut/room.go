package main

import (
	"context"
	"fmt"

	"abut/internal/job"
	"abut/internal/workshop"
)

// roomFlags say what the art has to fit, and how frame and base make use of it.
type roomFlags struct {
	Margin length     `placeholder:"LENGTH" help:"How far the frame lies outside the art (usual: 5mm, less where blank, sheet or cutter leave no more room)."`
	Corner length     `placeholder:"LENGTH" help:"How far the frame's corners are rounded (usual: not at all)."`
	Marks  bool       `help:"Three small shapes outside the art on every sheet, to line film up. They come off before the press."`
	Base   colourFlag `placeholder:"COLOUR" help:"The colour of the sheet that everything is laid on. Without it the one that suits best."`

	Blank       blankFlag `placeholder:"NAME|WxH" help:"What is decorated: ${blanks}; or its size, such as 90x95mm. Art or frame beyond it is refused."`
	Sheet       sizeFlag  `placeholder:"WxH" help:"The size of your sheets (usual: 12x12in, common practice). Those of a drawer bring their own."`
	CutterWidth length    `placeholder:"LENGTH" help:"How wide your cutter can cut (usual: 11.5in, common practice: measure yours)."`
}

// check refuses a size that is no sheet's: a bare 12x12 is meant as inches.
func (f *roomFlags) check() error {
	const least = 20 // mm
	if s := f.Sheet; s.width > 0 && min(s.width, s.height) < least {
		return fmt.Errorf("--sheet: %g × %g mm is no sheet; say the unit, such as 12x12in", s.width, s.height)
	}
	return nil
}

func (f *roomFlags) set(ctx context.Context, j job.Job) (job.Job, error) {
	j.Settings.Frame.MarginMM, j.Settings.Frame.CornerMM = float64(f.Margin), float64(f.Corner)
	j.Settings.Base, j.Settings.Marks = f.Base.Colour, f.Marks
	j, err := workshop.SheetAndCutter(j, float64(f.CutterWidth), f.Sheet.width, f.Sheet.height)
	if err != nil || f.Blank.Blank == nil {
		return j, err
	}
	return workshop.OnBlank(ctx, j, *f.Blank.Blank)
}
