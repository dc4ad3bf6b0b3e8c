package main

import (
	"context"
	"strconv"
	"strings"

	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
)

// artFlags are choices about the art itself.
type artFlags struct {
	Gradients gradientsFlag `default:"average" placeholder:"average|bands:N" help:"cli-help-gradients"`
	Opacity   string        `enum:"mix,top" default:"mix" placeholder:"mix|top" help:"cli-help-opacity"`
	LeaveOut  []string      `placeholder:"LAYER" help:"cli-help-leave-out"`
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
		return wrong("cli-wrong-gradients", "text", string(text), "most", words.Number(job.MaxBands))
	}
	*f = gradientsFlag(v)
	return nil
}
