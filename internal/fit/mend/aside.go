package mend

import (
	"cmp"
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/fit/thing"
	"abut/internal/job"
)

// displace moves things aside where that helps and nothing else becomes thin by it, until nothing gets
// any better. Errors as layOut.
func (d *drawer) displace(ctx context.Context) error {
	if d.tries < mostTries { // each takes a look at a large map
		return nil
	}
	var stuck []*mover // nothing has changed about them since they were tried
	for range mostTries {
		if err := d.lookNow(ctx); err != nil {
			return err
		}
		movers, err := d.movers(ctx)
		if err != nil {
			return err
		}
		movers = slices.DeleteFunc(movers, func(v *mover) bool { return slices.ContainsFunc(stuck, v.same) })
		if len(movers) == 0 {
			return nil
		}
		made, err := d.moveAside(ctx, movers)
		if err != nil || len(made) == 0 {
			return err
		}
		stuck = slices.DeleteFunc(append(stuck, movers...), func(v *mover) bool {
			return slices.ContainsFunc(made, func(o *mover) bool { return v.near(o, reachWidths*d.settings.Narrowest()) })
		})
	}
	return nil
}

// movesFor returns what may be moved aside for spot k, the best first. Errors as layOut.
func (d *drawer) movesFor(ctx context.Context, k int) (out []job.Mend, err error) {
	all := d.spots
	d.spots = all[k : k+1]
	movers, err := d.movers(ctx)
	d.spots = all
	if err != nil || len(movers) == 0 {
		return nil, err
	}
	if d.picture, err = d.now.picture(ctx, d.settings); err != nil {
		return nil, err
	}
	if err := d.tryEach(ctx, movers, all); err != nil {
		return nil, err
	}
	movers = slices.DeleteFunc(movers, func(v *mover) bool { return v.best < 0 || v.left.own > asideShare*v.before.own })
	slices.SortStableFunc(movers, func(a, b *mover) int { return cmp.Compare(a.worth(), b.worth()) })
	for _, v := range movers {
		if len(v.with) == 0 { // a card offers one mend
			out = append(out, v.options[v.best]...)
		}
	}
	return out, nil
}

// moveAside tries movers, those far from each other together, and returns those that help, which are made.
// Errors as layOut.
func (d *drawer) moveAside(ctx context.Context, movers []*mover) (made []*mover, _ error) {
	before := d.spots
	if err := d.tryEach(ctx, movers, before); err != nil {
		return nil, err
	}
	good := slices.DeleteFunc(slices.Clone(movers), func(v *mover) bool { return v.best < 0 || v.left.own > asideShare*v.before.own })
	slices.SortStableFunc(good, func(a, b *mover) int { return cmp.Compare(a.worth(), b.worth()) })
	good, _ = farApart(good)
	for len(good) > 0 {
		t, err := d.tryMoves(ctx, good, func(v *mover) int { return v.best })
		if err != nil {
			return nil, err
		}
		n := len(good)
		good = slices.DeleteFunc(good, func(v *mover) bool {
			left, ok := d.judgeMove(t, v, before)
			return !ok || left > asideShare*v.before.own
		})
		if len(good) == n {
			d.job, d.now = t.job, t.laid
			return good, nil
		}
	}
	return nil, nil
}

// tryEach tries all ways of movers and finds the best of each. Errors as layOut.
func (d *drawer) tryEach(ctx context.Context, movers []*mover, before []Spot) error {
	var about []*attempt
	for _, v := range movers {
		about = append(about, &v.attempt)
	}
	if err := d.picture.forget(ctx, d.now.mending, about); err != nil {
		return err
	}
	for n := range mostWays {
		open := slices.DeleteFunc(slices.Clone(movers), func(v *mover) bool { return n >= len(v.options) || v.left.own <= goodShare*v.before.own })
		for len(open) > 0 {
			var now []*mover
			now, open = farApart(open)
			t, err := d.tryMoves(ctx, now, func(*mover) int { return n })
			if err != nil {
				return err
			}
			for _, v := range now {
				if left, ok := d.judgeMove(t, v, before); ok && left < v.left.own {
					v.best, v.left.own = n, left
				}
			}
		}
	}
	return nil
}

// tryMoves lays out the job with an option of each of some movers.
func (d *drawer) tryMoves(ctx context.Context, movers []*mover, option func(*mover) int) (*trial, error) {
	j := d.job
	var about []*attempt
	for _, v := range movers {
		j, about = with(j, v.options[option(v)]), append(about, &v.attempt)
	}
	return d.try(ctx, j, about)
}

// judgeMove returns what is left to do about the spots that something is moved for, with what becomes
// thin elsewhere about it, and whether it may be: nothing is lost, nothing stacks, and no outline
// turns more than before.
func (d *drawer) judgeMove(t *trial, v *mover, before []Spot) (left float64, ok bool) {
	left = v.before.own
	for i := range before {
		if p := &before[i]; reaches(p.Bounds, v.areas) {
			left -= d.now.toDo(p, d.settings)
		}
	}
	for i := range t.spots {
		if p := &t.spots[i]; reaches(p.Bounds, v.areas) {
			left += t.laid.toDo(p, d.settings)
		}
	}
	switch {
	case slices.ContainsFunc(t.lost, func(r geometry.Rect) bool { return reaches(r, v.areas) }),
		slices.ContainsFunc(t.laid.Stacked, func(s own.Stacked) bool { return reaches(s.Bounds, v.areas) }),
		slices.ContainsFunc(t.spots, func(s Spot) bool { return reaches(s.Bounds, v.areas) && thinner(&s, before) }):
		return left, false
	}
	in := func(p geometry.Point) bool { return reachesPoint(p, v.areas) }
	turns := 0.0
	for i := range t.laid.Materials {
		turns += turning(t.laid.simple[i], in)
	}
	for i := range d.now.Materials {
		turns -= turning(d.now.simple[i], in)
	}
	return left, turns <= fewBends
}

