package main

import (
	"context"

	"abut/internal/words"
	"abut/internal/workshop"
)

type traceCommand struct {
	File   string `arg:"" name:"file" help:"cli-help-pixels"`
	Output string `short:"o" required:"" placeholder:"SVG" help:"cli-help-trace-output"`

	Colors count  `placeholder:"N" help:"cli-help-trace-colors"`
	Drawer string `placeholder:"FILE" help:"cli-help-trace-drawer"`
	pixelFlags
	Overwrite bool `help:"cli-help-trace-overwrite"`
}

// Help is the longer text of 'abut trace --help'.
func (*traceCommand) Help() string { return words.Say("cli-help-trace-more") }

// Run does it.
func (c *traceCommand) Run(ctx context.Context, s streams) error {
	done, err := workshop.Trace(ctx, s.source(c.File), c.Output, workshop.TraceOptions{Tracing: c.tracing(c.Colors), Drawer: c.Drawer, Overwrite: c.Overwrite})
	if err != nil {
		return err
	}
	s.say("cli-traced", "file", c.Output, "count", words.Count(done.Colours), "pieces", words.Count(done.Pieces))
	s.notes(done.Warnings)
	return nil
}
