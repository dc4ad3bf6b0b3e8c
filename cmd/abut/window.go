package main

import (
	"context"
	"os"

	"abut/ui"
)

type windowCommand struct {
	File string `arg:"" optional:"" help:"cli-help-picture"`
}

// Run opens the window.
func (c *windowCommand) Run(ctx context.Context, all *commands) error {
	if status := ui.Main(ctx, c.File, string(all.Lang), os.Exit); status != exitOK {
		return statusError(status)
	}
	return nil
}
