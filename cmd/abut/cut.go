package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strconv"
	"text/tabwriter"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
	"abut/internal/workshop"
)

type cutCommand struct {
	File   string `arg:"" help:"cli-help-file"`
	Output string `short:"o" required:"" placeholder:"DIR" help:"cli-help-output"`

	Width  length `xor:"size" placeholder:"LENGTH" help:"cli-help-width"`
	Height length `xor:"size" placeholder:"LENGTH" help:"cli-help-height"`
	artFlags
	Knockout string    `enum:"all,none" default:"all" placeholder:"all|none" help:"cli-help-knockout"`
	Bare     bareFlag  `default:"auto" placeholder:"auto|none|COLOUR,…" help:"cli-help-bare"`
	Frame    frameFlag `default:"auto" placeholder:"auto|none|COLOUR" help:"cli-help-frame"`
	roomFlags

	MinWidth  length `placeholder:"LENGTH" help:"cli-help-min-width"`
	Mend      bool   `help:"cli-help-mend"`
	Clearance length `name:"gap" aliases:"clearance" placeholder:"LENGTH" help:"cli-help-gap"`

	Colors int    `placeholder:"N" help:"cli-help-colors"`
	Drawer string `placeholder:"FILE" help:"cli-help-drawer"`

	Overwrite     bool `help:"cli-help-overwrite"`
	AllowOversize bool `help:"cli-help-allow-oversize"`
	AllowStacked  bool `help:"cli-help-allow-stacked"`
}

// Help is the longer text of 'abut cut --help'.
func (*cutCommand) Help() string {
	return words.Say("cli-help-cut-more")
}

// Run does it.
func (c *cutCommand) Run(ctx context.Context, s streams) error {
	j, err := openSized(ctx, c.File, c.artFlags, float64(c.Width), float64(c.Height), true)
	if err != nil {
		return err
	}
	j.Settings.Bare = c.Bare.BareRule
	j.Settings.Frame = c.Frame.FrameRule
	if j, err = c.roomFlags.set(ctx, j); err != nil {
		return err
	}
	if c.Knockout == "all" {
		if j, err = job.KnockOutAll(j); err != nil {
			return err
		}
	}
	var merged []workshop.Merged
	if j, merged, err = c.merge(ctx, j); err != nil {
		return err
	}
	if j, err = narrowed(ctx, j, c.MinWidth, c.Mend); err != nil {
		return err
	}
	if j, err = workshop.Clear(j, float64(c.Clearance)); err != nil {
		return err
	}
	var cache fit.Cache
	p, err := workshop.FitCached(ctx, &cache, j)
	if err != nil {
		return err
	}
	if err := isCut(p, j.Settings); err != nil {
		return err
	}
	m, err := workshop.Write(ctx, j, p, c.Output, workshop.WriteOptions{
		Overwrite: c.Overwrite, AllowStacked: c.AllowStacked, AllowBeyond: c.AllowOversize, Cache: &cache,
	})
	if err != nil {
		return err
	}
	s.written(j, p, m, c.Output)
	for _, x := range merged {
		s.say("cli-merged", "name", words.Colour(colour.Word(x.Colour)), "color", x.Colour.String(), "sheet", x.Sheet.Name,
			"pressed", x.Sheet.Pressed.String(), "likeness", workshop.Likeness(x.DeltaE), "delta", words.Number(x.DeltaE))
	}
	s.notes(m.Warnings)
	return nil
}

// merge sends colours to fewer sheets, or to those of a drawer.
func (c *cutCommand) merge(ctx context.Context, j job.Job) (job.Job, []workshop.Merged, error) {
	if c.Colors == 0 && c.Drawer == "" {
		return j, nil, nil
	}
	var sheets []drawer.Sheet
	if c.Drawer != "" {
		var err error
		if sheets, err = workshop.OpenDrawer(c.Drawer); err != nil {
			return j, nil, err
		}
		if len(sheets) == 0 {
			return j, nil, &workshop.Error{Message: message.Message{ID: "drawer-empty"}}
		}
	}
	return workshop.MergeColours(ctx, j, c.Colors, sheets)
}

