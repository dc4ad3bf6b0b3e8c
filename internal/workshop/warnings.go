package workshop

import (
	"strconv"

	"abut/internal/colour"
	"abut/internal/fillin"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/svgimport"
	"abut/internal/trace"
	"abut/internal/words"
)

// Ids of warnings about gradients besides that of the import, and about
// see-through layers.
const (
	warnGradients   = "import-gradients"
	warnBands       = "import-gradient-bands"
	warnManyBands   = "import-gradients-bands"
	warnClipIgnored = "import-clip-ignored"
	WarnSeeThrough  = "see-through-mixes"
	WarnSolid       = "see-through-solid"
	warnManySheets  = "many-sheets"
	warnUnfilled    = "marks-unfilled"
)

// manySheets is how many sheets a design may have before it is said that shades could be
// merged: each is cut, weeded and laid, and a dozen is a long evening (our own judgement).
const manySheets = 12

// Warnings returns everything to know about a job and its plan: what the
// imports had to say first.
func Warnings(j job.Job, p *fit.Plan) []job.Warning {
	var out []job.Warning
	for _, it := range j.Items {
		out = append(out, artWarnings(it)...)
	}
	out = append(out, Unfilled(j)...)
	out = append(out, seeThrough(j, p)...)
	if n := len(p.Separations); n > manySheets {
		out = append(out, job.Warning{Message: message.Message{ID: warnManySheets, Values: map[string]any{"count": words.Count(n)}}})
	}
	return append(out, p.Warnings...)
}

// Unfilled tells of texts that a list would fill in, where there is none.
func Unfilled(j job.Job) []job.Warning {
	layers := fillin.Unfilled(j)
	if len(layers) == 0 || j.Settings.List != nil {
		return nil
	}
	var ids []job.LayerID
	var names []string
	for _, l := range layers {
		ids, names = append(ids, l.ID), append(names, l.Name)
	}
	return []job.Warning{{Layers: ids, Message: message.Message{ID: warnUnfilled, Values: map[string]any{
		"layers": message.Few(names), "count": words.Count(len(names)),
	}}}}
}

// artWarnings returns what the import of a picture had to say, as it is now that
// the user has decided: gradients are told by layer, in their mean colour or in
// bands.
func artWarnings(it job.Item) []job.Warning {
	type place struct {
		element string
		line    int
	}
	layers := map[place]int{} // the layer that a gradient belongs to
	for i, l := range it.Layers {
		o, _ := l.Content.(job.Outlines)
		for _, s := range o.Shapes {
			p := place{s.Element, s.Line}
			if _, known := layers[p]; s.Gradient != nil && !known {
				layers[p] = i
			}
		}
	}
	of := func(w job.Warning) (layer int, ok bool) {
		layer, ok = layers[place{w.Element, w.Line}]
		return layer, ok && w.ID == svgimport.WarnGradient
	}
	count := map[int]int{} // of gradients, by layer
	for _, w := range it.Warnings {
		if i, ok := of(w); ok {
			count[i]++
		}
	}
	var out []job.Warning
	for _, w := range it.Warnings {
		if i, ok := of(w); ok {
			if count[i] == 0 {
				continue // told with the layer's first one
			}
			w = aboutGradients(it, &it.Layers[i], w, count[i])
			count[i] = 0
		}
		if w.ID == svgimport.WarnClipGroup {
			w = aboutClips(it, w)
		}
		out = append(out, w)
	}
	return out
}

// aboutGradients says what becomes of the gradients of a layer, of which w is
// the first.
func aboutGradients(it job.Item, l *job.Layer, w job.Warning, count int) job.Warning {
	w.Layers = job.BandsWith(job.Job{Items: []job.Item{it}}, []job.LayerID{l.ID})
	id, name := svgimport.WarnGradient, l.Name
	if count > 1 {
		id = warnGradients
	}
	if l.Band.Of != 0 {
		id, name = warnBands, l.Band.Name
		if count > 1 {
			id = warnManyBands
		}
	}
	w.Message = words.Pairs(id, "element", w.Element, "line", strconv.Itoa(w.Line), "count", words.Count(count),
		"layer", name, "colour", l.Colour.String(), "bands", words.Count(len(w.Layers)))
	return w
}

// aboutClips says what becomes of the doubtful clips of a picture.
func aboutClips(it job.Item, w job.Warning) job.Warning {
	for _, l := range it.Layers {
		has, ignored := job.HasDoubtfulClip(l)
		if has {
			w.Layers = append(w.Layers, l.ID)
		}
		if ignored {
			w.ID = warnClipIgnored
		}
	}
	return w
}

// IsClip reports whether a warning is about doubtful clips, and whether they are
// ignored.
func IsClip(w job.Warning) (is, ignored bool) {
	return w.ID == svgimport.WarnClipGroup || w.ID == warnClipIgnored, w.ID == warnClipIgnored
}

// IsGradient reports whether a warning is about gradients, which can become
// bands or their mean colour.
func IsGradient(w job.Warning) bool {
	switch w.ID {
	case svgimport.WarnGradient, warnGradients, warnBands, warnManyBands:
		return true
	}
	return false
}

// notAsDrawn are the ids of warnings about what was drawn and is missing, or looks otherwise.
var notAsDrawn = map[string]bool{
	svgimport.WarnImage: true, svgimport.WarnExternal: true, svgimport.WarnForeign: true, svgimport.WarnElement: true,
	svgimport.WarnMissing: true, svgimport.WarnPaint: true, svgimport.WarnPathData: true, svgimport.WarnTransform: true,
	svgimport.WarnRange: true, svgimport.WarnOffPage: true, svgimport.WarnPageColour: true, svgimport.WarnClipGroup: true, svgimport.WarnClipShape: true,
	svgimport.WarnMask: true, svgimport.WarnFilter: true, svgimport.WarnBlend: true, svgimport.WarnOpacity: true,
	svgimport.WarnPattern: true, svgimport.WarnDashes: true,
	svgimport.WarnText: true, svgimport.WarnTextCut: true, svgimport.WarnTextPastPath: true, svgimport.WarnTextLong: true,
	svgimport.WarnTextVertical: true, svgimport.WarnFont: true, svgimport.WarnLetters: true, svgimport.WarnLettersLost: true,
	fit.WarnLinesVanish: true, trace.WarnSoft: true,
}

// IsNotAsDrawn reports whether a warning is about something in the picture that is missing or
// looks otherwise than it was drawn, so that whoever made it must look.
func IsNotAsDrawn(w job.Warning) bool { return notAsDrawn[w.ID] }

// seeThrough tells of layers that mix with what they cover, or would.
func seeThrough(j job.Job, p *fit.Plan) []job.Warning {
	var ids []job.LayerID
	var names []string
	own := map[colour.RGB]bool{}
	id := WarnSolid
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
				ids, names = append(ids, l.ID), append(names, l.Name)
				if !l.Solid {
					id = WarnSeeThrough
				}
			}
		}
	}
	mixed := 0
	for _, s := range p.Separations {
		if !own[s.Colour] {
			mixed++
		}
	}
	if len(ids) == 0 || id == WarnSeeThrough && mixed == 0 {
		return nil
	}
	return []job.Warning{{Layers: ids, Message: message.Message{ID: id, Values: map[string]any{
		"layers": message.Few(names), "count": words.Count(mixed),
	}}}}
}
