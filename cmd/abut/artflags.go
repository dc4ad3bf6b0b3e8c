package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"abut/internal/job"
	"abut/internal/workshop"
)

// artFlags are choices about the art itself.
type artFlags struct {
	Gradients gradientsFlag `default:"average" placeholder:"average|bands:N" help:"What becomes of colour gradients. average (the usual): one colour each. bands:4: four flat colours, or another number up to 12."`
	Opacity   string        `enum:"mix,top" default:"mix" placeholder:"mix|top" help:"What becomes of see-through shapes. mix (the usual): their colour mixes with what they cover, and each mix needs a sheet of its own. top: their own colour."`
	LeaveOut  []string      `placeholder:"LAYER,…" help:"Layers to leave out, by name; 'background' is the one that fills the page behind the picture."`
}

func (f artFlags) choose(ctx context.Context, j job.Job) (job.Job, error) {
	j, err := workshop.LeaveOut(ctx, j, f.LeaveOut)
	if err != nil {
		return j, err
	}
	return workshop.Mixed(j, max(1, int(f.Gradients)), f.Opacity == "top")
}

// gradientsFlag is how many bands a gradient becomes.
type gradientsFlag int

// UnmarshalText reads the flag's value.
func (f *gradientsFlag) UnmarshalText(text []byte) error {
	s := strings.ToLower(strings.TrimSpace(string(text)))
	if s == "average" {
		*f = 1
		return nil
	}
	n, ok := strings.CutPrefix(s, "bands:")
	v, err := strconv.Atoi(n)
	if !ok || err != nil || v < 2 || v > job.MaxBands {
		return fmt.Errorf("%q is neither average nor bands:N with N from 2 to %d", text, job.MaxBands)
	}
	*f = gradientsFlag(v)
	return nil
}
