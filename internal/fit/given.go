package fit

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// GivenAway is a piece of the art of which mends have left nothing.
type GivenAway struct {
	// Colour is that of the sheet that it would have been cut from.
	Colour  colour.RGB
	AreaMM2 float64
	// At is a place inside.
	At geometry.Point
}

// keptShare is the share of a piece below which nothing of it is left to be
// seen: what its neighbours leave of it are crumbs that others have taken over.
const keptShare = 0.05

// givenAway lists the pieces of the map without mends that the mends have given
// to others, or dropped, the largest first.
func (m *mending) givenAway(ctx context.Context) ([]GivenAway, error) {
	labels := slices.Clone(m.unmended)
	if _, err := m.overlay.m.Heal(ctx, labels, HealMM); err != nil {
		return nil, err
	}
	d, err := m.overlay.m.Divide(ctx, labels)
	if err != nil {
		return nil, err
	}
	var out []GivenAway
	for i := range d.Pieces {
		p := &d.Pieces[i]
		if p.Label < 0 || len(m.claims.sets[p.Label]) != 1 {
			continue
		}
		left := 0.0
		for _, f := range p.Faces {
			if m.divided.labels[f] == p.Label {
				left += m.overlay.m.AreaMM2(f)
			}
		}
		if area := p.AreaMM2(); left < keptShare*area {
			sep := m.claims.sets[p.Label][0]
			out = append(out, GivenAway{Colour: m.rules.separations[sep].colour, AreaMM2: area, At: d.Inside(i)})
		}
	}
	slices.SortStableFunc(out, func(a, b GivenAway) int { return cmp.Compare(b.AreaMM2, a.AreaMM2) })
	return out, nil
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
