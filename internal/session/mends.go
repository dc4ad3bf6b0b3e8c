package session

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

// MendAll mends every weak spot that has no mend yet, in the background and as
// one step. An edit meanwhile has it worked out anew; stopped, it keeps what is mended
// by then.
func (s *Session) MendAll() { s.mendAfter("ui-step-mend-all", nil) }

// mendAfter makes an edit, if there is one, and mends every weak spot that is left, together as one step.
func (s *Session) mendAfter(label string, edit Edit) {
	if s.history == nil || s.mending != nil {
		return
	}
	at := s.At()
	c, err := s.mendsAfter(edit)
	if err != nil {
		s.trouble(err)
		return
	}
	var t *Task
	t = run(s, message.Message{ID: "ui-task-mend"}, c.wait, func(out job.Job, err error) {
		if at.document != s.document {
			return
		}
		s.mending = nil
		if t.stopped {
			s.stopChoice(c)
		}
		if at != s.At() && !t.stopped {
			s.mendAfter(label, edit)
			return
		}
		if t.stopped && !t.undone && c.made != nil && !c.done() && at == s.At() {
			out, err = *c.made, nil
		}
		if err == nil {
			err = s.step(label, func(job.Job) (job.Job, error) { return out, nil })
		}
		s.refused(err)
		s.resume()
	})
	s.mending = t
	c.follow = func(share float64) { t.reached(s, share) }
	c.follow(c.share)
}

// mendsAfter begins to work out what mending makes of the document after an edit; without one it goes on with what was
// begun ahead.
func (s *Session) mendsAfter(edit Edit) (*choice, error) {
	if edit == nil {
		return s.choose(), nil
	}
	j, err := edit(s.Job())
	if err != nil {
		return nil, err
	}
	return s.mendsIn(j), nil
}

// KeepAll decides that all spots stay as they are for which no mend was found.
func (s *Session) KeepAll() {
	s.accept("ui-step-keep-all", s.Weak().Spots)
}

// accept decides that those of the spots stay as they are for which no mend was found.
func (s *Session) accept(label string, spots []fit.WeakSpot) {
	var kept []job.Mend
	for i := range spots {
		if spots[i].Stuck() {
			kept = append(kept, spots[i].By)
		}
	}
	s.refused(s.Do(label, func(j job.Job) (job.Job, error) { return job.AcceptKept(j, kept) }))
}

// Keep decides that a spot stays as it is.
func (s *Session) Keep(spot fit.WeakSpot) {
	if spot.Stuck() {
		s.accept("ui-step-keep", []fit.WeakSpot{spot})
		return
	}
	s.Later("ui-task-options", "ui-step-keep", func(ctx context.Context, j job.Job) (Edit, error) {
		m, err := fit.NewMend(ctx, j, spot, job.Keep)
		m.ByHand = true
		return func(j job.Job) (job.Job, error) { return job.AddMend(j, m) }, err
	}, nil)
}

// MendOption is something that can be done about a weak spot.
type MendOption struct {
	Mend job.Mend
	// Then are mends of what it makes too thin, each in turn.
	Then []job.Mend
	// Usual: it is what MendAll does about the spot.
	Usual bool
	// Plan is the plan with it.
	Plan *fit.Plan
	// AreaMM2 is how much of the picture changes hands by it, UncoveredMM2 how
	// much of that is nobody's any longer.
	AreaMM2, UncoveredMM2 float64
}

// AddTo returns a job with the mend.
func (o *MendOption) AddTo(j job.Job) (job.Job, error) {
	j, err := job.AddMend(j, o.Mend)
	for _, m := range o.Then {
		if err == nil {
			j, err = job.AddMend(j, m)
		}
	}
	return j, err
}

// recolours is how many other sheets a spot is offered to, the likest first.
const recolours = 5

// Options works out what can be done about a weak spot of the plan at hand, in
// the background: each goes to found as it is known, what cannot be done does
// not, and end is called after the last. What MendAll does about it comes first where that is known
// by then, else last or, where it is one of those before, is told once more, as the usual one. Stop it when nobody waits any more; an
// edit stops it, too. Keeping a spot is always possible and is not tried.
func (s *Session) Options(spot fit.WeakSpot, found func(MendOption), end func()) (stop func()) {
	p, _ := s.Plan()
	if s.history == nil || !s.weak.current() {
		end()
		return func() {}
	}
	if s.weak.cache == nil {
		s.weak.cache = new(fit.Cache)
	}
	t := &trying{job: s.Job(), plan: p, spot: spot, cache: s.weak.cache, choice: s.choose()}
	ctx, task, done := s.begin(message.Message{ID: "ui-task-options"})
	task.quiet, task.void = true, true
	t.found = func(o MendOption) {
		s.deliver(func() {
			if ctx.Err() == nil {
				found(o)
			}
		})
	}
	go func() {
		_, err := guarded(ctx, func(ctx context.Context) (struct{}, error) { return struct{}{}, t.all(ctx) })
		s.deliver(func() {
			stopped := ctx.Err() != nil
			done()
			if !stopped {
				end()
				if err != nil && !fit.IsCancelled(err) {
					s.trouble(err)
				}
			}
		})
	}()
	return task.Stop
}

// trying tries what can be done about a spot of a plan.
type trying struct {
	job    job.Job
	plan   *fit.Plan
	spot   fit.WeakSpot
	cache  *fit.Cache
	choice *choice
	found  func(MendOption)
	// seen are those that were found, each with a plan of its own.
	seen []MendOption
}

