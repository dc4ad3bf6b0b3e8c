package main

import "abut/ui"

type windowCommand struct {
	File string `arg:"" optional:"" help:"Picture to open."`
}

// Run opens the window.
func (c *windowCommand) Run(all *commands) error {
	if status := ui.Main(c.File, string(all.Lang)); status != exitOK {
		return statusError(status)
	}
	return nil
}
