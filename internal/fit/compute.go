package fit

import (
	"context"
	"errors"
	"slices"
	"sync"

	"abut/internal/job"
)

// Compute works out the plan of a job. It never changes the job, and the same
// job gives the same plan.
//
// It costs O(n log n) for n chords of outline plus their crossings. Errors:
// *Error with a message for people, or the context's own.
func Compute(ctx context.Context, j job.Job) (*Plan, error) {
	var c Cache
	return c.Compute(ctx, j)
}

// ComputeCurves is Compute with outlines that follow the art's own curves
// wherever nothing else is near; elsewhere, and in everything else, the plan is
// the same: areas, lengths and bounds are those of the chords. Files to cut are
// made from it. It costs about as much again as Compute.
func ComputeCurves(ctx context.Context, j job.Job) (*Plan, error) {
	var c Cache
	return c.ComputeCurves(ctx, j)
}

// Cache is Compute with a memory of the last job: when only colours, uses,
// knocking out, frame or names have changed since, the outlines are not laid
// over each other again. The plan is the same as Compute's. The zero value is
// ready; it may be used from several goroutines.
type Cache struct {
	mu      sync.Mutex
	overlay *overlay
	divided *divided

	bands  bands
	mended *mendedBefore

	weakPlan   *Plan
	weakLimits [2]float64
	weak       []WeakSpot
}

// Compute returns the plan of the job; see the function Compute.
func (c *Cache) Compute(ctx context.Context, j job.Job) (*Plan, error) {
	return c.compute(ctx, j, false)
}

// ComputeCurves returns the plan of the job with curves kept; see the function
// ComputeCurves.
func (c *Cache) ComputeCurves(ctx context.Context, j job.Job) (*Plan, error) {
	return c.compute(ctx, j, true)
}

func (c *Cache) compute(ctx context.Context, j job.Job, curves bool) (*Plan, error) {
	placed, leftOut, err := c.bands.place(ctx, j)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	o, last := c.overlay, c.divided
	c.mu.Unlock()

	keys := make([]layerKey, len(placed))
	for i, p := range placed {
		keys[i] = keyOf(p)
	}
	if o == nil || !slices.Equal(o.keys, keys) {
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
	// Mends look for their spots among chords; curves come last.
	d, err := divide(ctx, o.m, claims, len(r.separations), curves && !hasMends(j), last)
	if err != nil {
		return nil, err
	}
	b := &builder{job: j, overlay: o, rules: r, claims: claims, divided: d}
	if hasMends(j) {
		m := &mending{placed: placed, keys: keys, rules: r, extent: o.extent, overlay: o, claims: claims, divided: d}
		if b, err = c.mend(ctx, j, m, curves); err != nil {
			return nil, err
		}
	}
	plan, err := b.build(ctx, leftOut)
	if err != nil {
		return nil, err
	}
	plan.Surrounds = surroundsOf(placed)
	if plan.pen, err = penLines(ctx, placed); err != nil {
		return nil, err
	}
	plan.addDrawings()
	plan.warnDrawn()
	c.mu.Lock()
	c.overlay, c.divided = o, d
	c.mu.Unlock()
	return plan, nil
}

func hasMends(j job.Job) bool {
	return slices.ContainsFunc(j.Items, func(it job.Item) bool { return len(it.Mends) > 0 })
}

// IsCancelled reports whether err only says that nobody waits for the plan any
// longer.
func IsCancelled(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}
