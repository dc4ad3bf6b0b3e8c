package fit

import (
	"context"
	"errors"
	"slices"
	"sync"

	"abut/internal/fit/assemble"
	"abut/internal/fit/mend"
	"abut/internal/fit/own"
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

// Cache is Compute with a memory of the last job: when only colours, uses,
// knocking out, frame or names have changed since, the outlines are not laid
// over each other again. The plan is the same as Compute's. The zero value is
// ready; it may be used from several goroutines.
type Cache struct {
	mu       sync.Mutex
	overlay  *own.Overlay
	division *own.Division
	weak     weakBefore

	surrounds own.Surrounds
	mends     mend.Cache
	pens      pens
}

// Fork returns a cache of its own that knows the job that this one met last.
func (c *Cache) Fork() *Cache {
	c.mu.Lock()
	defer c.mu.Unlock()
	return &Cache{overlay: c.overlay, division: c.division, weak: c.weak}
}

// Compute returns the plan of the job; see the function Compute.
func (c *Cache) Compute(ctx context.Context, j job.Job) (*Plan, error) {
	return c.compute(ctx, j, false)
}

// ComputeCurves is Compute with outlines that follow the art's own curves
// wherever nothing else is near; elsewhere, and in everything else, the plan is
// the same: areas, lengths and bounds are those of the chords. Files to cut are
// made from it. After Compute it costs about half of that again.
func (c *Cache) ComputeCurves(ctx context.Context, j job.Job) (*Plan, error) {
	return c.compute(ctx, j, true)
}

func (c *Cache) compute(ctx context.Context, j job.Job, curves bool) (*Plan, error) {
	placed, leftOut, err := c.surrounds.Place(ctx, j)
	if err != nil {
		return nil, err
	}
	o, last, err := c.lay(ctx, placed)
	if err != nil {
		return nil, err
	}
	mends := slices.ContainsFunc(j.Items, func(it job.Item) bool { return len(it.Mends) > 0 })
	// Mends look for their spots among chords; curves come last.
	places, err := own.Find(ctx, o, own.NewRules(j, placed), curves && !mends, last)
	if err != nil {
		return nil, err
	}
	last = places.Division
	made := &mend.Result{Places: places}
	if mends {
		if made, err = c.mends.Make(ctx, j, placed, places, curves); err != nil {
			return nil, err
		}
	}
	plan, err := build(ctx, j, made, leftOut)
	if err != nil {
		return nil, err
	}
	plan.Surrounds = own.Outlines(placed)
	if plan.pen, err = c.pens.lines(ctx, placed); err != nil {
		return nil, err
	}
	plan.addDrawings()
	plan.warnDrawn()
	plan.Verdict = verdict(plan)
	c.mu.Lock()
	c.overlay, c.division = o, last
	c.mu.Unlock()
	return plan, nil
}

// MendAll is mend.All, after which the plan of the job that it returns is soon made: its mends
// are not made again.
func (c *Cache) MendAll(ctx context.Context, j job.Job, done func(share float64, sofar job.Job)) (job.Job, error) {
	out, art, err := c.mends.All(ctx, j, &c.surrounds, done)
	if art != nil {
		c.mu.Lock()
		c.overlay, c.division = art.Overlay, art.Division
		c.mu.Unlock()
	}
	return out, err
}

// lay returns the map of layers, and how it was divided last: nil when it is another
// than the last one.
func (c *Cache) lay(ctx context.Context, placed []own.Placed) (*own.Overlay, *own.Division, error) {
	c.mu.Lock()
	o, last := c.overlay, c.division
	c.mu.Unlock()
	if o.IsOf(placed) {
		return o, last, nil
	}
	o, err := own.Lay(ctx, placed)
	return o, nil, err
}

// StackedMM2 returns the area where colours of the job stack in mm², that of its plan
// but for rounding, and works out nothing else. Mends do not count. Errors as Compute.
func (c *Cache) StackedMM2(ctx context.Context, j job.Job) (float64, error) {
	placed, _, err := c.surrounds.Place(ctx, j)
	if err != nil {
		return 0, err
	}
	o, _, err := c.lay(ctx, placed)
	if err != nil {
		return 0, err
	}
	return own.StackedMM2(ctx, o, own.NewRules(j, placed))
}

// places finds who owns which place of a job without its mends, in chords.
func (c *Cache) places(ctx context.Context, j job.Job) (*own.Places, error) {
	placed, _, err := c.surrounds.Place(ctx, j)
	if err != nil {
		return nil, err
	}
	o, last, err := c.lay(ctx, placed)
	if err != nil {
		return nil, err
	}
	return own.Find(ctx, o, own.NewRules(j, placed), false, last)
}

// build puts a plan together from who owns which place, but for what a pen draws and the verdict.
func build(ctx context.Context, j job.Job, m *mend.Result, leftOut []string) (*Plan, error) {
	p := &Plan{LeftOut: leftOut, Healed: m.Healed, Mends: m.Made, GivenAway: m.GivenAway, PiecesOf: m.PiecesOf()}
	p.Proof = Proof{HealedMM2: m.Healed.AreaMM2, MendedMM2: m.ChangedMM2, UncoveredMM2: m.UncoveredMM2}
	p.Proof.ArtMM2, p.BareMM2 = m.ArtMM2()
	layers := m.Layers()
	var seps []Separation
	for i, s := range m.Separations {
		if len(s.Pieces) > 0 {
			of := m.Materials[i]
			seps = append(seps, Separation{
				Of: of, Colour: of.Colour, Use: job.Cut, Layers: layers[i],
				Pieces: s.Pieces, Outline: s.Outline, Bounds: s.Bounds, AreaMM2: s.AreaMM2, CutMM: s.CutMM,
			})
		}
	}
	p.Assembly = assemble.Assemble(seps, j, m.Rules, m.Extent)
	over, err := m.StackedLayers(ctx)
	if err != nil {
		return nil, err
	}
	for i, s := range m.Stacked {
		p.Stacked.Places = append(p.Stacked.Places, StackedPlace{s.Outline, s.Bounds, s.Inside, s.AreaMM2, over[i]})
		p.Stacked.Outline = append(p.Stacked.Outline, s.Outline...)
		p.Stacked.AreaMM2 += s.AreaMM2
	}
	p.addWarnings(j.Settings, m.Places)
	return p, nil
}

// IsCancelled reports whether err only says that nobody waits for the plan any
// longer.
func IsCancelled(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}
