package mend

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// picture is what a job shows without any mend: its things, each with places spread
// over it.
type picture struct {
	things []seen
	// outlines are those of each material, as they are seen before something is drawn anew.
	outlines map[own.Material]geometry.Path
	// drawn tells what they enclosed in the beginning.
	drawn sheets
}

type seen struct {
	of     own.Material
	bounds geometry.Rect
	places []geometry.Point
	crumb  bool // see shadeSquares
	gone   bool // it is lost anyway
}

const (
	// sampleLines is on how many lines a thing is looked at.
	sampleLines = 10
	// shiftMM is how far a thing's edge may move as it is drawn anew, where it counts
	// as still there: half as far as one would notice in a picture of some
	// centimetres.
	shiftMM = 0.25
	// seenShare is the share of a thing that must still show. Mends of spots may take
	// from it afterwards.
	seenShare = 0.6
	// dashShare is that of a dash, which may come to lie partly in a gap of fewer ones, and of a ray that
	// ends sooner.
	dashShare = 0.4
	// restShare is that which must show when spots have been mended, too.
	restShare = 0.4
)

func (m *mending) picture(ctx context.Context, s job.Settings) (*picture, error) {
	d, err := m.unmendedPieces(ctx)
	if err != nil {
		return nil, err
	}
	p := &picture{drawn: sheets{}}
	if err := p.outline(ctx, m); err != nil {
		return nil, err
	}
	for of, path := range p.outlines {
		p.drawn[of] = geometry.NewEnclosure(path)
	}
	least := m.scale() * m.scale() * thingMM2
	for i := range d.Pieces {
		of, single := m.Owner(d.Pieces[i].Label)
		if !single || d.Pieces[i].AreaMM2() < least {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		parts, err := apart(ctx, d.Outline(i), least)
		if err != nil {
			return nil, err
		}
		for _, part := range parts {
			if places := part.Samples(geometry.EvenOdd, sampleLines); len(places) > 0 {
				crumb := part.SignedArea() <= shadeSquares*s.Narrowest()*s.Narrowest()
				p.things = append(p.things, seen{of: of, bounds: part.Bounds(), places: places, crumb: crumb})
			}
		}
	}
	return p, nil
}

// outline has what is drawn anew from now on turn as the outlines on a map do: those of what was drawn
// anew before may lie elsewhere. Its only error is the context's.
func (p *picture) outline(ctx context.Context, m *mending) error {
	if err := m.simplify(ctx); err != nil {
		return err
	}
	p.outlines = map[own.Material]geometry.Path{}
	for i, of := range m.Materials {
		p.outlines[of] = m.simple[i]
	}
	return nil
}

// straitMM is how broad a strait is that one does not see: what lies on both sides of it
// counts as two things.
const straitMM = seenMM

// apart divides a piece where it is so narrow that one sees two, without what is smaller than
// a thing is at least, in mm². Errors as own.Lay.
func apart(ctx context.Context, outline geometry.Path, least float64) ([]geometry.Path, error) {
	piece := planar.Enclosed(outline)
	shrunk, err := planar.Offset(ctx, piece, -straitMM/2, geometry.Join{}, planar.Options{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	d, err := planar.Region(ctx, planar.Enclosed(shrunk), planar.RegionOptions{})
	if err != nil {
		return nil, own.Explain(err, nil)
	}
	var out []geometry.Path
	for i := range d.Pieces {
		if d.Pieces[i].AreaMM2() >= least/2 { // it was shrunk
			out = append(out, d.Outline(i))
		}
	}
	return out, nil
}

// forget leaves out of account what is lost already about what is attempted, everywhere
// where that is nil. Its only error is the context's,
// as that of lost.
func (p *picture) forget(ctx context.Context, m *mending, about []*attempt) error {
	missing, err := p.missing(ctx, m, about)
	for _, i := range missing {
		p.things[i].gone = true
	}
	return err
}

// lost returns the bounds of the things about what is attempted, of all where that is nil,
// of which too little is left on a map.
func (p *picture) lost(ctx context.Context, m *mending, about []*attempt) (out []geometry.Rect, _ error) {
	missing, err := p.missing(ctx, m, about)
	for _, i := range missing {
		out = append(out, p.things[i].bounds)
	}
	return out, err
}

// missing returns which of those things these are.
func (p *picture) missing(ctx context.Context, m *mending, about []*attempt) (out []int, _ error) {
	sheets, err := m.enclosed(ctx)
	if err != nil {
		return nil, err
	}
	moves := make([][]geometry.Affine, len(about))
	for k, a := range about {
		moves[k] = a.moved(m)
	}
	for i := range p.things {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		t := &p.things[i]
		share, shift, moved := t.tolerance(about)
		if moved || t.gone || about != nil && !slices.ContainsFunc(about, func(a *attempt) bool { return reaches(t.bounds, a.areas) }) {
			continue
		}
		if float64(t.showing(sheets, shift, t.carried(about, moves))) < share*float64(len(t.places)) {
			out = append(out, i)
		}
	}
	return out, nil
}

// tolerance returns the share of a thing that must show and how far its edge may move, where
// things are drawn anew; where about is nil, when spots have been mended too. moved: it is of
// a larger word, whose letters lie elsewhere.
func (t *seen) tolerance(about []*attempt) (share, shift float64, moved bool) {
	k := slices.IndexFunc(about, func(a *attempt) bool { return (a.moves || a.sooner) && a.of == t.of && a.holds(t.places[0]) })
	switch {
	case k >= 0 && about[k].sooner:
		return dashShare, shiftMM, false
	case k >= 0 && about[k].dashes:
		return dashShare, 2 * shiftMM, false
	case k >= 0:
		return 0, 0, true
	case about == nil:
		return restShare, shiftMM, false
	}
	return seenShare, shiftMM, false
}

// carried returns where a thing comes to lie with the letter that it lies in.
func (t *seen) carried(about []*attempt, moves [][]geometry.Affine) geometry.Affine {
	for k, a := range about {
		if moves[k] == nil {
			continue
		}
		if n := a.goesAlong(t.bounds); n >= 0 {
			return moves[k][n]
		}
	}
	return geometry.Identity()
}

// showing returns how many of a thing's places, carried to where it is by now, show it, or as good as that.
func (t *seen) showing(s sheets, shift float64, carried geometry.Affine) (n int) {
	holds := func(at geometry.Point) bool { return s.holds(t.of, at) }
	if t.crumb && t.of != own.Bare {
		shades := s.shadesOf(t.of)
		holds = func(at geometry.Point) bool {
			return slices.ContainsFunc(shades, func(sheet *geometry.Enclosure) bool { return sheet.Holds(at) })
		}
	}
	around := []geometry.Point{{}, {X: shift}, {X: -shift}, {Y: shift}, {Y: -shift}}
	if shift > shiftMM { // along a slanting line it moves as far
		around = append(around, geometry.Pt(shift, shift), geometry.Pt(-shift, shift), geometry.Pt(shift, -shift), geometry.Pt(-shift, -shift))
	}
	for _, at := range t.places {
		at = carried.Apply(at)
		if slices.ContainsFunc(around, func(by geometry.Point) bool { return holds(at.Add(by)) }) {
			n++
		}
	}
	return n
}

// sheets say which places each material has on a map.
type sheets map[own.Material]*geometry.Enclosure

// enclosed finds what the separations enclose, once for a map. Its only error is the context's.
func (m *mending) enclosed(ctx context.Context) (sheets, error) {
	if m.sheets != nil {
		return m.sheets, nil
	}
	s := sheets{}
	for i, of := range m.Materials {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s[of] = geometry.NewEnclosure(m.Separations[i].Outline.Flatten(spotSagittaMM))
	}
	m.sheets = s
	return s, nil
}

// holds reports whether a place is a material's, or nobody's for own.Bare.
func (s sheets) holds(of own.Material, at geometry.Point) bool {
	if of != own.Bare {
		return s[of] != nil && s[of].Holds(at)
	}
	for _, sheet := range s {
		if sheet.Holds(at) {
			return false
		}
	}
	return true
}

// at returns whose a place is, own.Bare for nobody's. On the edge between two it is always the
// same one's.
func (s sheets) at(at geometry.Point) own.Material {
	found := own.Bare
	for of, sheet := range s {
		if (found == own.Bare || ranksBefore(of, found)) && sheet.Holds(at) {
			found = of
		}
	}
	return found
}

// ranksBefore puts materials in an order.
func ranksBefore(a, b own.Material) bool {
	p, q := a.Colour, b.Colour
	return cmp.Or(cmp.Compare(a.Sheet, b.Sheet), cmp.Compare(p.R, q.R), cmp.Compare(p.G, q.G), cmp.Compare(p.B, q.B)) < 0
}

// shadesOf returns what those of the materials enclose that are shades of one.
func (s sheets) shadesOf(of own.Material) (out []*geometry.Enclosure) {
	for other, sheet := range s {
		if shades(of, other) {
			out = append(out, sheet)
		}
	}
	return out
}
