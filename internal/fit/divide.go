package fit

import (
	"cmp"
	"context"
	"slices"
	"sync"
	"sync/atomic"

	"abut/geometry"
	"abut/geometry/planar"
)

// HealMM is the width under which a place is too thin to be anything: it goes
// to the neighbour with which it shares the longest edge. Art that was drawn to
// abut leaves thousands of such slivers, covered twice or not at all. 0.02 mm
// is twice the sagitta, so that two chords of the same curve, cut differently,
// leave nothing; it is far below what a blade can follow (common practice:
// 1 mm). Larger values would begin to eat drawn hairlines.
const HealMM = 0.02

// divided is the map cut up by what the rules say of its faces.
type divided struct {
	// fresh and sets are what it was made from: each face's label before
	// healing, what the labels mean, and whether outlines keep curves.
	fresh   []int32
	sets    [][]int32
	curves  bool
	labels  []int32 // healed
	healed  planar.Healed
	cut     []cutOut // by separation
	stacked stackedOut
}

// cutOut is all that one separation claims.
type cutOut struct {
	pieces         []Piece // ordered by outerFirst
	outline        geometry.Path
	bounds         geometry.Rect
	areaMM2, cutMM float64
	// covers are, of each piece in no particular order, those of its faces that
	// healing gave nothing to, each once.
	covers [][]int32
}

// stackedOut is where separations lie over each other.
type stackedOut struct {
	places  []StackedPlace // without their layers, largest first
	faces   [][]planar.FaceID
	outline geometry.Path
	areaMM2 float64
}

// divide labels the faces, heals what is too thin and cuts out separations and
// stacked places. One healing serves both. last is reused when it was made from
// the same labels of the same map.
func divide(ctx context.Context, m *planar.Map, c *claims, separations int, curves bool, last *divided) (*divided, error) {
	d := &divided{fresh: m.LabelByID(c.label), sets: c.sets, curves: curves}
	if last != nil && last.curves == curves && slices.Equal(last.fresh, d.fresh) && slices.EqualFunc(last.sets, d.sets, slices.Equal) {
		return last, nil
	}
	d.labels = slices.Clone(d.fresh)
	var err error
	if d.healed, err = m.Heal(ctx, d.labels, HealMM); err != nil {
		return nil, err
	}
	division, err := m.Divide(ctx, d.labels)
	if err == nil && curves {
		err = division.Smooth(ctx)
	}
	if err != nil {
		return nil, err
	}
	if err := d.cutOut(ctx, m, division, separations); err != nil {
		return nil, err
	}
	if err := d.markStacked(ctx, division, c); err != nil {
		return nil, err
	}
	return d, nil
}

// cutOut makes the separations' pieces of the atoms that each claims.
func (d *divided) cutOut(ctx context.Context, m *planar.Map, atoms *planar.Division, separations int) error {
	d.cut = make([]cutOut, separations)
	for s := range d.cut {
		d.cut[s].bounds = geometry.EmptyRect()
	}
	all, err := atoms.Union(ctx, func(label int32) []int32 { return d.sets[label] })
	if err != nil {
		return err
	}
	pieces := make([]Piece, len(all.Pieces))
	err = inParallel(ctx, len(pieces), func(i int) {
		p := &all.Pieces[i]
		pieces[i] = Piece{Outline: all.Outline(i), Bounds: p.Bounds, Inside: all.Inside(i), AreaMM2: p.AreaMM2(), CutMM: all.CutLengthMM(i)}
	})
	if err != nil {
		return err
	}
	for i, p := range pieces {
		s := &d.cut[all.Pieces[i].Label]
		s.pieces = append(s.pieces, p)
		s.bounds = s.bounds.Union(p.Bounds)
		s.areaMM2 += p.AreaMM2
		s.cutMM += all.CutLengthMM(i)
	}
	seen := newMarks(m.NumCovers())
	for i := range all.Pieces {
		seen.reset()
		var covers []int32
		for _, f := range all.Pieces[i].Faces {
			if id := m.CoverID(f); d.labels[f] == d.fresh[f] && seen.add(id) {
				covers = append(covers, id)
			}
		}
		s := &d.cut[all.Pieces[i].Label]
		s.covers = append(s.covers, covers)
	}
	for i := range d.cut {
		s := &d.cut[i]
		slices.SortStableFunc(s.pieces, outerFirst)
		// A piece within a hole of another comes after it here, so backwards
		// its contours come before the ones that hold them.
		for k := len(s.pieces) - 1; k >= 0; k-- {
			s.outline = append(s.outline, s.pieces[k].Outline...)
		}
	}
	return nil
}

// markStacked makes the stacked places of the atoms that several claim.
func (d *divided) markStacked(ctx context.Context, atoms *planar.Division, c *claims) error {
	yes := []int32{0}
	all, err := atoms.Union(ctx, func(label int32) []int32 {
		if c.stacked(label) {
			return yes
		}
		return nil
	})
	if err != nil {
		return err
	}
	slices.SortStableFunc(all.Pieces, func(a, b planar.Piece) int { return cmp.Compare(b.Area2, a.Area2) })
	out := &d.stacked
	out.places = make([]StackedPlace, len(all.Pieces))
	out.faces = make([][]planar.FaceID, len(all.Pieces))
	for i := range all.Pieces {
		out.faces[i] = all.Pieces[i].Faces
	}
	err = inParallel(ctx, len(all.Pieces), func(i int) {
		p := &all.Pieces[i]
		out.places[i] = StackedPlace{Outline: all.Outline(i), Bounds: p.Bounds, Inside: all.Inside(i), AreaMM2: p.AreaMM2()}
	})
	for i := range out.places {
		out.outline = append(out.outline, out.places[i].Outline...)
		out.areaMM2 += out.places[i].AreaMM2
	}
	return err
}

// outerFirst orders pieces so that one that surrounds another comes before it,
// and larger before smaller; then from the top down and left to right.
func outerFirst(a, b Piece) int {
	return cmp.Or(
		cmp.Compare(rectArea(b.Bounds), rectArea(a.Bounds)),
		cmp.Compare(b.AreaMM2, a.AreaMM2),
		cmp.Compare(a.Bounds.Min.Y, b.Bounds.Min.Y),
		cmp.Compare(a.Bounds.Min.X, b.Bounds.Min.X),
	)
}

func rectArea(r geometry.Rect) float64 { return r.Width() * r.Height() }

// workers is how many pieces are worked out at once: nearly every desktop has
// two cores, and the window wants some of the rest.
const workers = 2

// inParallel calls do for 0 … n−1, in no particular order, until the context is
// done. A panic of do's reaches the caller, as it would from a plain loop.
func inParallel(ctx context.Context, n int, do func(i int)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	var once sync.Once
	var broken any
	for range min(workers, n) {
		wg.Go(func() {
			defer func() {
				if v := recover(); v != nil {
					once.Do(func() { broken = v })
				}
			}()
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
	if broken != nil {
		panic(broken)
	}
	return ctx.Err()
}
