package main

import (
	"context"
	"path/filepath"
	"slices"
	"strings"

	"abut/internal/fit"
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
	source := s.source(c.File)
	r, err := workshop.Cut(ctx, source, workshop.Options{
		WidthMM: float64(c.Width), LeaveOut: c.LeaveOut, Bands: int(c.Gradients), Solid: c.Opacity == "top", IgnoreClips: c.Clips == "ignore", Tracing: c.tracing(),
	})
	if err != nil {
		return err
	}
	lesson, err := show.Make(ctx, new(fit.Cache), r.Job)
	if err != nil {
		return err
	}
	name := strings.TrimSuffix(filepath.Base(source.Path), filepath.Ext(source.Path))
	if len(r.Job.Items) > 0 && r.Job.Items[0].Name != "" {
		name = r.Job.Items[0].Name
	}
	paper := print.Papers[slices.IndexFunc(print.Papers, func(p print.Paper) bool { return strings.EqualFold(p.Name, c.Paper) })]
	perPage := map[string]int{"4": 4, "6": 6}[c.PerPage]
	err = workshop.WriteLesson(ctx, lesson.Arranged(r.Job.Settings.Lesson), c.Output, workshop.LessonOptions{
		Title: words.Capital(name), Paper: paper, PerPage: perPage, Overwrite: c.Overwrite,
	})
	if err != nil {
		return err
	}
	s.say("cli-class-wrote", "dir", c.Output)
	s.notes(r.Warnings)
	return nil
}
