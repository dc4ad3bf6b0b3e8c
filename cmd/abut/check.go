package main

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
)

type checkCommand struct {
	File     string `arg:"" help:"cli-help-file"`
	Width    length `placeholder:"LENGTH" help:"cli-help-check-width"`
	MinWidth length `placeholder:"LENGTH" help:"cli-help-min-width"`
	artFlags
	Mend bool `help:"cli-help-check-mend"`

	JSON bool `name:"json" help:"cli-help-json"`
}

// Help is the longer text of 'abut check --help'.
func (*checkCommand) Help() string {
	return words.Say("cli-help-check-more")
}

// checkReport is what check --json prints.
type checkReport struct {
	Schema     string                     `json:"schema"`
	Art        string                     `json:"art"`
	WidthMM    float64                    `json:"width_mm"`
	HeightMM   float64                    `json:"height_mm"`
	StackedMM2 float64                    `json:"stacked_mm2"`
	Places     []checkPlace               `json:"places"`
	Sheets     []checkSheet               `json:"sheets"`
	Warnings   []workshop.ManifestWarning `json:"warnings"`
	// WeakSpots are those of the pieces after knocking out.
	WeakSpots []workshop.ManifestWeakSpot `json:"weak_spots"`
	Verdict   string                      `json:"verdict"`
}

// checkPlace is one stacked place, measured from the art's top left corner.
type checkPlace struct {
	XMM     float64  `json:"x_mm"`
	YMM     float64  `json:"y_mm"`
	AreaMM2 float64  `json:"area_mm2"`
	Layers  []string `json:"layers"`
}

type checkSheet struct {
	Name    string  `json:"name"`
	Color   string  `json:"color"`
	Pieces  int     `json:"pieces"`
	AreaMM2 float64 `json:"area_mm2"`
}

// Run does it.
func (c *checkCommand) Run(ctx context.Context, s streams) error {
	j, err := openSized(ctx, c.File, c.artFlags, float64(c.Width), 0, false)
	if err != nil {
		return err
	}
	p, err := workshop.Fit(ctx, j)
	if err != nil {
		return err
	}
	w, err := c.weak(ctx, j)
	if err != nil {
		return err
	}
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		if err := e.Encode(report(filepath.Base(c.File), j, p, w)); err != nil {
			return err
		}
	} else {
		s.checked(j, p, w, c.Width > 0 || workshop.Sized(j))
	}
	if p.Stacked.AreaMM2 > 0 {
		return statusError(exitStacked)
	}
	return nil
}

// weakness is what is weak about the pieces after knocking out.
type weakness struct {
	plan  *fit.Plan
	spots []fit.WeakSpot
	notes []job.Warning
	job   job.Job
}

func (c *checkCommand) weak(ctx context.Context, j job.Job) (w weakness, err error) {
	if j, err = job.KnockOutAll(j); err != nil {
		return w, err
	}
	if w.job, err = narrowed(ctx, j, c.MinWidth, c.Mend); err != nil {
		return w, err
	}
	var cache fit.Cache
	if w.plan, err = workshop.FitCached(ctx, &cache, w.job); err != nil {
		return w, err
	}
	w.spots, w.notes, err = workshop.FindWeak(ctx, &cache, w.plan, w.job)
	return w, err
}

// warnings are the plan's as drawn, and what is weak.
func (w *weakness) warnings(j job.Job, p *fit.Plan) []workshop.ManifestWarning {
	return workshop.DescribeWarnings(words.Chosen(), append(workshop.Warnings(j, p), w.notes...))
}

func report(art string, j job.Job, p *fit.Plan, w weakness) checkReport {
	r := checkReport{
		Schema: "abut-check/1", Art: art,
		WidthMM: p.Extent.Width(), HeightMM: p.Extent.Height(), StackedMM2: p.Stacked.AreaMM2,
		Places: []checkPlace{}, Sheets: []checkSheet{},
		Warnings:  w.warnings(j, p),
		WeakSpots: workshop.DescribeSpots(w.plan, w.spots),
		Verdict:   words.Chosen().Message(workshop.Verdict(p, w.spots).Message),
	}
	for _, x := range p.Stacked.Places {
		place := checkPlace{
			XMM: x.Inside.X - p.Extent.Min.X, YMM: x.Inside.Y - p.Extent.Min.Y,
			AreaMM2: x.AreaMM2, Layers: []string{},
		}
		for _, id := range x.Layers {
			if l, _, ok := j.Layer(id); ok {
				place.Layers = append(place.Layers, l.Name)
			}
		}
		r.Places = append(r.Places, place)
	}
	for _, x := range p.Separations {
		r.Sheets = append(r.Sheets, checkSheet{x.Name, x.Colour.String(), len(x.Pieces), x.AreaMM2})
	}
	return r
}

// maxPlaces is how many stacked places are printed; --json lists them all.
const maxPlaces = 10

func (s streams) checked(j job.Job, p *fit.Plan, w weakness, sized bool) {
	size := words.Size(p.Extent.Width(), p.Extent.Height())
	args := []any{"size", size, "count", words.Count(len(p.Separations))}
	if sized {
		s.say("cli-checked", args...)
	} else {
		s.say("cli-checked-unsized", args...)
	}
	for i, x := range p.Stacked.Places {
		if i == maxPlaces {
			rest := words.Count(len(p.Stacked.Places) - i)
			fmt.Fprintln(s.out, "  "+words.Say("cli-more-places", "count", rest))
			break
		}
		fmt.Fprintln(s.out, "  "+workshop.PlaceText(j, p, x))
	}
	if p.Stacked.AreaMM2 > 0 {
		s.say("cli-stacks", "count", words.Count(len(p.Stacked.Places)), "area", words.MM2(p.Stacked.AreaMM2))
	} else {
		fmt.Fprintln(s.out, words.Chosen().Message(workshop.Verdict(p, w.spots).Message))
	}
	if len(w.plan.Mends) > 0 {
		fmt.Fprintln(s.out, words.Chosen().Message(w.plan.Proof.Message()))
	}
	s.notes(w.warnings(j, p))
}
