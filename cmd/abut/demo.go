package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"

	"abut/assets"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
	"abut/internal/workshop"
)

type demoCommand struct {
	Output string `short:"o" placeholder:"DIR" help:"cli-help-demo-output"`
}

// Help is the longer text of 'abut demo --help'.
func (*demoCommand) Help() string {
	return words.Say("cli-help-demo-more")
}

// demoMM is the longer side of a demo picture that states no size.
const demoMM = 100

// Run does it.
func (c *demoCommand) Run(ctx context.Context, s streams) error {
	dir := c.Output
	if dir == "" {
		dir = unused("abut-demo")
	}
	// Each picture is written whole or not at all; the first that fails takes
	// the others with it.
	_, err := os.Lstat(dir)
	fresh := errors.Is(err, fs.ErrNotExist)
	if !fresh {
		return &workshop.Error{Message: message.Message{ID: workshop.ErrTargetExists, Args: map[string]string{"path": dir}}}
	}
	done := false
	defer func() {
		if !done {
			os.RemoveAll(dir) // it was not there before
		}
	}()
	for i, d := range assets.Demos() {
		if i > 0 {
			fmt.Fprintln(s.out)
		}
		w := words.Chosen()
		s.say("cli-demo", "name", w.Say("demo-"+d.ID, nil), "line", w.Say("demo-"+d.ID+"-line", nil))
		if err := s.demo(ctx, d, filepath.Join(dir, d.ID)); err != nil {
			return err
		}
	}
	done = true
	fmt.Fprintln(s.out)
	s.say("cli-demo-done", "dir", dir)
	return nil
}

func (s streams) demo(ctx context.Context, d assets.Demo, dir string) error {
	j, err := workshop.OpenSVG(ctx, d.ID+".svg", bytes.NewReader(d.SVG))
	if err != nil {
		return err
	}
	j.Items[0].Name = words.Chosen().Say("demo-"+d.ID, nil)
	if !workshop.Sized(j) {
		if j, err = workshop.Size(ctx, j, demoMM, 0); err != nil {
			return err
		}
	}
	if j, err = job.KnockOutAll(j); err != nil {
		return err
	}
	var cache fit.Cache
	p, err := workshop.FitCached(ctx, &cache, j)
	if err != nil {
		return err
	}
	m, err := workshop.Write(ctx, j, p, dir, workshop.WriteOptions{Cache: &cache})
	if err != nil {
		return err
	}
	s.written(j, p, m, dir)
	s.notes(m.Warnings)
	return nil
}

// unused returns the name, or the first of name-2, name-3 … that is not there.
func unused(name string) string {
	for n, try := 2, name; ; n++ {
		if _, err := os.Lstat(try); errors.Is(err, fs.ErrNotExist) {
			return try
		}
		try = name + "-" + strconv.Itoa(n)
	}
}
