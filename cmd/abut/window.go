//go:build !cli

package main

import "abut/ui"

type windowCommand struct {
	File string `arg:"" optional:"" help:"cli-help-picture"`
}

// Run opens the window.
func (c *windowCommand) Run(s streams, all *commands) error { return c.open(s, string(all.Lang)) }

// open opens the window in a language, empty for the one in the preferences.
func (c *windowCommand) open(_ streams, language string) error {
	if status := ui.Main(c.File, language); status != exitOK {
		return statusError(status)
	}
	return nil
}
