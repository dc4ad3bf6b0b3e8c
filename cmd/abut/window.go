package main

import (
	"fmt"

	"abut/internal/words"
)

type windowCommand struct {
	File string `arg:"" optional:"" help:"Picture to open."`
}

// Run opens the window.
func (c *windowCommand) Run(s streams) error {
	fmt.Fprintln(s.err, words.English().Say("no-window", nil))
	return statusError(exitFailed)
}
