package mend

import (
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/boxes"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// attempts groups spots by the things that they are in, with what can be done
// about each.
func (d *drawer) attempts(ctx context.Context, m *mending, spots []Spot) ([]*attempt, error) {
	var out []*attempt
	samples := max(1, min(mostSamples, fewSamples/max(1, len(spots))))
	about := func(layer job.LayerID, group int, of own.Material, at geometry.Point) *attempt {
		n := slices.IndexFunc(out, func(a *attempt) bool { return a.layer == layer && a.group == group })
		if n < 0 {
			n = len(out)
			out = append(out, &attempt{layer: layer, group: group, of: of, at: at, best: -1, good: map[int]todo{}})
			for _, t := range d.things[layer].Things {
				if t.Group == group {
					out[n].members = append(out[n].members, member{t.Bounds, geometry.NewEnclosure(t.Outline), t.Outline})
				}
			}
			if all := out[n].members; len(all) > fewMembers {
				out[n].bounds = boxes.New(len(all), func(i int) geometry.Rect { return all[i].bounds })
			}
		}
		return out[n]
	}
	for i := range spots {
		s := &spots[i]
		for _, at := range along(s, samples) {
			layer, group, err := d.thingAt(ctx, m, s, at)
			if err != nil {
				return nil, err
			}
			if group < 0 {
				continue
			}
			if a := about(layer, group, s.Of, at); !slices.Contains(a.spots, s) {
				a.spots = append(a.spots, s)
			}
		}
		layer, letter, err := d.letterBy(ctx, m, s)
		if err != nil {
			return nil, err
		}
		if letter != nil {
			about(layer, letter.Group, s.mostly(), letter.Outline.Samples(geometry.EvenOdd, sampleLines)[0])
		}
	}
	for _, a := range out {
		d.options(a, d.things[a.layer].Things, m.placed[m.indexOf(a.layer)].Transform, m)
		for _, p := range a.spots {
			a.before.own += a.share(p) * m.toDo(p, d.settings)
		}
		a.before.spaces = a.spacesOf(m, spots, d.settings)
		a.left = a.before
	}
	return out, nil
}

// fewSamples is at how many places along their middle the spots of a picture are looked at together: each looks at every edge of
// the map.
const fewSamples = 1500

// thingAt returns the thing that a spot is part of at a place, by its layer and
// group; −1 for none, where nobody drew it.
func (d *drawer) thingAt(ctx context.Context, m *mending, s *Spot, at geometry.Point) (job.LayerID, int, error) {
	spot := *s
	spot.At = at
	p := &m.placed[m.anchor(&spot)]
	if _, is := p.Layer.Content.(job.Surround); is || p.Layer.Band.Of != 0 {
		return 0, -1, nil
	}
	of, _ := m.Rules.Material(p.Layer.Colour)
	if p.Layer.Use == job.Bare {
		of = own.Bare
	}
	if of != s.Of && p.Layer.Alpha == 1 {
		return 0, -1, nil
	}
	list, err := d.thingsOf(ctx, p)
	if err != nil {
		return 0, -1, err
	}
	if t := list.At(at, 0); t >= 0 {
		return p.Layer.ID, list.Things[t].Group, nil
	}
	return 0, -1, nil
}

// letterBy returns the letter beside which a spot lies that is of something else, mostly between letters or within one; nil
// where there is none.
func (d *drawer) letterBy(ctx context.Context, m *mending, s *Spot) (job.LayerID, *thing.Thing, error) {
	of, w := s.mostly(), d.settings.Narrowest()
	if of == own.Bare || of == s.Of {
		return 0, nil, nil
	}
	for k := len(m.placed) - 1; k >= 0; k-- {
		p := &m.placed[k]
		if mat, _ := m.Rules.Material(p.Layer.Colour); mat != of || p.Layer.Use != job.Cut || p.Layer.Alpha < 1 || !m.Bounds[k].Grow(w).Contains(s.At) {
			continue
		}
		list, err := d.thingsOf(ctx, p)
		if err != nil {
			return 0, nil, err
		}
		if near := list.LetterNear(s.At, w); near >= 0 {
			return p.Layer.ID, &list.Things[near], nil
		}
	}
	return 0, nil, nil
}

// thingsOf returns the things of a layer as it was drawn. Errors as own.Lay.
func (d *drawer) thingsOf(ctx context.Context, p *own.Placed) (*thing.Finder, error) {
	if list, known := d.things[p.Layer.ID]; known {
		return list, nil
	}
	_, text := p.Layer.Content.(job.Text)
	things, err := thing.Find(ctx, job.Shapes(p.Layer.Content), p.Transform, text)
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	list := thing.NewFinder(things)
	d.things[p.Layer.ID] = list
	return list, nil
}
