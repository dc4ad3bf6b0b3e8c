package guide

import (
	"abut/geometry"
	"abut/internal/cutfile"
	"abut/internal/words"
)

// copies is how many a layout has, 0 where nothing was laid out.
func (g *Guide) copies() (n int) {
	if g.Layout == nil {
		return 0
	}
	for i := range g.Layout.Sheets {
		for _, p := range g.Layout.Sheets[i].Placed {
			n = max(n, p.Copy)
		}
	}
	return n
}

// cutFrom says what separation i of the page is cut from: what a sheet is trimmed to, or the sheets
// of a layout, which stay whole.
func (g *Guide) cutFrom(i int) (text string) {
	if g.Layout == nil {
		w, h := g.Page.Separations[i].TrimMM()
		return g.Words.Size(w, h)
	}
	var kind string
	var size geometry.Point
	count, alike := 0, true
	for k := range g.Layout.Sheets {
		l := &g.Layout.Sheets[k]
		if l.From != 0 || l.Of != i { // the guide is about the first design
			continue
		}
		at := geometry.Pt(l.Page.Width.MM(), l.Page.Height.MM())
		if count++; count == 1 {
			kind, size = string(l.Kind), at
		}
		alike = alike && string(l.Kind) == kind && at == size
	}
	switch {
	case count == 1:
		return g.say("guide-laid-"+kind, "size", g.Words.Size(size.X, size.Y))
	case alike && count > 0:
		return g.say("guide-laid-alike", "count", words.Count(count), "size", g.Words.Size(size.X, size.Y))
	}
	return g.say("guide-sheets", "count", words.Count(count))
}

// trimmed says it as a fact of its own.
func (g *Guide) trimmed(i int) string {
	if g.Layout != nil {
		return g.cutFrom(i)
	}
	return g.say("guide-trim", "size", g.cutFrom(i))
}

// first is what is done with sheets before anything is cut: they are trimmed, or taken whole.
func (g *Guide) first() step {
	if g.Layout != nil {
		return step{g.say("guide-step-take"), g.say("guide-step-take-how")}
	}
	return step{g.say("guide-step-trim"), g.say("guide-step-trim-how")}
}

// parting is how copies become single ones, once they are cut; false where there is but one.
func (g *Guide) parting() (step, bool) {
	n := g.copies()
	if n < 2 {
		return step{}, false
	}
	how := g.say("guide-step-part-how", "count", words.Count(n))
	if len(g.Copies) > 0 {
		how += " " + g.say("guide-step-part-first", "name", g.Copies[0].Name)
	}
	return step{g.say("guide-step-part"), how}, true
}

// step is one thing to do.
type step struct{ What, How string }

// numbersOf are the facts about how many sheets and pieces there are.
func (g *Guide) numbersOf(separations []cutfile.Separation) []string {
	pieces := 0
	for i := range separations {
		pieces += len(separations[i].Pieces)
	}
	if n := g.copies(); n > 1 {
		out := []string{g.say("guide-copies", "count", words.Count(n)), g.say("guide-sheets", "count", words.Count(len(g.Layout.Sheets)))}
		if len(g.Copies) > 0 { // each has as many as its name has letters
			return out
		}
		return append(out, g.say("guide-pieces-each", "count", words.Count(pieces)))
	}
	return []string{
		g.say("guide-sheets", "count", words.Count(len(separations))),
		g.say("guide-pieces", "count", words.Count(pieces)),
	}
}
