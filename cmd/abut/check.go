package main

import (
	"context"
	"fmt"
	"path/filepath"

	"abut/internal/fit"
	"abut/internal/words"
	"abut/internal/workshop"
)

type checkCommand struct {
	Files    pictures `arg:"" name:"file" help:"cli-help-file"`
	Width    length   `placeholder:"LENGTH" help:"cli-help-check-width"`
	MinWidth length   `placeholder:"LENGTH" help:"cli-help-min-width"`
	artFlags
	Mend bool `help:"cli-help-check-mend"`
	Pen  bool `help:"cli-help-pen"`

	Sheet       sheetFlag `placeholder:"WxH" help:"cli-help-sheet"`
	CutterWidth length    `placeholder:"LENGTH" help:"cli-help-cutter-width"`
	Drawer      string    `placeholder:"FILE" help:"cli-help-drawer"`
	layoutFlags
	List string `xor:"copies" placeholder:"FILE" help:"cli-help-check-list"`

	JSON bool `name:"json" help:"cli-help-json"`
}

// Help is the longer text of 'abut check --help'.
func (*checkCommand) Help() string { return words.Say("cli-help-check-more") }

// Run does it.
func (c *checkCommand) Run(ctx context.Context, s streams) error {
	failed, status := s.each(c.Files, func(i int, file string) error {
		if !c.JSON {
			s.heading(c.Files, i)
		}
		source, err := s.saved(file)
		if err != nil {
			return err
		}
		return c.check(ctx, s, source)
	})
	if !c.JSON {
		s.summary("cli-checked-all", c.Files, failed, "")
	}
	return ended(status)
}

func (c *checkCommand) check(ctx context.Context, s streams, source workshop.Source) error {
	o := workshop.Options{
		WidthMM: float64(c.Width), LeaveOut: c.LeaveOut, Bands: int(c.Gradients), Solid: c.Opacity == "top", IgnoreClips: c.Clips == "ignore", Tracing: c.tracing(),
		NarrowestMM: float64(c.MinWidth), Mend: c.Mend, Pen: c.Pen,
		CutterMM: float64(c.CutterWidth), SheetWidthMM: c.Sheet.width, SheetHeightMM: c.Sheet.height, Drawer: c.Drawer,
		WriteOptions: workshop.WriteOptions{Layout: c.options()},
	}
	list, err := listOf(c.List, source, c.Copies)
	if err != nil {
		return err
	}
	if list != nil {
		return s.checkList(ctx, source, *list, c.JSON, o)
	}
	told, end := s.doing()
	o.Doing = told
	r, err := workshop.Cut(ctx, source, o)
	end()
	if err != nil {
		return err
	}
	if !c.JSON {
		s.checked(r, c.Width > 0 || workshop.Sized(r.Job))
	} else if err := workshop.WriteJSON(s.out, report(filepath.Base(source.Path), r)); err != nil {
		return err
	}
	if r.Drawn.Stacked.AreaMM2 > 0 {
		return statusError(exitStacked)
	}
	return nil
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
	// WeakThings are what those belong to.
	WeakThings []workshop.ManifestWeakThing `json:"weak_things"`
	// AllCutFromMM is the width of the art from which nothing is too thin, 0 where none
	// was found.
	AllCutFromMM float64 `json:"all_cut_from_mm"`
	Verdict      string  `json:"verdict"`
	// Layout is there only where copies or pieces are laid out; it has no files.
	Layout *workshop.ManifestLayout `json:"layout,omitempty"`
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

func report(art string, r workshop.Result) checkReport {
	p := r.Drawn
	out := checkReport{
		Schema: "abut-check/1", Art: art,
		WidthMM: p.Extent.Width(), HeightMM: p.Extent.Height(), StackedMM2: p.Stacked.AreaMM2,
		Places: []checkPlace{}, Sheets: []checkSheet{},
		Warnings: r.Warnings, WeakSpots: r.Spots, WeakThings: r.Things, AllCutFromMM: r.Smallest.WidthMM, Verdict: r.Verdict, Layout: r.Laid,
	}
	for _, x := range p.Stacked.Places {
		out.Places = append(out.Places, checkPlace{
			XMM: x.Inside.X - p.Extent.Min.X, YMM: x.Inside.Y - p.Extent.Min.Y,
			AreaMM2: x.AreaMM2, Layers: workshop.LayerNames(r.Job, x.Layers),
		})
	}
	for _, x := range p.Separations {
		out.Sheets = append(out.Sheets, checkSheet{x.Name, x.Colour.String(), len(x.Pieces), x.AreaMM2})
	}
	return out
}

// maxPlaces is how many stacked places are printed; --json lists them all.
const maxPlaces = 10

func (s streams) checked(r workshop.Result, sized bool) {
	p, places := r.Drawn, r.Drawn.Stacked.Places
	id := "cli-checked-unsized"
	if sized {
		id = "cli-checked"
	}
	s.say(id, "size", words.Size(p.Extent.Width(), p.Extent.Height()), "count", words.Count(len(p.Separations)))
	for i, x := range places {
		if i == maxPlaces {
			fmt.Fprintln(s.out, "  "+words.Say("cli-more-places", "count", words.Count(len(places)-i)))
			break
		}
		fmt.Fprintln(s.out, "  "+workshop.PlaceText(r.Job, p, x))
	}
	if area := p.Stacked.AreaMM2; area > 0 {
		s.say("cli-stacks", "count", words.Count(len(places)), "area", words.MM2(area))
	} else {
		fmt.Fprintln(s.out, r.Verdict)
	}
	for i, t := range r.Things {
		if i == maxPlaces {
			fmt.Fprintln(s.out, "  "+words.Say("cli-more-things", "count", words.Count(len(r.Things)-i)))
			break
		}
		fmt.Fprintln(s.out, "  "+t.Text)
	}
	if m, ok := r.Smallest.Message(); ok {
		fmt.Fprintln(s.out, words.Chosen().Message(m))
	}
	s.proof(r.Plan)
	if r.Laid != nil {
		s.laidOut(r.Laid)
	}
	s.notes(r.Warnings)
}

// proof compares with the art what mends have made of it.
func (s streams) proof(p *fit.Plan) {
	if len(p.Mends) > 0 {
		fmt.Fprintln(s.out, words.Chosen().Message(p.Proof.Message()))
	}
}
