package session

import (
	"cmp"
	"context"
	"maps"
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
	j, at, cache := s.Job(), s.At(), s.fitter.cache
	if edit != nil {
		var err error
		if j, err = edit(j); err != nil {
			s.trouble(err)
			return
		}
	}
	begun := make(chan struct{})
	var t *Task
	var sofar *job.Job
	t = run(s, message.Message{ID: "ui-task-mend"}, func(ctx context.Context) (job.Job, error) {
		<-begun
		return cache.MendAll(ctx, j, func(share float64, made job.Job) {
			s.deliver(func() { sofar = &made })
			t.progress(s, share)
		})
	}, func(out job.Job, err error) {
		if at.document != s.document {
			return
		}
		s.mending = nil
		if at != s.At() && !t.stopped {
			s.mendAfter(label, edit)
			return
		}
		if t.stopped && !t.undone && sofar != nil && at == s.At() {
			out, err = *sofar, nil
		}
		if err == nil {
			err = s.step(label, func(job.Job) (job.Job, error) { return out, nil })
		}
		s.refused(err)
		s.resume()
	})
	s.mending = t
	close(begun)
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
	// Plan is the plan with it.
	Plan *fit.Plan
	// AreaMM2 is how much of the picture changes hands by it, UncoveredMM2 how
	// much of that is nobody's any longer.
	AreaMM2, UncoveredMM2 float64
}

// recolours is how many other sheets a spot is offered to, the likest first.
const recolours = 5

// Options works out what can be done about a weak spot of the plan at hand, in
// the background: each goes to found as it is known, what cannot be done does
// not, and end is called after the last. Stop it when nobody waits any more; an
// edit stops it, too. Keeping a spot is always possible and is not tried.
func (s *Session) Options(spot fit.WeakSpot, found func(MendOption), end func()) (stop func()) {
	p, _ := s.Plan()
	if s.history == nil || !s.weak.current() {
		end()
		return func() {}
	}
	j, plan := s.Job(), p
	if s.weak.cache == nil {
		s.weak.cache = new(fit.Cache)
	}
	cache := s.weak.cache
	ctx, t, done := s.begin(message.Message{ID: "ui-task-options"})
	t.quiet, t.void = true, true
	go func() {
		_, err := guarded(ctx, func(ctx context.Context) (struct{}, error) {
			keep, err := fit.NewMend(ctx, j, spot, job.Keep)
			if err != nil {
				return struct{}{}, err
			}
			list, err := mend.NewOfThing(ctx, j, spot.At, spot.Kind, spot.Piece.Of)
			if err != nil {
				return struct{}{}, err
			}
			for _, m := range append(list, candidates(plan, spot, keep)...) {
				o, ok, err := try(ctx, cache, j, plan, spot, m)
				if err != nil {
					return struct{}{}, err
				}
				if ok {
					s.deliver(func() {
						if ctx.Err() == nil {
							found(o)
						}
					})
				}
			}
			return struct{}{}, nil
		})
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
	return t.Stop
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

// try makes a mend of a spot and reports what it changes; false when it cannot be made, or changes nothing there.
func try(ctx context.Context, cache *fit.Cache, j job.Job, before *fit.Plan, spot fit.WeakSpot, m job.Mend) (MendOption, bool, error) {
	with, err := job.AddMend(j, m)
	if err != nil {
		return MendOption{}, false, err
	}
	p, err := cache.Compute(ctx, with)
	if err != nil {
		return MendOption{}, false, err
	}
	for _, x := range p.Mends {
		if x.Mend != m || x.State != mend.Done || x.AreaMM2 == 0 || maps.Equal(linesIn(before, spot.Bounds), linesIn(p, spot.Bounds)) {
			continue
		}
		return MendOption{
			Mend: m, Plan: p, AreaMM2: x.AreaMM2, UncoveredMM2: max(0, p.Proof.UncoveredMM2-before.Proof.UncoveredMM2),
		}, true, nil
	}
	return MendOption{}, false, nil
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
