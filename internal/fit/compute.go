package fit

import (
	"context"
	"errors"
	"slices"
	"sync"

	"abut/geometry/planar"
	"abut/internal/job"
)

// HealMM is the width under which a place is too thin to be anything: it goes
// to the neighbour with which it shares the longest edge. Art that was drawn to
// abut leaves thousands of such slivers, covered twice or not at all. 0.02 mm
// is twice the sagitta, so that two chords of the same curve, cut differently,
// leave nothing; it is far below what a blade can follow (common practice:
// 1 mm). Larger values would begin to eat drawn hairlines.
const HealMM = 0.02

// Compute works out the plan of a job. It never changes the job, and the same
// job gives the same plan.
//
// It costs O(n log n) for n chords of outline plus their crossings. Errors:
// *Error with a message for people, or the context's own.
func Compute(ctx context.Context, j job.Job) (*Plan, error) {
	var c Cache
	return c.Compute(ctx, j)
}

// Cache is Compute with a memory of the last job: when only colours, uses,
// knocking out, frame or names have changed since, the outlines are not laid
// over each other again. The plan is the same as Compute's. The zero value is
// ready; it may be used from several goroutines.
type Cache struct {
	mu      sync.Mutex
	overlay *overlay
	divided *divided
}

// Compute returns the plan of the job; see the function Compute.
func (c *Cache) Compute(ctx context.Context, j job.Job) (*Plan, error) {
	placed, leftOut := place(j)
	c.mu.Lock()
	o, last := c.overlay, c.divided
	c.mu.Unlock()

	keys := make([]layerKey, len(placed))
	for i, p := range placed {
		keys[i] = keyOf(p)
	}
	if o == nil || !slices.Equal(o.keys, keys) {
		var err error
		if o, err = lay(ctx, placed, keys); err != nil {
			return nil, err
		}
		last = nil
	}
	r := newRules(j, placed)
	claims, err := claim(ctx, r, o.m.NumCovers(), o.m.CoverByID)
	if err != nil {
		return nil, err
	}
	d, err := divide(ctx, o.m, claims, len(r.separations), last)
	if err != nil {
		return nil, err
	}
	b := &builder{job: j, overlay: o, rules: r, claims: claims, divided: d}
	plan, err := b.build(ctx, leftOut)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	c.overlay, c.divided = o, d
	c.mu.Unlock()
	return plan, nil
}

// divided is the map cut up by what the rules say of its faces.
type divided struct {
	// fresh and sets are what it was made from: each face's label before
	// healing, and what the labels mean.
	fresh  []int32
	sets   [][]int32
	labels []int32 // healed
	healed planar.Healed
	// plies hold each separation in exactly one division, labelled by
	// separation. Separations that stack lie in different plies; without any
	// stacking there is one ply, and neighbours share its seams.
	plies []*planar.Division
	// stacked is the division of the stacked places, nil without any.
	stacked *planar.Division
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
	var jobs []func()
	plies := plyOf(c.sets, present, separations)
	d.plies = make([]*planar.Division, len(plies))
	for p, owner := range plies {
		jobs = append(jobs, func() { d.plies[p] = m.Divide(relabel(d.labels, owner)) })
	}
	if stacks {
		places := make([]int32, len(c.sets))
		for l := range places {
			places[l] = planar.None
			if c.stacked(int32(l)) {
				places[l] = 0
			}
		}
		jobs = append(jobs, func() { d.stacked = m.Divide(relabel(d.labels, places)) })
	}
	if err := runAll(ctx, jobs); err != nil {
		return nil, err
	}
	return d, nil
}

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

// workers is how many divisions are made at once: each needs a few arrays of
// the map's size, and a desktop has at least two cores.
const workers = 2

// runAll runs the jobs, a few at a time, until the context is done.
func runAll(ctx context.Context, jobs []func()) error {
	if len(jobs) == 1 {
		jobs[0]()
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

// IsCancelled reports whether err only says that nobody waits for the plan any
// longer.
func IsCancelled(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}
