package own

import (
	"cmp"
	"context"
	"slices"

	"abut/geometry"
	"abut/geometry/parallel"
	"abut/geometry/planar"
)

// HealMM is the width under which a place is too thin to be anything: it goes
// to the neighbour with which it shares the longest edge. Art that was drawn to
// abut leaves thousands of such slivers, covered twice or not at all. 0.02 mm
// is twice the sagitta, so that two chords of the same curve, cut differently,
// leave nothing; it is far below what a blade can follow (common practice:
// 1 mm). Larger values would begin to eat drawn hairlines.
const HealMM = 0.02

// Piece is one connected part of one separation. Coordinates are board
// millimetres, not mirrored.
type Piece struct {
	Outline geometry.Path
	Bounds  geometry.Rect
	// Inside is a point inside the piece, where a number can stand.
	Inside  geometry.Point
	AreaMM2 float64
	// CutMM is the length of its outline.
	CutMM float64
}

// Division is the map cut up by what the rules say of its faces.
type Division struct {
	// Fresh and Labels are each face's label before and after healing.
	Fresh, Labels []int32
	Healed        planar.Healed
	// Separations are what is cut from each of Claims.Materials.
	Separations []Separation
	// Stacked are the connected places where several lie over each other, the
	// largest first.
	Stacked []Stacked

	// Atoms are the pieces with one label each, of which everything else is made; their
	// seams are chords.
	Atoms *planar.Division

	// sets and curves are what it was made from, besides Fresh: what the labels
	// mean, and whether outlines keep curves.
	sets   [][]int32
	curves bool
}

// Separation is all that one material claims.
type Separation struct {
	Pieces []Piece // outer before inner, larger before smaller
	// Outline is that of all pieces: even-odd, inner contours before the outer one
	// that holds them.
	Outline        geometry.Path
	Bounds         geometry.Rect
	AreaMM2, CutMM float64
	// covers are, of each piece in no particular order, those of its faces that
	// healing gave nothing to, each once.
	covers [][]int32
}

// Stacked is a connected place where separations lie over each other.
type Stacked struct {
	Piece
	Faces []planar.FaceID
}

// divide labels the faces, heals what is too thin and cuts out separations and
// stacked places. One healing serves both. last is reused as far as it was made from
// the same labels of the same map.
func divide(ctx context.Context, m *planar.Map, c *Claims, curves bool, last *Division) (*Division, error) {
	d := &Division{Fresh: m.LabelByID(c.Label), sets: c.Sets, curves: curves}
	same := last != nil && slices.Equal(last.Fresh, d.Fresh) && slices.EqualFunc(last.sets, d.sets, slices.Equal)
	if same && last.curves == curves {
		return last, nil
	}
	var err error
	if same {
		d.Labels, d.Healed, d.Atoms = last.Labels, last.Healed, last.Atoms
	} else {
		if d.Labels, d.Healed, err = heal(ctx, m, d.Fresh); err != nil {
			return nil, err
		}
		if d.Atoms, err = m.Divide(ctx, d.Labels); err != nil {
			return nil, err
		}
	}
	atoms := d.Atoms
	if curves {
		smooth := *atoms
		smooth.Seams = slices.Clone(atoms.Seams)
		atoms, err = &smooth, smooth.Smooth(ctx)
	}
	if err == nil {
		err = d.separate(ctx, m, atoms, len(c.Materials))
	}
	if err == nil {
		err = d.stack(ctx, atoms)
	}
	return d, err
}

// heal returns the labels with what is too thin given to its neighbours.
func heal(ctx context.Context, m *planar.Map, fresh []int32) (labels []int32, healed planar.Healed, err error) {
	labels = slices.Clone(fresh)
	healed, err = m.Heal(ctx, labels, HealMM)
	return labels, healed, err
}

