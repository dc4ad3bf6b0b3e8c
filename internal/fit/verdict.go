package fit

import (
	"maps"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/job"
	"abut/internal/message"
)

// verdict says where the job stands, in one message.
func verdict(p *Plan) Verdict {
	say := func(state VerdictState, id string) Verdict {
		m := message.Message{ID: id, Values: map[string]any{
			"count": message.Count(len(p.Stacked.Places)), "area": message.MM2(p.Stacked.AreaMM2),
		}}
		if len(p.LeftOut) > 0 {
			m.ID += leftOutSuffix
			m.Values["left"] = message.Few(p.LeftOut)
		}
		return Verdict{state, m}
	}
	switch {
	case len(p.Separations) > 0 && len(p.Stacked.Places) > 0:
		return say(Trouble, "verdict-stacks")
	case len(p.Beyond) > 0:
		v := Verdict{Trouble, p.Beyond[0].Message}
		if len(p.LeftOut) > 0 {
			v.Values = maps.Clone(v.Values)
			v.Values["left"] = message.Few(p.LeftOut)
		}
		return v
	case len(p.Separations) > 0:
		return say(Ready, "verdict-ready")
	case p.BareMM2 > 0 || len(p.LeftOut) > 0:
		return say(Nothing, "verdict-all-bare")
	default:
		return say(Nothing, "verdict-nothing")
	}
}

// leftOutSuffix follows a verdict's id when it names what is left out.
const leftOutSuffix = "-left-out"

// addWarnings lists what the user should know about the plan.
func (b *builder) addWarnings(p *Plan) {
	warn := func(id string, values map[string]any) {
		p.Warnings = append(p.Warnings, job.Warning{Message: message.Message{ID: id, Values: values}})
	}
	if p.Healed.Faces > 0 {
		warn("healed", map[string]any{"count": message.Count(p.Healed.Faces), "area": message.MM2(p.Healed.AreaMM2)})
	}
	lapsed, refused := 0, 0
	for i := range p.Mends {
		lapsed += btoi(p.Mends[i].State == MendLapsed)
		refused += btoi(p.Mends[i].State == MendRefused)
	}
	if lapsed > 0 {
		warn("mends-lapsed", map[string]any{"count": message.Count(lapsed)})
	}
	if refused > 0 {
		warn("mends-refused", map[string]any{"count": message.Count(refused)})
	}
	p.warnGivenAway()
	if len(p.Separations) > 0 && p.BaseReason.ID != "base-chosen" {
		if rule := b.job.Settings.Frame; rule.Mode == job.FrameOn {
			warn("frame-colour-missing", map[string]any{"colour": rule.Colour.String(), "name": p.Separations[0].Called()})
		} else if c := b.job.Settings.Base; c != nil {
			warn("base-missing", map[string]any{"colour": c.String(), "name": p.Separations[0].Called()})
		}
	}
	for _, c := range b.rules.noSheet {
		warn("sheet-missing", map[string]any{"colour": c.String()})
	}
	var drawn []string
	for i := range b.rules.layers {
		if l := &b.rules.layers[i]; l.use == job.Drawn {
			drawn = append(drawn, l.name)
		}
	}
	if len(drawn) > 0 {
		warn("drawn-by-pen", map[string]any{"layers": message.Few(drawn)})
	}
	if l := b.background(); l >= 0 {
		p.Background = b.rules.layers[l].id
		args := map[string]any{"layer": b.rules.layers[l].name}
		cutBounds := geometry.EmptyRect()
		for i := range p.Separations {
			cutBounds = cutBounds.Union(p.Separations[i].Bounds)
		}
		switch {
		case !b.isBare(l) && len(p.Separations) > 1:
			warn(backgroundFullPage, args)
		case b.isBare(l) && len(p.Separations) > 0 && !cutBounds.Grow(1).Encloses(p.Extent):
			warn(backgroundBare, args)
		default:
			return
		}
		p.Warnings[len(p.Warnings)-1].Layers = []job.LayerID{p.Background}
	}
}

// Ids of warnings about a background.
const (
	backgroundFullPage = "background-full-page"
	backgroundBare     = "background-bare"
)

// IsBackground reports whether a warning points out a background that could be
// left out.
func IsBackground(w job.Warning) bool { return w.ID == backgroundFullPage || w.ID == backgroundBare }

// fullPage is the share of the art's bounding rectangle from which a layer
// counts as its background: all but rounded corners.
const fullPage = 0.98

// background returns the lowest layer that covers the whole page of the art,
// or −1. Such a layer is the largest extent there is, and so the base, although
// nobody may have meant it to be cut at all.
func (b *builder) background() int {
	m := b.overlay.m
	page := rectArea(b.overlay.extent)
	if !(page > 0) {
		return -1
	}
	var area []float64 // per cover, once needed
	for l := range b.rules.layers {
		a := &b.rules.layers[l]
		if a.use == job.Drawn || a.alpha < 1 || !b.overlay.bounds[l].Grow(HealMM).Encloses(b.overlay.extent) {
			continue
		}
		if area == nil {
			area = make([]float64, m.NumCovers())
			for f := range m.NumFaces() {
				area[m.CoverID(planar.FaceID(f))] += m.AreaMM2(planar.FaceID(f))
			}
		}
		sum := 0.0
		for id, v := range area {
			for _, c := range m.CoverByID(int32(id)) {
				if c == int32(l) {
					sum += v
					break
				} else if c > int32(l) {
					break
				}
			}
		}
		if sum >= fullPage*page {
			return l
		}
	}
	return -1
}

func (b *builder) isBare(l int) bool {
	a := &b.rules.layers[l]
	return a.use == job.Bare || b.rules.separation(a.colour) == bare
}
