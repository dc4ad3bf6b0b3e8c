//go:build cli

package main

import (
	"fmt"

	"abut/internal/words"
)

type windowCommand struct {
	File string `arg:"" optional:"" help:"cli-help-picture"`
}

// Run says that this build has no window, and what can be done without one.
func (c *windowCommand) Run(s streams) error { return c.open(s, "") }

func (c *windowCommand) open(s streams, _ string) error {
	fmt.Fprintln(s.err, words.Say("cli-no-window"))
	return statusError(exitFailed)
}