// thinner reports whether a spot is narrower than it was before: the less is left of a line, the less there
// is to do about it.
func thinner(p *Spot, before []Spot) bool {
	was := 0.0
	for i := range before {
		if q := &before[i]; q.Of == p.Of && q.Kind != weak.Point && !q.Bounds.Intersect(p.Bounds).Empty() && (was == 0 || q.WidthMM < was) {
			was = q.WidthMM
		}
	}
	return p.Kind != weak.Point && p.WidthMM < was-2*own.HealMM
}

// movers lists what may be moved for the spots that are open.
func (d *drawer) movers(ctx context.Context) ([]*mover, error) {
	m, w := d.now.mending, d.settings.Narrowest()
	if err := m.simplify(ctx); err != nil {
		return nil, err
	}
	var out []*mover
	for i := range d.spots {
		s := &d.spots[i]
		if s.Kind == weak.Speck || s.Kind == weak.Point || hair(s) || s.LengthMM > longAside*w {
			continue
		}
		sides := bank(m.sidesOf(s, s.Neighbours, sideStep*w))
		found, err := d.beside(ctx, m, s, sides)
		if err != nil {
			return nil, err
		}
		for _, v := range found {
			k := slices.IndexFunc(out, func(o *mover) bool { return o.same(v) })
			if k < 0 {
				k = len(out)
				out = append(out, v)
			} else {
				out[k].ways = append(out[k].ways, v.ways...)
			}
			out[k].spots = append(out[k].spots, s)
		}
	}
	out = flocks(out, w)
	for _, v := range out {
		for _, s := range v.spots {
			v.before.own += m.toDo(s, d.settings)
		}
		v.left.own = v.before.own
		v.choose(w)
	}
	return slices.DeleteFunc(out, func(v *mover) bool { return len(v.options) == 0 }), nil
}

// beside returns what may be moved beside a spot: straight sides along it, and whole things that are free
// to move. Errors as own.Lay.
func (d *drawer) beside(ctx context.Context, m *mending, s *Spot, sides bank) (out []*mover, _ error) {
	w := d.settings.Narrowest()
	of, all, err := d.drawnAlong(ctx, m, s, sides)
	if err != nil {
		return nil, err
	}
	closes := !m.drawn(s) // nobody would miss it
	type edgeOf struct {
		of   *thing.Thing
		edge thing.Edge
	}
	known := map[edgeOf]bool{}
	for i, x := range sides {
		v := of[i]
		if v == nil {
			continue
		}
		e, ok := v.thing.EdgeAt(x.a.Lerp(x.b, 0.5), own.HealMM)
		if !ok || e.B.Sub(e.A).Len() < sideTimes*w || known[edgeOf{v.thing, e}] {
			continue
		}
		known[edgeOf{v.thing, e}] = true
		if o := v.alongEdge(e, sides, w, closes); o != nil && m.page.Grow(-own.HealMM).Contains(o.at) {
			out = append(out, o)
		}
	}
	for _, v := range all {
		v.away(sides, of, w)
		beyond := func(x shift) bool {
			b := v.thing.Bounds
			return !m.page.Grow(own.HealMM).Encloses(geometry.Rect{Min: b.Min.Add(x.by), Max: b.Max.Add(x.by)})
		}
		if len(v.ways) > 0 && !slices.ContainsFunc(v.ways, beyond) && m.free(v) {
			out = append(out, v)
		}
	}
	return out, nil
}

// drawnAlong returns which things' outlines the sides of a spot are, nil for none, and each of those things
// once. Errors as own.Lay.
func (d *drawer) drawnAlong(ctx context.Context, m *mending, s *Spot, sides bank) (of, all []*mover, _ error) {
	of = make([]*mover, len(sides))
	for i, x := range sides {
		mid := x.a.Lerp(x.b, 0.5)
		layer := m.drawsEdge(mid, x.in)
		if layer < 0 {
			continue
		}
		p := &m.placed[layer]
		list, err := d.thingsOf(ctx, p)
		if err != nil {
			return nil, nil, err
		}
		things, near := list.Things, list.Near(mid, own.HealMM)
		n := slices.IndexFunc(near, func(k int) bool {
			// What a pen drew and letters are drawn evenly or not at all.
			t := &things[k]
			return !t.Stroke && t.Kind != thing.Letter && t.Kind != thing.Dash && t.Outline.Nears(mid, own.HealMM)
		})
		if n < 0 {
			continue
		}
		k := near[n]
		t := &things[k]
		if known := slices.IndexFunc(all, func(v *mover) bool { return v.thing == t }); known >= 0 {
			of[i] = all[known]
			continue
		}
		v := &mover{attempt: attempt{layer: p.Layer.ID, of: s.Of, at: mid, group: k, best: -1}, thing: t, scale: math.Sqrt(math.Abs(p.Transform.Det()))}
		v.back, _ = p.Transform.Invert()
		for n := range things {
			if things[n].Group == t.Group {
				v.alike++
			}
		}
		v.alone = v.alike == 1 || scattered(things, k)
		of[i], all = v, append(all, v)
	}
	return of, all, nil
}
