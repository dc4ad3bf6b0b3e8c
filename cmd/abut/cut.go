package main

import (
	"context"
	"fmt"
	"text/tabwriter"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
)

type cutCommand struct {
	Files  pictures `arg:"" name:"file" help:"cli-help-file"`
	Output string   `short:"o" required:"" placeholder:"DIR" help:"cli-help-output"`

	Width  length `xor:"size" placeholder:"LENGTH" help:"cli-help-width"`
	Height length `xor:"size" placeholder:"LENGTH" help:"cli-help-height"`
	artFlags
	Knockout string    `enum:"all,none" default:"all" placeholder:"all|none" help:"cli-help-knockout"`
	Bare     bareFlag  `default:"auto" placeholder:"auto|none|COLOUR,…" help:"cli-help-bare"`
	Frame    frameFlag `default:"auto" placeholder:"auto|none|COLOUR" help:"cli-help-frame"`

	Margin length     `placeholder:"LENGTH" help:"cli-help-margin"`
	Corner orNone     `placeholder:"LENGTH" help:"cli-help-corner"`
	Marks  bool       `help:"cli-help-marks"`
	Base   colourFlag `placeholder:"COLOUR" help:"cli-help-base"`

	Blank       blankFlag `placeholder:"NAME|WxH" help:"cli-help-blank"`
	Sheet       sheetFlag `placeholder:"WxH" help:"cli-help-sheet"`
	CutterWidth length    `placeholder:"LENGTH" help:"cli-help-cutter-width"`

	MinWidth  length `placeholder:"LENGTH" help:"cli-help-min-width"`
	Mend      bool   `help:"cli-help-mend"`
	Pen       bool   `help:"cli-help-pen"`
	Clearance orNone `name:"gap" aliases:"clearance" placeholder:"LENGTH" help:"cli-help-gap"`

	Colors count  `placeholder:"N" help:"cli-help-colors"`
	Drawer string `placeholder:"FILE" help:"cli-help-drawer"`

	Formats      formatsFlag `default:"svg" placeholder:"FORMAT,…" help:"cli-help-formats"`
	Overcut      orNone      `placeholder:"LENGTH" help:"cli-help-overcut"`
	WeedingLines bool        `help:"cli-help-weeding-lines"`

	layoutFlags

	TestStrip bool `xor:"strip" help:"cli-help-test-strip"`

	List      string `xor:"copies,strip" placeholder:"FILE" help:"cli-help-list"`
	SkipWrong bool   `help:"cli-help-skip-wrong"`

	Overwrite     bool `help:"cli-help-overwrite"`
	AllowOversize bool `help:"cli-help-allow-oversize"`
	AllowStacked  bool `help:"cli-help-allow-stacked"`
}

// Help is the longer text of 'abut cut --help'.
func (*cutCommand) Help() string { return words.Say("cli-help-cut-more") }

// Run does it.
func (c *cutCommand) Run(ctx context.Context, s streams) error {
	folders := c.Files.folders(c.Output)
	failed, status := s.each(c.Files, func(i int, file string) error {
		s.heading(c.Files, i)
		source, err := s.saved(file)
		if err != nil {
			return err
		}
		return c.cut(ctx, s, source, folders[i])
	})
	s.summary("cli-cut-all", c.Files, failed, c.Output)
	return ended(status)
}

func (c *cutCommand) cut(ctx context.Context, s streams, source workshop.Source, folder string) error {
	frame := c.Frame.FrameRule
	frame.MarginMM, frame.CornerMM = float64(c.Margin), float64(c.Corner)
	o := workshop.Options{
		WidthMM: float64(c.Width), HeightMM: float64(c.Height),
		LeaveOut: c.LeaveOut, Bands: int(c.Gradients), Solid: c.Opacity == "top", IgnoreClips: c.Clips == "ignore", Tracing: c.tracing(),
		Bare: c.Bare.BareRule, Frame: frame, Base: c.Base.RGB, Marks: c.Marks,
		Blank: c.Blank.Blank, CutterMM: float64(c.CutterWidth), SheetWidthMM: c.Sheet.width, SheetHeightMM: c.Sheet.height,
		AsDrawn: c.Knockout == "none", Colours: int(c.Colors), Drawer: c.Drawer,
		NarrowestMM: float64(c.MinWidth), Mend: c.Mend, Pen: c.Pen, ClearanceMM: float64(c.Clearance), Folder: folder, TestStrip: c.TestStrip,
		WriteOptions: workshop.WriteOptions{
			Overwrite: c.Overwrite, AllowStacked: c.AllowStacked, AllowBeyond: c.AllowOversize,
			Formats: c.Formats, OvercutMM: float64(c.Overcut), WeedingLines: c.WeedingLines,
			Layout: c.options(),
		},
	}
	list, err := listOf(c.List, source, c.Copies)
	if err != nil {
		return err
	}
	if list != nil {
		return s.cutList(ctx, source, *list, c.SkipWrong, o)
	}
	told, end := s.doing()
	o.Doing = told
	r, err := workshop.Cut(ctx, source, o)
	end()
	if err != nil {
		s.notes(r.Warnings)
		return err
	}
	s.written(r, folder)
	if c.TestStrip {
		s.say("cli-strip", "dir", workshop.StripFolder(folder))
	}
	return nil
}