// all tries everything.
func (t *trying) all(ctx context.Context) error {
	keep, err := fit.NewMend(ctx, t.job, t.spot, job.Keep)
	if err != nil {
		return err
	}
	known := t.choice.done()
	if known {
		if err := t.usual(ctx, keep); err != nil {
			return err
		}
	}
	list, err := mend.NewOfThing(ctx, t.job, t.spot.At, t.spot.Kind, t.spot.Piece.Of)
	if err != nil {
		return err
	}
	for _, m := range append(list, candidates(t.plan, t.spot, keep)...) {
		if _, err := t.try(ctx, MendOption{Mend: m}); err != nil {
			return err
		}
	}
	if !known {
		return t.usual(ctx, keep)
	}
	return nil
}

// usual tries what MendAll does about the spot, once that is known.
func (t *trying) usual(ctx context.Context, keep job.Mend) error {
	after, err := t.choice.wait(ctx)
	if err != nil {
		return ctx.Err() // why it cannot be is said where it is asked for
	}
	ways, err := usual(ctx, t.job, after, t.spot, keep.Round)
	for _, mends := range ways {
		if ok, err := t.try(ctx, MendOption{Mend: mends[0], Then: mends[1:], Usual: true}); ok || err != nil {
			return err
		}
	}
	return err
}

// try tries an option, and reports whether it changes anything at the spot; it is told unless another did the same.
func (t *trying) try(ctx context.Context, o MendOption) (bool, error) {
	ok, err := o.try(ctx, t.cache, t.job, t.plan, t.spot)
	if err != nil || !ok {
		return false, err
	}
	i := slices.IndexFunc(t.seen, func(s MendOption) bool { return cutsAlike(s.Plan, o.Plan) })
	switch {
	case i < 0:
		t.seen = append(t.seen, o)
		t.found(o)
	case o.Usual:
		t.seen[i].Usual = true
		t.found(t.seen[i])
	}
	return true, nil
}

// candidates lists the mends that are worth trying about a spot; about says
// where it is.
func candidates(p *fit.Plan, spot fit.WeakSpot, about job.Mend) []job.Mend {
	var out []job.Mend
	add := func(change func(m *job.Mend)) {
		m := about
		m.Reason, m.ByHand = "", true
		change(&m)
		out = append(out, m)
	}
	beside := map[fit.Material]bool{spot.Piece.Of: true}
	for _, n := range spot.Neighbours {
		if n.Of == own.Bare || beside[n.Of] {
			continue
		}
		beside[n.Of] = true
		add(func(m *job.Mend) { m.Do, m.To, m.Chosen = job.Give, n.Of.Colour, true })
	}
	add(func(m *job.Mend) { m.Do = job.Widen })
	if spot.Piece.Of == own.Bare {
		return out
	}
	if spot.Kind == job.Speck {
		add(func(m *job.Mend) { m.Do = job.Join })
	}
	add(func(m *job.Mend) { m.Do = job.Drop })
	from := spot.Piece.Of.Colour
	var others []colour.RGB
	for i := range p.Separations {
		if !beside[p.Separations[i].Of] {
			others = append(others, p.Separations[i].Colour)
		}
	}
	slices.SortStableFunc(others, func(a, b colour.RGB) int { return cmp.Compare(a.DeltaE(from), b.DeltaE(from)) })
	for _, c := range others[:min(len(others), recolours)] {
		add(func(m *job.Mend) { m.Do, m.To, m.Chosen = job.Recolour, c, true })
	}
	return out
}

// try makes the plan and reports what it changes; false when the mend cannot be made, or nothing changes at the spot.
func (o *MendOption) try(ctx context.Context, cache *fit.Cache, j job.Job, before *fit.Plan, spot fit.WeakSpot) (bool, error) {
	with, err := o.AddTo(j)
	if err != nil {
		return false, err
	}
	if o.Plan, err = cache.Compute(ctx, with); err != nil {
		return false, err
	}
	made := false
	for _, x := range o.Plan.Mends {
		if x.State == mend.Done && (x.Mend == o.Mend || slices.Contains(o.Then, x.Mend)) {
			made = made || x.Mend == o.Mend && x.AreaMM2 > 0
			o.AreaMM2 += x.AreaMM2
		}
	}
	o.UncoveredMM2 = max(0, o.Plan.Proof.UncoveredMM2-before.Proof.UncoveredMM2)
	return made && !maps.Equal(linesIn(before, spot.Bounds), linesIn(o.Plan, spot.Bounds)), nil
}

// cutsAlike reports whether two plans cut as much, as long, from each material: those of two mends of one spot are the same then.
func cutsAlike(a, b *fit.Plan) bool {
	const rounding = 1e-6 // mm and mm²: of sums of some thousands
	return slices.EqualFunc(a.Separations, b.Separations, func(x, y fit.Separation) bool {
		return x.Of == y.Of && math.Abs(x.AreaMM2-y.AreaMM2) < rounding && math.Abs(x.CutMM-y.CutMM) < rounding
	})
}

// line is a line that is cut, of a sheet.
type line struct {
	of   own.Material
	from geometry.Point
	to   geometry.Segment
}

// linesIn counts the lines of a plan that come near a place.
func linesIn(p *fit.Plan, place geometry.Rect) map[line]int {
	out := map[line]int{}
	for i := range p.Separations {
		s := &p.Separations[i]
		for _, c := range s.Outline {
			at := c.Start
			for _, seg := range c.Segments {
				b := geometry.EmptyRect().Include(at).Include(seg.End)
				if seg.Cubic {
					b = b.Include(seg.C1).Include(seg.C2)
				}
				if !b.Intersect(place).Empty() {
					out[line{s.Of, at, seg}]++
				}
				at = seg.End
			}
		}
	}
	return out
}