// Validate refuses numbers of sheets that make no sense.
func (c *cutCommand) Validate() error {
	if c.Colors < 0 {
		return wrong("cli-wrong-count", "text", strconv.Itoa(c.Colors))
	}
	return c.roomFlags.check()
}

// narrowed sets the narrowest width, if one is given, and mends.
func narrowed(ctx context.Context, j job.Job, width length, mend bool) (job.Job, error) {
	var err error
	if width > 0 {
		if j, err = workshop.Narrow(j, float64(width)); err != nil {
			return j, err
		}
	}
	if mend {
		j, err = workshop.MendAll(ctx, j, nil)
	}
	return j, err
}

// openSized opens art and gives it the asked-for size, one of the two lengths
// being 0, after what was chosen about the art. Without either the file's own size counts; if it has none that is an
// error when must.
func openSized(ctx context.Context, file string, art artFlags, width, height float64, must bool) (job.Job, error) {
	j, err := workshop.Open(ctx, file)
	if err != nil {
		return j, err
	}
	if j, err = art.choose(ctx, j); err != nil {
		return j, err
	}
	if width > 0 || height > 0 {
		return workshop.Size(ctx, j, width, height)
	}
	if must && !workshop.Sized(j) {
		return j, &workshop.Error{Message: message.Message{ID: "no-size", Args: map[string]string{"file": filepath.Base(file)}}}
	}
	return j, nil
}

// isCut reports an error unless something is cut from the colour that base or
// frame are to be on.
func isCut(p *fit.Plan, s job.Settings) error {
	c := s.BaseColour()
	if c == nil || p.BaseReason.ID == "base-chosen" {
		return nil
	}
	var have []string
	for _, s := range p.Separations {
		if s.Colour == *c {
			return nil
		}
		have = append(have, words.Chosen().Put(s.Called())+" "+s.Colour.String())
	}
	id := "base-colour-unknown"
	if s.Frame.Mode == job.FrameOn {
		id = "frame-colour-unknown"
	}
	return &workshop.Error{Message: message.Message{ID: id, Args: map[string]string{
		"colour": c.String(), "colours": words.List(have),
	}}}
}

// written tells what was written.
func (s streams) written(j job.Job, p *fit.Plan, m *workshop.Manifest, dir string) {
	w := words.Chosen()
	s.say("cli-wrote", "count", words.Count(len(m.Separations)), "dir", dir)
	t := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	for _, x := range m.Separations {
		carry := w.Say("cli-carry-"+string(x.Carry), nil)
		if x.Frame {
			carry = w.Say("cli-with-frame", map[string]string{"carry": carry})
		}
		fmt.Fprintf(t, "  %d\t%s\t%s\t%s\t%s\n", x.Order, w.Put(p.Separations[x.Order-1].Called()), x.Color,
			w.Message(words.Pairs("guide-pieces", "count", words.Count(x.Pieces))), carry)
	}
	_ = t.Flush() // as little can be done about it as in fmt.Println
	for _, d := range m.Drawings {
		s.say("cli-drawn", "name", d.Sheet, "color", d.Color, "file", d.File)
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
		s.say("cli-beyond", "what", workshop.BeyondText(j, p))
	}
	for _, reason := range []message.Message{p.BaseReason, p.FrameReason} {
		if reason.ID != "" {
			fmt.Fprintln(s.out, w.Message(reason))
		}
	}
	if len(p.Mends) > 0 {
		fmt.Fprintln(s.out, w.Message(p.Proof.Message()))
	}
	if bare := bareColours(j); len(bare) > 0 {
		s.say("cli-bare", "colours", words.List(bare), "area", words.MM2(p.BareMM2))
	}
	s.say("cli-mirrored")
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
