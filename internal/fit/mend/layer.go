package mend

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// target returns to whom the mend gives a spot; false when there is nobody.
func (m *mending) target(s *Spot, mend job.Mend) (own.Material, bool) {
	if mend.Do == job.Recolour {
		to := m.Named(m.Rules, mend.To)
		return to, mend.Chosen && to != s.Of
	}
	if !mend.Chosen {
		return s.firstBeside()
	}
	// The colour may be one of the art that has been sent to a sheet since.
	wanted, _ := m.Rules.Material(mend.To)
	for _, n := range s.Neighbours {
		if n.Of != own.Bare && n.Of != s.Of && (n.Of.Colour == mend.To || n.Of == wanted) {
			return n.Of, true
		}
	}
	return own.Bare, false
}

// widenMM is how much broader than the narrowest width a mended place becomes,
// so that it is no spot again by rounding and chords.
const widenMM = 0.02

// layersOf returns what a mend lays over a spot; nothing when it cannot be made.
func (m *mending) layersOf(ctx context.Context, s *Spot, mend job.Mend, settings job.Settings) ([]layer, error) {
	s, err := s.cutOff(ctx, mend, settings.Narrowest())
	if err != nil || s == nil {
		return nil, err
	}
	switch {
	case mend.Do == job.Widen && mend.Whole:
		return m.wholeLarger(ctx, s, mend, settings)
	case mend.Do == job.Give && (ends(s) || s.Kind == weak.Gap || hair(s)):
		return m.divided(ctx, s, mend, settings)
	case mend.Do == job.Widen && s.Kind == weak.Gap:
		return m.opened(ctx, s, math.Max(settings.Narrowest(), mend.WidthMM)+widenMM)
	case mend.Do == job.Widen && mend.Chosen && s.Of != own.Bare:
		return m.grownBeside(ctx, s, mend, settings)
	}
	return m.layer(ctx, s, mend, settings)
}

// grownBeside makes a spot broad on the side of the neighbour that a mend names.
func (m *mending) grownBeside(ctx context.Context, s *Spot, mend job.Mend, settings job.Settings) ([]layer, error) {
	width := settings.Narrowest()
	if s.Kind == weak.Speck {
		width = settings.Speck()
	}
	return m.grown(ctx, s, m.Named(m.Rules, mend.To), math.Max(width, mend.WidthMM)+widenMM)
}

// divided gives a point, a gap or a hairline away. Several neighbours share it where none is
// chosen: each takes what lies nearest to it.
func (m *mending) divided(ctx context.Context, s *Spot, mend job.Mend, settings job.Settings) ([]layer, error) {
	s, err := s.narrowed(ctx)
	if err != nil {
		return nil, err
	}
	if !mend.Chosen {
		if out, err := m.shared(ctx, s, settings.Narrowest()); err != nil || len(out) > 0 {
			return out, err
		}
	}
	return m.layer(ctx, s, mend, settings)
}

// layer returns the one layer of what else a mend lays over a spot; nothing when it cannot be
// made. Keeping lays nothing.
func (m *mending) layer(ctx context.Context, s *Spot, mend job.Mend, settings job.Settings) ([]layer, error) {
	var l layer
	var ok bool
	var err error
	switch mend.Do {
	case job.Give, job.Recolour:
		l.from = s.goes()
		l.to, ok = m.target(s, mend)
		if mend.Do == job.Recolour && mend.WidthMM > 0 {
			l.from = taker{everyone: true}
			l.path, err = m.inwards(s, mend.WidthMM).Widened(ctx, mend.WidthMM)
			err = own.Explain(err, nil)
		} else {
			l.path, err = s.covered(ctx)
		}
	case job.Drop:
		ok = s.Of != own.Bare
		l.from.of = s.Of
		l.path, err = s.covered(ctx)
	case job.Widen:
		l, err = m.widened(ctx, s, mend, settings)
		ok = len(l.path) > 0
	case job.Join:
		l, ok, err = m.joined(ctx, s, settings.Narrowest()+widenMM)
	}
	if err != nil || !ok {
		return nil, err
	}
	return []layer{l}, nil
}

