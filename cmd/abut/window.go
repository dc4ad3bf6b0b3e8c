//go:build !cli

package main

import "abut/ui"

type windowCommand struct {
	File string `arg:"" optional:"" help:"cli-help-picture"`
}

// Run opens the window.
func (c *windowCommand) Run(all *commands) error {
	if status := ui.Main(c.File, string(all.Lang)); status != exitOK {
		return statusError(status)
	}
	return nil
}
