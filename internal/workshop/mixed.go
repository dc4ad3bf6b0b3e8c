package workshop

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/svgimport"
	"abut/internal/words"
)

// ArtWarnings returns what the import of a picture had to say, as it is now that
// the user has decided: gradients are told by layer, in their mean colour or in
// bands.
func ArtWarnings(it job.Item) []job.Warning {
	if !slices.ContainsFunc(it.Warnings, isGradient) {
		return it.Warnings
	}
	type place struct {
		element string
		line    int
	}
	at := map[place]int{} // the layer that a gradient belongs to
	for i, l := range it.Layers {
		o, _ := l.Content.(job.Outlines)
		for _, s := range o.Shapes {
			p := place{s.Element, s.Line}
			if _, known := at[p]; s.Gradient != nil && !known {
				at[p] = i
			}
		}
	}
	var out []job.Warning
	told := map[int]int{} // by layer: where in out
	count := map[int]int{}
	for _, w := range it.Warnings {
		i, ok := at[place{w.Element, w.Line}]
		if !isGradient(w) || !ok {
			out = append(out, w)
			continue
		}
		if count[i]++; count[i] == 1 {
			told[i] = len(out)
			out = append(out, w)
		}
	}
	for i, k := range told {
		l := it.Layers[i]
		w := &out[k]
		w.Layers = job.BandsWith(job.Job{Items: []job.Item{it}}, []job.LayerID{l.ID})
		args := map[string]any{
			"element": w.Element, "line": strconv.Itoa(w.Line), "count": words.Count(count[i]),
			"layer": l.Name, "colour": l.Colour.String(), "bands": words.Count(len(w.Layers)),
		}
		if l.Band.Of != 0 {
			args["layer"] = l.Band.Name
		}
		switch several := count[i] > 1; {
		case l.Band.Of != 0 && several:
			w.Message = message.Message{ID: warnManyBands, Values: args}
		case l.Band.Of != 0:
			w.Message = message.Message{ID: warnBands, Values: args}
		case several:
			w.Message = message.Message{ID: warnGradients, Values: args}
		default:
			w.Message = message.Message{ID: svgimport.WarnGradient, Values: args}
		}
	}
	return out
}

func isGradient(w job.Warning) bool { return w.ID == svgimport.WarnGradient }

// IsGradient reports whether a warning is about gradients, which can become
// bands or their mean colour.
func IsGradient(w job.Warning) bool {
	switch w.ID {
	case svgimport.WarnGradient, warnGradients, warnBands, warnManyBands:
		return true
	}
	return false
}

// Ids of warnings about gradients besides that of the import.
const (
	warnGradients = "import-gradients"
	warnBands     = "import-gradient-bands"
	warnManyBands = "import-gradients-bands"
)

// seeThrough tells of layers that mix with what they cover, or would.
func seeThrough(j job.Job, p *fit.Plan) []job.Warning {
	var ids []job.LayerID
	var names []string
	own := map[colour.RGB]bool{}
	mixes := false
	for _, it := range j.Items {
		for i := range it.Layers {
			l := &it.Layers[i]
			if l.Use != job.Cut {
				continue
			}
			if l.Opacity() == 1 {
				own[l.Colour] = true
				if t, ok := j.Assign[l.Colour]; ok {
					s, _ := j.Sheet(t.Sheet)
					own[s.Pressed] = true
				}
			}
			if l.Alpha < 1 {
				ids = append(ids, l.ID)
				mixes = mixes || !l.Solid
				if len(names) < 4 {
					names = append(names, l.Name)
				}
			}
		}
	}
	if len(ids) == 0 {
		return nil
	}
	if len(ids) > len(names) {
		names[len(names)-1] = "…"
	}
	mixed := 0
	for _, s := range p.Separations {
		if !own[s.Colour] {
			mixed++
		}
	}
	args := map[string]any{"layers": strings.Join(names, ", "), "count": words.Count(mixed)}
	if mixes && mixed == 0 {
		return nil
	}
	if mixes {
		return []job.Warning{{Message: message.Message{ID: WarnSeeThrough, Values: args}, Layers: ids}}
	}
	return []job.Warning{{Message: message.Message{ID: WarnSolid, Values: args}, Layers: ids}}
}

// Ids of warnings about see-through layers.
const (
	WarnSeeThrough = "see-through-mixes"
	WarnSolid      = "see-through-solid"
)

// Background names the layer that fills the whole page behind the art, among the
// layers that LeaveOut can be asked for by name.
const Background = "background"

// LeaveOut leaves out the layers with these names, or the one that fills the
// page behind the art. It fails with a list of the names when there is none so
// called.
func LeaveOut(ctx context.Context, j job.Job, names []string) (job.Job, error) {
	for _, name := range names {
		name = strings.TrimSpace(name)
		var ids []job.LayerID
		var have []string
		for _, it := range j.Items {
			for _, l := range it.Layers {
				if strings.EqualFold(l.Name, name) {
					ids = append(ids, l.ID)
				}
				if len(have) < 30 {
					have = append(have, l.Name)
				}
			}
		}
		if len(ids) == 0 && strings.EqualFold(name, Background) {
			p, err := Fit(ctx, j)
			if err != nil {
				return j, err
			}
			if p.Background == 0 {
				return j, fail("no-background", nil)
			}
			ids = []job.LayerID{p.Background}
		}
		if len(ids) == 0 {
			return j, fail("no-layer-called", nil, "name", name, "layers", words.List(have))
		}
		var err error
		if j, err = job.SetUse(j, ids, job.LeftOut); err != nil {
			return j, explain(err)
		}
	}
	return j, nil
}

// Mixed decides about all colours of the art that are no flat ones: gradients
// become bands (1: their mean colour), and see-through layers keep their own
// colour when solid.
func Mixed(j job.Job, bands int, solid bool) (job.Job, error) {
	j, err := job.SetBands(j, j.LayerIDs(), bands)
	if err == nil {
		j, err = job.SetSolid(j, j.LayerIDs(), solid)
	}
	return j, explain(err)
}
