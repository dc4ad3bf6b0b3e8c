package main

import (
	"fmt"

	"abut/internal/layout"
	"abut/internal/words"
	"abut/internal/workshop"
)

type markCommand struct {
	Folder string `arg:"" name:"folder" help:"cli-help-mark-folder"`
	Drawer string `required:"" placeholder:"FILE" help:"cli-help-mark-drawer"`
}

// Help is the longer text of 'abut mark-cut --help'.
func (*markCommand) Help() string { return words.Say("cli-help-mark-more") }

// Run does it.
func (c *markCommand) Run(s streams) error {
	taken, err := workshop.MarkCut(c.Folder, c.Drawer)
	if err != nil {
		return err
	}
	for _, t := range taken {
		text := workshop.TakenText(words.Chosen(), t.Taken)
		switch {
		case t.Kind == layout.Roll:
			text = words.Say("cli-mark-roll")
		case t.Unknown:
			text = words.Say("cli-mark-unknown", "file", c.Drawer)
		}
		fmt.Fprintf(s.out, "  %s, %s: %s\n", t.Name, words.Size(t.SizeMM[0], t.SizeMM[1]), text)
	}
	return nil
}