// widened makes a spot as broad as it must be, a speck in its own shape where that helps.
func (m *mending) widened(ctx context.Context, s *Spot, mend job.Mend, settings job.Settings) (layer, error) {
	width, speck := math.Max(settings.Narrowest(), mend.WidthMM)+widenMM, math.Max(settings.Speck(), mend.WidthMM)+widenMM
	l := layer{from: taker{everyone: true, but: m.endsAt(s, settings.Narrowest())}, to: s.Of}
	if path, ok := m.larger(ctx, s, speck, settings.Narrowest()+widenMM); ok {
		l.path = path
		return l, nil
	}
	if staysPointed(mend) {
		l.path, _ = s.tapered(width)
		return l, nil
	}
	var err error
	if l.path, err = m.broadened(ctx, s, width, speck, mend.Smooth); err == nil && s.Kind == weak.Point && !s.Whole && s.whole != nil {
		l.path, err = s.upright(ctx, l.path, width)
		// A shade goes on as broad as it was. A horn would be a club, and at the picture's edge it would be a step.
		l.straight = !m.drawn(s) && s.along(own.Bare) <= endsShare
	}
	return l, err
}

// joined leads a bridge from a speck to the next piece of its material.
func (m *mending) joined(ctx context.Context, s *Spot, width float64) (layer, bool, error) {
	spot, ok := m.bridge(s, width)
	if !ok {
		return layer{}, false, nil
	}
	path, err := spot.Widened(ctx, width)
	return layer{path: path, from: taker{everyone: true}, to: s.Of}, true, own.Explain(err, nil)
}

// larger returns a speck in its own shape, as large as asked and within the art's extent;
// false where it would be too narrow even so, as where it is no speck.
func (m *mending) larger(ctx context.Context, s *Spot, size, narrowest float64) (geometry.Path, bool) {
	w, h := s.Bounds.Width(), s.Bounds.Height()
	k := size / math.Max(w, h)
	if s.Kind != weak.Speck || k*math.Min(w, h) < narrowest || k < 1 {
		return nil, false
	}
	c := s.Bounds.Centre()
	room := geometry.Rect{Min: m.page.Min.Add(geometry.Pt(k*w/2, k*h/2)), Max: m.page.Max.Sub(geometry.Pt(k*w/2, k*h/2))}
	to := c
	if !room.Empty() {
		to = geometry.Pt(math.Max(room.Min.X, math.Min(room.Max.X, c.X)), math.Max(room.Min.Y, math.Min(room.Max.Y, c.Y)))
	}
	out := s.Outline.Transform(geometry.Translate(to.X, to.Y).Mul(geometry.Scale(k, k)).Mul(geometry.Translate(-c.X, -c.Y)))
	thin, err := weak.Find(ctx, []geometry.Path{out}, weak.Options{WidthMM: narrowest - widenMM, SpeckMM: size - widenMM, NoGaps: true, NoSpines: true})
	return out, err == nil && !slices.ContainsFunc(thin, func(p weak.Spot) bool { return p.Whole })
}

// joinMM is how far a speck may lie from the piece that it is joined to: three
// times what a speck is, beyond which a bridge is a new shape.
const joinMM = 6

// bridge returns a spot whose middle leads from a speck to the nearest other
// piece of its separation; false when none is near.
func (m *mending) bridge(s *Spot, width float64) (*weak.Spot, bool) {
	if s.Of == own.Bare {
		return nil, false
	}
	best, from, to := joinMM+0.0, geometry.Point{}, geometry.Point{}
	speck := geometry.NewEnclosure(s.Outline)
	for _, p := range m.piecesNear(s.Of, s.Bounds.Grow(joinMM)) {
		if speck.Holds(p.Inside) {
			continue
		}
		for _, other := range p.Outline {
			for a, b := range other.Sides() {
				for _, c := range s.Outline {
					for at := range c.Sides() {
						if q := geometry.Nearest(a, b, at); q.Sub(at).Len() < best {
							best, from, to = q.Sub(at).Len(), at, q
						}
					}
				}
			}
		}
	}
	if from == to {
		return nil, false
	}
	// From the speck's middle to as deep in the other piece as the bar is broad.
	way := to.Sub(from)
	spot := s.Spot
	spot.Spine = [][2]geometry.Point{{s.At, to.Add(way.Mul(width / way.Len() / 2))}}
	return &spot, true
}
