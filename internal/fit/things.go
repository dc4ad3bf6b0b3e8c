package fit

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// Thing is a connected part of the picture in one colour, as it shows.
type Thing struct {
	// Of is what it is cut from.
	Of      Material
	AreaMM2 float64
	// Beside are its neighbours, the one with the longest border first. Where
	// nothing is cut its neighbour is own.Bare.
	Beside []Neighbour
}

// Neighbour is what lies along a share of a thing's border.
type Neighbour struct {
	Of    Material
	Share float64
}

// Things lists the parts of the picture from a least area on, whether or not all
// that stacks is knocked out already: what lies beneath is not seen. It costs
// what Compute does. Errors as Compute.
func (c *Cache) Things(ctx context.Context, j job.Job, leastMM2 float64) ([]Thing, error) {
	j, err := job.KnockOutAll(j)
	if err != nil {
		return nil, err
	}
	places, err := c.places(ctx, j)
	if err != nil {
		return nil, err
	}
	d := places.Atoms
	owner := func(piece int32) Material {
		if piece == planar.None {
			return own.Bare
		}
		of, _ := places.Owner(d.Pieces[piece].Label)
		return of
	}
	borders := make([]map[Material]float64, len(d.Pieces))
	along := func(piece, beside int32, length float64) {
		if piece == planar.None {
			return
		}
		if borders[piece] == nil {
			borders[piece] = map[Material]float64{}
		}
		borders[piece][owner(beside)] += length
	}
	for i := range d.Seams {
		s := &d.Seams[i]
		along(s.Left, s.Right, s.LengthMM)
		along(s.Right, s.Left, s.LengthMM)
	}
	var out []Thing
	for i := range d.Pieces {
		t := Thing{Of: owner(int32(i)), AreaMM2: d.Pieces[i].AreaMM2()}
		if t.Of == own.Bare || t.AreaMM2 < leastMM2 {
			continue
		}
		all := 0.0
		for _, length := range borders[i] {
			all += length
		}
		for of, length := range maps.All(borders[i]) {
			t.Beside = append(t.Beside, Neighbour{of, length / all})
		}
		slices.SortFunc(t.Beside, func(a, b Neighbour) int {
			return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Of.Colour.String(), b.Of.Colour.String()), cmp.Compare(a.Of.Sheet, b.Of.Sheet))
		})
		out = append(out, t)
	}
	return out, nil
}
