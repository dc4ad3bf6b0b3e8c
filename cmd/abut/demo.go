package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"

	"abut/assets"
	"abut/internal/whole"
	"abut/internal/words"
	"abut/internal/workshop"
)

type demoCommand struct {
	Output string `short:"o" placeholder:"DIR" help:"cli-help-demo-output"`
}

// Help is the longer text of 'abut demo --help'.
func (*demoCommand) Help() string { return words.Say("cli-help-demo-more") }

// demoMM is the width of a demo picture that states no size.
const demoMM = 100

// Run does it.
func (c *demoCommand) Run(ctx context.Context, s streams) (err error) {
	dir := c.Output
	if dir == "" {
		dir = unused("abut-demo")
	}
	if err := (whole.Folder{Path: dir}).Check(); err != nil {
		return err
	}
	// Each picture is written whole or not at all; the first that fails takes
	// the others with it.
	unmake, done := whole.Unmake(filepath.Dir(dir)), false
	defer func() {
		if !done {
			_ = os.RemoveAll(dir) // it was not there before
			unmake()
		}
	}()
	for _, d := range assets.Demos() {
		name, to := words.Say("demo-"+d.ID), filepath.Join(dir, d.ID)
		s.say("cli-demo", "name", name, "line", words.Say("demo-"+d.ID+"-line"))
		source := workshop.Source{Path: d.ID + ".svg", Art: bytes.NewReader(d.SVG), Name: name}
		r, err := workshop.Cut(ctx, source, workshop.Options{UnsizedMM: demoMM, Folder: to})
		if err != nil {
			return err
		}
		s.written(r, to)
		fmt.Fprintln(s.out)
	}
	done = true
	s.say("cli-demo-done", "dir", dir)
	return nil
}

// unused returns the name, or the first of name-2, name-3 … that is not there, as
// far as one may look.
func unused(name string) string {
	for n, try := 2, name; ; n++ {
		if _, err := os.Lstat(try); err != nil {
			return try
		}
		try = name + "-" + strconv.Itoa(n)
	}
}