// written tells what was written.
func (s streams) written(r workshop.Result, dir string) {
	w, p, m := words.Chosen(), r.Plan, r.Manifest
	cut, _ := m.Counts()
	s.say("cli-wrote", "count", words.Count(cut), "dir", dir)
	t := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	for i, x := range m.Separations {
		carry := words.Say("cli-carry-" + string(x.Carry))
		if x.Frame {
			carry = words.Say("cli-with-frame", "carry", carry)
		}
		fmt.Fprintf(t, "  %d\t%s\t%s\t%s\t%s\n", x.Order, w.Put(p.Separations[i].Called()), x.Color,
			words.Say("guide-pieces", "count", words.Count(x.Pieces)), carry)
	}
	_ = t.Flush() // as little can be done about it as in fmt.Println
	for _, d := range m.Drawings {
		s.say("cli-drawn", "name", d.Sheet, "color", d.Color, "file", d.File)
	}
	if m.Layout != nil {
		s.laidOut(m.Layout)
	}
	s.say("cli-size", "size", words.Size(m.WidthMM, m.HeightMM), "page", words.Size(m.PageMM[0], m.PageMM[1]))
	switch {
	case m.StackedAfterMM2 > 0:
		s.say("cli-still-stacked", "area", words.MM2(m.StackedAfterMM2))
	case m.StackedBeforeMM2 > 0:
		s.say("cli-stacked-before", "area", words.MM2(m.StackedBeforeMM2))
	default:
		s.say("cli-never-stacked")
	}
	if len(p.Beyond) > 0 {
		s.say("cli-beyond", "what", workshop.BeyondText(r.Job, p))
	}
	if p.BaseReason.ID != "" {
		fmt.Fprintln(s.out, w.Message(p.BaseReason))
	}
	if p.FrameReason.ID != "" {
		fmt.Fprintln(s.out, w.Message(p.FrameReason))
	}
	s.proof(p)
	if bare := bareColours(r.Job); len(bare) > 0 {
		s.say("cli-bare", "colours", words.List(bare), "area", words.MM2(p.BareMM2))
	}
	s.say("cli-mirrored")
	for _, x := range r.Merged {
		s.say("cli-merged", "name", words.Colour(colour.Word(x.Colour)), "color", x.Colour.String(), "sheet", x.Sheet.Name,
			"pressed", x.Sheet.Pressed.String(), "likeness", workshop.Likeness(x.DeltaE), "delta", words.Number(x.DeltaE))
	}
	s.notes(append(stale(dir, nil), r.Warnings...))
}

// stale notes what earlier runs left in a folder that was written to.
func stale(dir string, rows []workshop.Row) []workshop.ManifestWarning {
	names := workshop.Stale(dir, rows)
	if len(names) == 0 {
		return nil
	}
	return []workshop.ManifestWarning{{ManifestMessage: workshop.ManifestMessage{ID: "export-stale"}, Text: words.Say("export-stale", "names", words.Few(names)), Remedy: words.Say("export-stale.remedy")}}
}

// bareColours lists the art colours that stay bare.
func bareColours(j job.Job) []string {
	var out []string
	seen := map[colour.RGB]bool{}
	for _, it := range j.Items {
		for _, l := range it.Layers {
			t, assigned := j.Assign[l.Colour]
			bare := l.Use == job.Bare || l.Use == job.Cut && (t.Bare || !assigned && l.Opacity() == 1 && j.Settings.Bare.LeavesBare(l.Colour))
			if bare && !seen[l.Colour] {
				seen[l.Colour] = true
				out = append(out, l.Colour.String())
			}
		}
	}
	return out
}
