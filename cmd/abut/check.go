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
	File  string `arg:"" help:"SVG file with the art; text must be outlines."`
	Width length `placeholder:"LENGTH" help:"How wide the art shall be: 90mm, 9cm, 3.5in, 255pt, 340px; a bare number is millimetres. Without it the size that the file states, or else 100 mm on the longer side of its page."`
	JSON  bool   `name:"json" help:"Say it as JSON, for other programs."`
}

// Help is the longer text of 'abut check --help'.
func (*checkCommand) Help() string {
	return `Looks at the art as it is drawn, before anything is knocked out. Most art is drawn shape over shape and so stacks: 'abut cut' knocks it out.

Exit status: 0 nothing stacks · 1 an error · 2 the command line was not understood · 3 colours stack.

Example:
  abut check boat.svg --width 90mm`
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
	Verdict    string                     `json:"verdict"`
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
	j, err := openSized(ctx, c.File, float64(c.Width), 0, false)
	if err != nil {
		return err
	}
	p, err := workshop.Fit(ctx, j)
	if err != nil {
		return err
	}
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		if err := e.Encode(report(filepath.Base(c.File), j, p)); err != nil {
			return err
		}
	} else {
		s.checked(j, p, c.Width > 0 || workshop.Sized(j))
	}
	if p.Stacked.AreaMM2 > 0 {
		return statusError(exitStacked)
	}
	return nil
}

func report(art string, j job.Job, p *fit.Plan) checkReport {
	r := checkReport{
		Schema: "abut-check/1", Art: art,
		WidthMM: p.Extent.Width(), HeightMM: p.Extent.Height(), StackedMM2: p.Stacked.AreaMM2,
		Places: []checkPlace{}, Sheets: []checkSheet{},
		Warnings: workshop.DescribeWarnings(workshop.Warnings(j, p)),
		Verdict:  words.English().Message(p.Verdict.Message),
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

func (s streams) checked(j job.Job, p *fit.Plan, sized bool) {
	size := words.Size(p.Extent.Width(), p.Extent.Height())
	args := []string{"size", size, "count", words.Count(len(p.Separations))}
	if sized {
		s.say("cli-checked", args...)
	} else {
		s.say("cli-checked-unsized", args...)
	}
	for i, x := range p.Stacked.Places {
		if i == maxPlaces {
			rest := words.Count(len(p.Stacked.Places) - i)
			fmt.Fprintln(s.out, "  "+words.English().Say("cli-more-places", map[string]string{"count": rest}))
			break
		}
		fmt.Fprintln(s.out, "  "+workshop.PlaceText(j, p, x))
	}
	if p.Stacked.AreaMM2 > 0 {
		s.say("cli-stacks", "count", words.Count(len(p.Stacked.Places)), "area", words.MM2(p.Stacked.AreaMM2))
	} else {
		fmt.Fprintln(s.out, words.English().Message(p.Verdict.Message))
	}
	s.notes(workshop.DescribeWarnings(workshop.Warnings(j, p)))
}