// StackedMM2 returns the area where the rules stack materials on a map: that of the
// places that Find finds. Its only error is the context's.
func StackedMM2(ctx context.Context, o *Overlay, r *Rules) (float64, error) {
	c, err := Claim(ctx, r, o.Map)
	if err != nil {
		return 0, err
	}
	labels, _, err := heal(ctx, o.Map, o.Map.LabelByID(c.Label))
	sum := 0.0
	for f, l := range labels {
		if l != planar.None && len(c.Sets[l]) > 1 {
			sum += o.Map.AreaMM2(planar.FaceID(f))
		}
	}
	return sum, err
}

// separate makes the separations of the atoms that each claims.
func (d *Division) separate(ctx context.Context, m *planar.Map, atoms *planar.Division, count int) error {
	d.Separations = make([]Separation, count)
	for s := range d.Separations {
		d.Separations[s].Bounds = geometry.EmptyRect()
	}
	all, pieces, err := d.pieces(ctx, atoms, func(label int32) []int32 { return d.sets[label] })
	if err != nil {
		return err
	}
	seen := newSet(m.NumCovers())
	for i, p := range pieces {
		s := &d.Separations[all[i].Label]
		s.Pieces = append(s.Pieces, p)
		s.Bounds = s.Bounds.Union(p.Bounds)
		s.AreaMM2 += p.AreaMM2
		s.CutMM += p.CutMM
		seen.empty()
		var covers []int32
		for _, f := range all[i].Faces {
			if id := m.CoverID(f); d.Labels[f] == d.Fresh[f] && seen.add(id) {
				covers = append(covers, id)
			}
		}
		s.covers = append(s.covers, covers)
	}
	for i := range d.Separations {
		s := &d.Separations[i]
		s.Outline = Order(s.Pieces)
	}
	return nil
}

// stack makes the stacked places of the atoms that several claim.
func (d *Division) stack(ctx context.Context, atoms *planar.Division) error {
	if !slices.ContainsFunc(d.sets, func(s []int32) bool { return len(s) > 1 }) {
		return nil
	}
	one := []int32{0}
	all, pieces, err := d.pieces(ctx, atoms, func(label int32) []int32 {
		if len(d.sets[label]) > 1 {
			return one
		}
		return nil
	})
	for i := range pieces {
		d.Stacked = append(d.Stacked, Stacked{pieces[i], all[i].Faces})
	}
	slices.SortStableFunc(d.Stacked, func(a, b Stacked) int { return cmp.Compare(b.AreaMM2, a.AreaMM2) })
	return err
}

// pieces unites atoms by the groups that their labels belong to.
func (d *Division) pieces(ctx context.Context, atoms *planar.Division, groups func(label int32) []int32) ([]planar.Piece, []Piece, error) {
	all, err := atoms.Union(ctx, groups)
	if err != nil {
		return nil, nil, err
	}
	pieces := make([]Piece, len(all.Pieces))
	err = parallel.Do(ctx, len(pieces), func(i int) { pieces[i] = PieceOf(all, i) })
	return all.Pieces, pieces, err
}

// PieceOf measures a piece of a division.
func PieceOf(d *planar.Division, i int) Piece {
	p := &d.Pieces[i]
	return Piece{Outline: d.Outline(i), Bounds: p.Bounds, Inside: d.Inside(i), AreaMM2: p.AreaMM2(), CutMM: d.CutLengthMM(i)}
}

// Order sorts pieces so that one that surrounds another comes before it, and
// larger before smaller; then from the top down and left to right. It returns the
// outline of all, inner contours before the outer ones that hold them.
func Order(pieces []Piece) geometry.Path {
	slices.SortStableFunc(pieces, func(a, b Piece) int {
		return cmp.Or(
			cmp.Compare(b.Bounds.Area(), a.Bounds.Area()),
			cmp.Compare(b.AreaMM2, a.AreaMM2),
			cmp.Compare(a.Bounds.Min.Y, b.Bounds.Min.Y),
			cmp.Compare(a.Bounds.Min.X, b.Bounds.Min.X),
		)
	})
	var outline geometry.Path
	// A piece within a hole of another comes after it here, so backwards its
	// contours come before the ones that hold them.
	for _, p := range slices.Backward(pieces) {
		outline = append(outline, p.Outline...)
	}
	return outline
}
