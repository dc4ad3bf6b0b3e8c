package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/fit/own"
	"abut/internal/job"
)

const (
	// ruinedTurning is how much more outlines may turn, in radians, about mends beside what
	// stays too thin: one more blunted corner at which three meet.
	ruinedTurning = 1.5 * math.Pi
	// alikeTurning is that about other mends of such a thing.
	alikeTurning = math.Pi
	// spreadTurning is how much more they may turn about mends that reach from one to the next, for each
	// narrowest width over which these are spread: what was done at one place, and then about what that left,
	// makes lumps that none of them makes alone.
	spreadTurning = math.Pi / 10
	// blotTurning is how much less outlines turn, in radians, and blotShare by which share of what they did,
	// where a figure becomes a blot: the legs and the tail of a bull, or the leaves of a wreath, grown together.
	blotTurning = 6 * math.Pi
	blotShare   = 0.5
	// partialShare is the share of what there was to do about a thing from which on what is
	// left means that it was mended in parts only.
	partialShare = 0.1
	// halfShare is that of several mends side by side by which outlines turn less or more by alikeTurning: what was fine
	// in a shoe or a net became lumps, with fewer corners, and the rest of it is listed.
	halfShare = 0.25
)

// drawnSo is the map before spots were mended.
type drawnSo struct {
	outlines geometry.Path // as they are seen
	spots    []Spot
	// symmetric: it is its own mirror image, once that was looked at.
	symmetric, looked bool
}

// remember keeps how it is before spots are mended. Its only error is the context's.
func (s *settler) remember(ctx context.Context) (*drawnSo, error) {
	all, err := s.outlines(ctx)
	was := &drawnSo{outlines: all}
	for _, o := range s.open {
		was.spots = append(was.spots, o.Spot)
	}
	return was, err
}

// partly returns the mends of spots, but for those of a job, that show: those side by side about which
// something is left to do, and outlines turn much more than before, or a good part is left, and they turn
// otherwise, for they mend a thing in parts only; those that together make a lump, or a blot; those that make one half
// of the picture other than the other where it was drawn symmetric; and others of the same things that show. A row of
// dents and steps that is listed all the same is no help to anybody. Its only error is the context's.
func (s *settler) partly(ctx context.Context, asked job.Job, was *drawnSo) (back []job.Mend, _ error) {
	mends := s.laidSince(asked)
	if len(mends) == 0 {
		return nil, nil
	}
	now, err := s.outlines(ctx)
	if err != nil {
		return nil, err
	}
	type thingOf struct {
		layer job.LayerID
		of    own.Material
	}
	ruined := map[thingOf]bool{}
	var others []mendGroup
	for _, g := range sideBySide(mends, s.settings.Narrowest()/2) {
		g.drawn = turningAt(was.outlines, g.layers)
		g.turns = turningAt(now, g.layers) - g.drawn
		if !s.shows(&g, was) {
			others = append(others, g)
			continue
		}
		for _, m := range g.mends {
			back = append(back, m.Mend)
			ruined[thingOf{m.Layer, m.Of}] = true
		}
	}
	for _, g := range others {
		if g.turns >= alikeTurning && slices.ContainsFunc(g.mends, func(m Made) bool { return m.Do == job.Widen && ruined[thingOf{m.Layer, m.Of}] }) {
			for _, m := range g.mends {
				back = append(back, m.Mend)
			}
		}
	}
	return append(back, s.someRays(mends)...), nil
}

// someRays returns the mends of rays of which all become broader, or none, where some could not.
func (s *settler) someRays(mends []mendGroup) (back []job.Mend) {
	for _, k := range s.things.list {
		if !k.needles || !slices.ContainsFunc(s.open, func(o *openSpot) bool { return s.needle(&o.Spot) && reaches(o.Bounds, k.areas) }) {
			continue
		}
		for _, g := range mends {
			m := g.mends[0]
			if staysPointed(m.Mend) && m.Of == k.of && slices.ContainsFunc(g.areas, func(a geometry.Rect) bool { return reaches(a, k.areas) }) {
				back = append(back, m.Mend)
			}
		}
	}
	return back
}

