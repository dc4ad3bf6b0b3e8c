package fit

import (
	"cmp"
	"context"
	"slices"
	"sync"

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
	// healing, and what the labels mean.
	fresh   []int32
	sets    [][]int32
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
func divide(ctx context.Context, m *planar.Map, c *claims, separations int, last *divided) (*divided, error) {
	d := &divided{fresh: make([]int32, m.NumFaces()), sets: c.sets}
	for f := range d.fresh {
		d.fresh[f] = c.label[m.CoverID(int32(f))]
	}
	if last != nil && slices.Equal(last.fresh, d.fresh) && slices.EqualFunc(last.sets, d.sets, slices.Equal) {
		return last, nil
	}
	d.labels = slices.Clone(d.fresh)
	d.healed = m.Heal(d.labels, HealMM)
	if err := ctx.Err(); err != nil {
		return nil, err
	}

	present := make([]bool, len(c.sets))
	stacks := false
	for _, l := range d.labels {
		if l >= 0 {
			present[l] = true
			stacks = stacks || c.stacked(l)
		}
	}
	// Separations that stack go to different plies, so that each division has
	// one owner a face. Without any stacking there is one ply, and neighbours
	// share its seams.
	var jobs []func()
	plies := plyOf(c.sets, present, separations)
	divisions := make([]*planar.Division, len(plies)+1)
	for p, owner := range plies {
		jobs = append(jobs, func() { divisions[p] = m.Divide(relabel(d.labels, owner)) })
	}
	if stacks {
		places := make([]int32, len(c.sets))
		for l := range places {
			places[l] = planar.None
			if c.stacked(int32(l)) {
				places[l] = 0
			}
		}
		jobs = append(jobs, func() { divisions[len(plies)] = m.Divide(relabel(d.labels, places)) })
	}
	if err := runAll(ctx, jobs); err != nil {
		return nil, err
	}
	if err := d.cutOut(ctx, divisions[:len(plies)], separations); err != nil {
		return nil, err
	}
	if err := d.markStacked(ctx, divisions[len(plies)]); err != nil {
		return nil, err
	}
	return d, nil
}

// cutOut reads the separations' pieces off the plies.
func (d *divided) cutOut(ctx context.Context, plies []*planar.Division, separations int) error {
	d.cut = make([]cutOut, separations)
	for s := range d.cut {
		d.cut[s].bounds = geometry.EmptyRect()
	}
	for _, ply := range plies {
		pieces := make([]Piece, len(ply.Pieces))
		err := inParallel(ctx, len(pieces), func(i int) {
			p := &ply.Pieces[i]
			pieces[i] = Piece{Outline: ply.Outline(i), Bounds: p.Bounds, Inside: ply.Inside(i), AreaMM2: p.AreaMM2()}
		})
		if err != nil {
			return err
		}
		for i, p := range pieces {
			s := &d.cut[ply.Pieces[i].Label]
			s.pieces = append(s.pieces, p)
			s.bounds = s.bounds.Union(p.Bounds)
			s.areaMM2 += p.AreaMM2
			s.cutMM += ply.CutLengthMM(i)
		}
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

// markStacked reads the stacked places off their division, nil without any.
func (d *divided) markStacked(ctx context.Context, from *planar.Division) error {
	if from == nil {
		return nil
	}
	order := make([]int, len(from.Pieces))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(from.Pieces[b].Area2, from.Pieces[a].Area2) })
	out := &d.stacked
	out.places = make([]StackedPlace, len(order))
	out.faces = make([][]planar.FaceID, len(order))
	err := inParallel(ctx, len(order), func(i int) {
		p := &from.Pieces[order[i]]
		out.faces[i] = p.Faces
		out.places[i] = StackedPlace{Outline: from.Outline(order[i]), Bounds: p.Bounds, Inside: from.Inside(order[i]), AreaMM2: p.AreaMM2()}
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

// relabel maps each face's label through table, None staying None.
func relabel(labels, table []int32) []int32 {
	out := make([]int32, len(labels))
	for f, l := range labels {
		if l >= 0 {
			out[f] = table[l]
		} else {
			out[f] = planar.None
		}
	}
	return out
}

// plyOf spreads the separations over as few plies as a greedy pass needs, so
// that no two in one ply claim a place together. For each ply it returns the
// separation that each label belongs to there, or None.
func plyOf(sets [][]int32, present []bool, separations int) [][]int32 {
	conflicts := make([][]int32, separations) // plies are few: a list will do
	for l, set := range sets {
		if !present[l] {
			continue
		}
		for _, s := range set {
			for _, t := range set {
				if s != t {
					conflicts[s] = append(conflicts[s], t)
				}
			}
		}
	}
	ply := make([]int, separations)
	for s := range ply {
		ply[s] = -1
	}
	var plies [][]int32
	taken := []int{} // taken[p] == s+1: ply p holds a separation that stacks with s
	for s := range ply {
		for _, t := range conflicts[s] {
			if p := ply[t]; p >= 0 {
				taken[p] = s + 1
			}
		}
		p := slices.IndexFunc(taken, func(v int) bool { return v != s+1 })
		if p < 0 {
			p = len(plies)
			owner := make([]int32, len(sets))
			for l := range owner {
				owner[l] = planar.None
			}
			plies = append(plies, owner)
			taken = append(taken, 0)
		}
		ply[s] = p
	}
	for l, set := range sets {
		if present[l] {
			for _, s := range set {
				plies[ply[s]][l] = s
			}
		}
	}
	return plies
}

// workers is how much is done at once. A division needs a few arrays of the
// map's size, hence not more; and nearly every desktop has two cores.
const workers = 2

// inParallel calls do for 0 … n−1, in no particular order.
func inParallel(ctx context.Context, n int, do func(i int)) error {
	// The first pieces of a label are often its largest: small batches share
	// them out.
	const batch = 4
	var jobs []func()
	for from := 0; from < n; from += batch {
		jobs = append(jobs, func() {
			for i := from; i < min(n, from+batch); i++ {
				do(i)
			}
		})
	}
	return runAll(ctx, jobs)
}

// runAll runs the jobs, a few at a time, until the context is done.
func runAll(ctx context.Context, jobs []func()) error {
	if len(jobs) < 2 {
		for _, run := range jobs {
			run()
		}
		return ctx.Err()
	}
	var wg sync.WaitGroup
	next := make(chan func())
	for range min(workers, len(jobs)) {
		wg.Go(func() {
			for run := range next {
				run()
			}
		})
	}
	for _, run := range jobs {
		if ctx.Err() != nil {
			break
		}
		next <- run
	}
	close(next)
	wg.Wait()
	return ctx.Err()
}
