package main

import (
	"context"
	"path/filepath"
	"slices"
	"strings"

	"abut/internal/abutfile"
	"abut/internal/fit"
	"abut/internal/handout"
	"abut/internal/job"
	"abut/internal/print"
	"abut/internal/show"
	"abut/internal/words"
	"abut/internal/workshop"
)

type classCommand struct {
	File   string `arg:"" name:"file" help:"cli-help-class-file"`
	Output string `short:"o" required:"" placeholder:"DIR" help:"cli-help-class-output"`
	Width  length `placeholder:"LENGTH" help:"cli-help-check-width"`
	artFlags
	Paper     string `enum:"a4,letter" default:"a4" placeholder:"a4|letter" help:"cli-help-class-paper"`
	PerPage   string `enum:"4,6" default:"4" placeholder:"4|6" help:"cli-help-class-per-page"`
	Overwrite bool   `help:"cli-help-overwrite"`
}

// Help is the longer text of 'abut class --help'.
func (*classCommand) Help() string { return words.Say("cli-help-class-more") }

// Run does it.
func (c *classCommand) Run(ctx context.Context, s streams) error {
	j, warnings, err := c.job(ctx, s)
	if err != nil {
		return err
	}
	lesson, err := show.Make(ctx, new(fit.Cache), j)
	if err != nil {
		return err
	}
	name := strings.TrimSuffix(filepath.Base(c.File), filepath.Ext(c.File))
	if len(j.Items) > 0 && j.Items[0].Name != "" {
		name = j.Items[0].Name
	}
	paper := print.Papers[slices.IndexFunc(print.Papers, func(p print.Paper) bool { return strings.EqualFold(p.Name, c.Paper) })]
	perPage := map[string]int{"4": 4, "6": 6}[c.PerPage]
	l := handout.Lesson{Title: words.Capital(name), Show: lesson.Arranged(j.Settings.Lesson)}
	err = l.Write(ctx, c.Output, handout.Options{Paper: paper, PerPage: perPage, Overwrite: c.Overwrite})
	if err != nil {
		return err
	}
	s.say("cli-class-wrote", "dir", c.Output)
	s.notes(warnings)
	return nil
}

// job reads a picture as the flags say, or a saved job as it is.
func (c *classCommand) job(ctx context.Context, s streams) (job.Job, []workshop.ManifestWarning, error) {
	if filepath.Ext(c.File) != abutfile.Extension {
		r, err := workshop.Cut(ctx, s.source(c.File), workshop.Options{
			WidthMM: float64(c.Width), LeaveOut: c.LeaveOut, Bands: int(c.Gradients), Solid: c.Opacity == "top", IgnoreClips: c.Clips == "ignore", Tracing: c.tracing(),
		})
		return r.Job, r.Warnings, err
	}
	source, err := s.saved(c.File)
	if err != nil {
		return job.Job{}, nil, err
	}
	return *source.Saved, nil, nil
}