// shows reports whether mends side by side are better taken back: see partly.
func (s *settler) shows(g *mendGroup, was *drawnSo) bool {
	left, w := s.leftOf(g, was), s.settings.Narrowest()
	if slices.ContainsFunc(g.mends, func(m Made) bool { return halved(m.Mend, w) }) {
		left = 0 // one half of a point took its tip, as at its others
	}
	if g.turns >= ruinedTurning && left >= partialShare || len(g.mends) > 1 && math.Abs(g.turns) >= alikeTurning && left >= halfShare {
		return true
	}
	return g.lumpy(w) || g.blots() || s.lopsided(g, was)
}

// leftOf returns which share of what there was to do about mends is left, 0 where nothing is; more than 1 where they made
// it worse.
func (s *settler) leftOf(g *mendGroup, was *drawnSo) float64 {
	left, before := 0.0, 0.0
	for _, o := range s.open {
		if reaches(o.Bounds, g.areas) {
			left += s.toDo(&o.Spot, s.settings)
		}
	}
	for i := range was.spots {
		if p := &was.spots[i]; reaches(p.Bounds, g.areas) {
			before += s.toDo(p, s.settings)
		}
	}
	if left == 0 {
		return 0
	}
	return left / before
}

// lumpy reports whether several mends together make a lump. Each alone was looked at when it was made.
func (g *mendGroup) lumpy(w float64) bool {
	all := geometry.EmptyRect()
	for _, l := range g.layers {
		all = all.Union(l.path.Bounds())
	}
	return len(g.mends) > 1 && g.turns > ruinedTurning+spreadTurning*all.Max.Sub(all.Min).Len()/w
}

// blots reports whether mends made a blot of what was drawn: they took most of its corners away, of which there
// were many.
func (g *mendGroup) blots() bool {
	return -g.turns > blotTurning && -g.turns > blotShare*g.drawn
}

// mendGroup is mends with what they lay on the map.
type mendGroup struct {
	mends  []Made
	layers []layer
	areas  []geometry.Rect
	drawn  float64 // how much outlines turned about them as they were drawn, in radians
	turns  float64 // how much more they turn now
}

// laidSince lists the mends of spots on the map that a job did not have, each by itself.
func (s *settler) laidSince(asked job.Job) (out []mendGroup) {
	had := mendsOf(asked)
	at := map[int]int{}
	for _, l := range s.layers {
		m := s.had[l.mend]
		if had[m.Mend] {
			continue
		}
		k, known := at[l.mend]
		if !known {
			k = len(out)
			at[l.mend] = k
			out = append(out, mendGroup{mends: []Made{m}})
		}
		out[k].layers, out[k].areas = append(out[k].layers, l), append(out[k].areas, l.path.Bounds())
	}
	return out
}

// sideBySide puts mends together of which one leads to the next, with areas that reach a distance
// further.
func sideBySide(mends []mendGroup, reach float64) (out []mendGroup) {
	for _, m := range mends {
		for i := range m.areas {
			m.areas[i] = m.areas[i].Grow(reach)
		}
		rest := out[:0:0]
		for _, g := range out {
			if !slices.ContainsFunc(g.areas, func(r geometry.Rect) bool { return reaches(r, m.areas) }) {
				rest = append(rest, g)
				continue
			}
			m.mends, m.layers, m.areas = append(g.mends, m.mends...), append(g.layers, m.layers...), append(g.areas, m.areas...)
		}
		out = append(rest, m)
	}
	return out
}

// without takes back mends of spots that from has not: those whose spot lies about what was lost since
// before, and those that lie over what does not show any more, however far from there their spots are.
func (s *settler) without(j, from job.Job, before []geometry.Rect) (job.Job, error) {
	var back []job.Mend
	for _, g := range s.laidSince(from) {
		m := g.mends[0].Mend
		at := geometry.Rect{Min: g.mends[0].At, Max: g.mends[0].At}.Grow(s.settings.Narrowest())
		if s.takes(s.gone, at, before) || slices.ContainsFunc(g.layers, s.hides) {
			back = append(back, m)
		}
	}
	return job.ForgetMends(j, back)
}

// hides reports whether a mend lies over something that does not show any more.
func (s *settler) hides(l layer) bool {
	bounds := l.path.Bounds()
	var inside *geometry.Enclosure
	return slices.ContainsFunc(s.hidden, func(p geometry.Point) bool {
		if !bounds.Contains(p) {
			return false
		}
		if inside == nil {
			inside = geometry.NewEnclosure(l.path.Flatten(spotSagittaMM))
		}
		return inside.Holds(p)
	})
}
