package fit

import (
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit/mend"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

// addWarnings lists what the user should know about the plan.
func (p *Plan) addWarnings(s job.Settings, places *own.Places) {
	warn := func(id string, values map[string]any) {
		p.Warnings = append(p.Warnings, job.Warning{Message: message.Message{ID: id, Values: values}})
	}
	p.warnHealed(places)
	if n := p.Lapsed(); n > 0 {
		warn("mends-lapsed", map[string]any{"count": message.Count(n)})
	}
	if n := p.became(mend.Refused); n > 0 {
		warn("mends-refused", map[string]any{"count": message.Count(n)})
	}
	p.warnGivenAway()
	if len(p.Separations) > 0 && p.BaseReason.ID != "base-chosen" {
		name := p.Separations[0].Called()
		if rule := s.Frame; rule.Mode == job.FrameOn {
			warn("frame-colour-missing", map[string]any{"colour": message.ColourName{Word: colour.Word(rule.Colour)}, "name": name})
		} else if c := s.Base; c != nil {
			warn("base-missing", map[string]any{"colour": message.ColourName{Word: colour.Word(*c)}, "name": name})
		}
	}
	for _, c := range places.NoSheet {
		warn("sheet-missing", map[string]any{"colour": message.ColourName{Word: colour.Word(c)}})
	}
	var drawn []string
	for i := range places.Rules.Layers {
		if l := &places.Rules.Layers[i]; l.Use == job.Drawn {
			drawn = append(drawn, l.Name)
		}
	}
	if len(drawn) > 0 {
		warn("drawn-by-pen", map[string]any{"layers": message.Few(drawn)})
	}
	p.warnBackground(places, warn)
}

// warnBackground says what there is to say of a layer behind all others or around them.
func (p *Plan) warnBackground(places *own.Places, warn func(id string, values map[string]any)) {
	var id string
	l := places.Background()
	if l >= 0 {
		id = p.aboutBackground(places.Rules.IsBare(l))
	} else if l = places.BareAround(); l >= 0 && p.fallsShort() {
		id = backgroundAround
	} else {
		return
	}
	p.Background = places.Rules.Layers[l].ID
	if id != "" {
		values := map[string]any{"layer": places.Rules.Layers[l].Name, "count": message.Count(p.PiecesOf[p.Background])}
		if id == backgroundAround {
			cut := p.reach()
			values["size"] = message.Size{Width: cut.Width(), Height: cut.Height()}
		}
		warn(id, values)
		p.Warnings[len(p.Warnings)-1].Layers = []job.LayerID{p.Background}
	}
}

// reach is the bounding rectangle of all pieces.
func (p *Plan) reach() geometry.Rect {
	cut := geometry.EmptyRect()
	for i := range p.Separations {
		cut = cut.Union(p.Separations[i].Bounds)
	}
	return cut
}

// fallsShort reports whether the pieces are a millimetre or more smaller than the art on some side.
func (p *Plan) fallsShort() bool {
	return len(p.Separations) > 0 && !p.reach().Grow(1).Encloses(p.Extent)
}

// WarnLinesVanish is the id of the warning about lines that are too thin to be anything.
const WarnLinesVanish = "lines-vanish"

// warnHealed says what healing gave away: lines that are missing now, and slivers that nobody misses.
func (p *Plan) warnHealed(places *own.Places) {
	slivers := p.Healed
	if layers, lines := places.Vanished(); len(layers) > 0 {
		var names []string
		var ids []job.LayerID
		for _, l := range layers {
			names = append(names, places.Rules.Layers[l].Name)
			ids = append(ids, places.Rules.Layers[l].ID)
		}
		p.Warnings = append(p.Warnings, job.Warning{Layers: ids, Message: message.Message{ID: WarnLinesVanish, Values: map[string]any{
			"layers": message.Few(names), "width": message.Fine(own.HealMM),
		}}})
		slivers.Faces -= lines.Faces
		slivers.AreaMM2 -= lines.AreaMM2
	}
	if slivers.Faces > 0 {
		p.Warnings = append(p.Warnings, job.Warning{Message: message.Message{ID: "healed", Values: map[string]any{
			"count": message.Count(slivers.Faces), "area": message.MM2(slivers.AreaMM2),
		}}})
	}
}

// aboutBackground is the id of what there is to say of a layer behind all others, empty
// where that is nothing.
func (p *Plan) aboutBackground(bare bool) string {
	switch {
	case !bare && len(p.Separations) > 1:
		return backgroundFullPage
	case bare && p.fallsShort():
		return backgroundBare
	}
	return ""
}

// Ids of warnings about a background.
const (
	backgroundFullPage = "background-full-page"
	backgroundBare     = "background-bare"
	// backgroundAround is about what is bare around the picture and not behind it, as the paper of a traced one is.
	backgroundAround = "background-bare-around"
)

// IsBackground reports whether a warning points out a background that could be
// left out.
func IsBackground(w job.Warning) bool {
	return w.ID == backgroundFullPage || w.ID == backgroundBare || w.ID == backgroundAround
}

// Paper returns the layer that stays bare behind or around all that is cut and counts for the size, and the bounds of
// what is cut; false where there is none.
func (p *Plan) Paper() (layer job.LayerID, cut geometry.Rect, ok bool) {
	for _, w := range p.Warnings {
		if w.ID == backgroundBare || w.ID == backgroundAround {
			return p.Background, p.reach(), true
		}
	}
	return 0, geometry.Rect{}, false
}

// warnGivenAway says in words what the mends have given away.
func (p *Plan) warnGivenAway() {
	if len(p.GivenAway) == 0 {
		return
	}
	var colours []colour.RGB
	for _, g := range p.GivenAway {
		if !slices.Contains(colours, g.Colour) {
			colours = append(colours, g.Colour)
		}
	}
	var pieces message.List
	for _, c := range colours {
		count, area := 0, 0.0
		for _, g := range p.GivenAway {
			if g.Colour == c {
				count++
				area += g.AreaMM2
			}
		}
		pieces = append(pieces, message.Message{ID: "given-pieces", Values: map[string]any{
			"count": message.Count(count), "name": message.ColourName{Word: colour.Word(c)}, "area": message.MM2(area),
		}})
	}
	at := p.GivenAway[0].At
	p.Warnings = append(p.Warnings, job.Warning{At: &at, Message: message.Message{ID: "pieces-given-away", Values: map[string]any{
		"count": message.Count(len(p.GivenAway)), "pieces": pieces,
	}}})
}

// Lapsed counts the mends that no longer apply.
func (p *Plan) Lapsed() int { return p.became(mend.Lapsed) }

// became counts the mends of a state, but for those that only say that none was found.
func (p *Plan) became(state mend.State) (n int) {
	for i := range p.Mends {
		if m := &p.Mends[i]; m.State == state && !m.NoneFound() {
			n++
		}
	}
	return n
}
