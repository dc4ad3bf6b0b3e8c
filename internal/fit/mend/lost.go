package mend

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/colour"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// part is a connected place of one material in the picture without mends, or a
// place that is bare there: what a person would miss.
type part struct {
	label      int32
	area, left float64 // mm²; left: what the mends leave of it
	shade      float64 // what they give of it to another shade of its colour
	bounds     geometry.Rect
	at         func() geometry.Point // a place inside
}

const (
	// thingMM2 is the smallest thing that mends take care of: a dot of half a
	// millimetre. What is smaller is a crumb between other things, for which there is
	// no place at any width that can be cut.
	thingMM2 = 0.2
	// usualMM is how large a picture is at least of which these lengths and areas were found. In a smaller one things
	// are smaller, and no less what somebody drew.
	usualMM = 40
	// leastLeft is the share of a thing that mends leave at least. Half a thing is
	// still seen for what it is; it leaves room for what else takes from its edges.
	leastLeft = 0.5
)

const (
	// sameShade is how far two sheets may be apart in colour for a crumb of one to count as
	// still there in the other: side by side one tells them, but not in so little.
	sameShade = 6
	// shadeSquares is how large, in squares of the narrowest width, such a crumb is at most.
	shadeSquares = 1.3
)

// shades reports whether two materials are shades of one colour, as far as one sees in a crumb.
func shades(a, b own.Material) bool {
	return a != own.Bare && b != own.Bare && a.Colour.DeltaE(b.Colour) <= sameShade
}

// hairline reports whether it is so thin that nobody misses it, however long it is: half as broad on average as what
// someone may have drawn as a line (see hairMM), where its bounds tell its length.
func (t *part) hairline(scale float64) bool {
	return t.area < scale*hairMM/2*t.bounds.Longer()
}

// scale is how large the picture is, in times usualMM, and 1 from there on.
func (m *mending) scale() float64 {
	if !(m.page.Longer() > 0) {
		return 1
	}
	return min(1, m.page.Longer()/usualMM)
}

// lost reports whether the mends take a thing away, or all but a rest of it; w is the
// narrowest width, and scale that of the picture.
func (t *part) lost(w, scale float64) bool {
	left := t.left
	if t.area <= shadeSquares*w*w {
		left += t.shade
	}
	return t.area >= scale*scale*thingMM2 && !t.hairline(scale) && left < leastLeft*t.area
}

// unmendedPieces divides the map as if there were no mends. Its only error is the
// context's.
func (m *mending) unmendedPieces(ctx context.Context) (*planar.Division, error) {
	labels := slices.Clone(m.unmended)
	if _, err := m.Map.Heal(ctx, labels, own.HealMM); err != nil {
		return nil, err
	}
	return m.Map.Divide(ctx, labels)
}

// parts lists what there is on the map without mends, and how much of each the
// mends leave. Its only error is the context's.
func (m *mending) parts(ctx context.Context) ([]part, error) {
	d, err := m.unmendedPieces(ctx)
	if err != nil {
		return nil, err
	}
	out := make([]part, len(d.Pieces))
	for i := range d.Pieces {
		p := &d.Pieces[i]
		t := part{label: p.Label, area: p.AreaMM2(), bounds: p.Bounds, at: func() geometry.Point { return d.Inside(i) }}
		of, single := m.Owner(p.Label)
		for _, f := range p.Faces {
			if m.Labels[f] == p.Label {
				t.left += m.Map.AreaMM2(f)
			} else if now, whose := m.Owner(m.Labels[f]); single && whose && shades(of, now) {
				t.shade += m.Map.AreaMM2(f)
			}
		}
		out[i] = t
	}
	return out, nil
}

// lost returns the bounds of the things within a rectangle that the mends take
// away. Of a part of the map, those that reach out of it are left to a look at the
// whole.
func (m *mending) lost(ctx context.Context, within geometry.Rect, s job.Settings) ([]geometry.Rect, error) {
	parts, err := m.parts(ctx)
	if err != nil {
		return nil, err
	}
	within = within.Grow(-own.HealMM) // what is cut off at the side ends there
	scale := m.scale()
	var out []geometry.Rect
	for i := range parts {
		if t := &parts[i]; t.lost(s.Narrowest(), scale) && within.Encloses(t.bounds) {
			out = append(out, t.bounds)
		}
	}
	return out, nil
}

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
	parts, err := m.parts(ctx)
	if err != nil {
		return nil, err
	}
	var out []GivenAway
	for _, t := range parts {
		if of, single := m.Owner(t.label); single && of != own.Bare && t.left < keptShare*t.area {
			out = append(out, GivenAway{Colour: of.Colour, AreaMM2: t.area, At: t.at()})
		}
	}
	slices.SortStableFunc(out, func(a, b GivenAway) int { return cmp.Compare(b.AreaMM2, a.AreaMM2) })
	return out, nil
}
