package session

import (
	"cmp"
	"context"
	"slices"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// Weak is what is known about the weak spots of the plan at hand.
type Weak struct {
	State WeakState
	// Spots are those that were found, kept ones too.
	Spots []fit.WeakSpot
	// Things are what the spots belong to, and Smallest the size from which there are
	// none.
	Things   []fit.WeakThing
	Smallest workshop.Smallest
	// Crowded says why they were not counted, when they are TooMany.
	Crowded job.Warning
}

// WeakState is how far the search for weak spots is.
type WeakState uint8

const (
	// WeakUnknown says that there is no exact plan, or none that is worth it: where
	// colours stack, that comes first.
	WeakUnknown WeakState = iota
	// WeakLooking says that they are being looked for.
	WeakLooking
	// WeakFound says that Spots are all there are.
	WeakFound
	// WeakTooMany says that so much is thin that they cannot be listed.
	WeakTooMany
	// WeakStopped says that the search was given up.
	WeakStopped
)

// Open counts the spots that are neither mended nor kept.
func (w Weak) Open() int { return w.count(func(s *fit.WeakSpot) bool { return !s.Kept }) }

// Stuck counts the spots for which no mend was found, and which nobody accepted.
func (w Weak) Stuck() int { return w.count((*fit.WeakSpot).Stuck) }

func (w Weak) count(is func(*fit.WeakSpot) bool) int {
	n := 0
	for i := range w.Spots {
		if is(&w.Spots[i]) {
			n++
		}
	}
	return n
}

// weakness works out what follows from an exact plan: what is cut of it with
// the job's clearance, and its weak spots. Latest wins; a drag or an edit gives
// it up at once, so that the next plan need not wait.
type weakness struct {
	s *Session
	// plan is what cut and weak belong to.
	plan *fit.Plan
	cut  *fit.Plan
	weak Weak
	// number is that of the newest search: older ones come too late.
	number  uint64
	running *Task
	// cache is for mends that are tried.
	cache *fit.Cache
}

// look begins the search, unless the plan is known or being looked at already.
func (f *weakness) look() {
	s := f.s
	if s.committed == nil || f.plan == s.committed {
		return
	}
	f.drop()
	p, j, cache := s.committed, s.Job(), s.fitter.cache
	f.plan, f.cut, f.weak = p, nil, Weak{}
	if len(p.Separations) == 0 || len(p.Stacked.Places) > 0 {
		f.cut = p
		return
	}
	f.weak.State = WeakLooking
	f.number++
	number := f.number
	ctx, t, end := s.begin(message.Message{ID: "ui-task-weak"})
	t.quiet = true
	f.running = t
	go func() {
		cut, err := guarded(ctx, func(ctx context.Context) (*fit.Plan, error) { return fit.Cut(ctx, p, j.Settings) })
		if err == nil {
			s.deliver(func() {
				if f.number == number && f.plan == p {
					f.cut = cut
					s.changed(WeakChanged)
				}
			})
		}
		found, err := guarded(ctx, func(ctx context.Context) (Weak, error) { return findWeak(ctx, cache, p, j) })
		s.deliver(func() {
			end()
			if f.number != number || f.plan != p {
				return
			}
			f.running = nil
			switch {
			case err == nil:
				f.weak = found
			case fit.IsCancelled(err):
				f.weak.State = WeakStopped
			default:
				f.weak.State = WeakStopped
				s.trouble(err)
			}
			s.changed(WeakChanged)
		})
	}()
}

// findWeak looks for what is too thin in a plan, and what that belongs to.
func findWeak(ctx context.Context, cache *fit.Cache, p *fit.Plan, j job.Job) (Weak, error) {
	spots, warnings, err := workshop.FindWeak(ctx, cache, p, j)
	w := Weak{State: WeakFound, Spots: spots}
	if err == nil {
		w.Things, err = fit.WeakThings(ctx, j, spots)
	}
	if err == nil {
		w.Smallest, err = workshop.FindSmallest(ctx, p, j)
	}
	if err == nil && spots == nil && len(warnings) > 0 {
		w.State, w.Crowded = WeakTooMany, warnings[0]
	}
	return w, err
}

// drop gives the search up. What was found already stays known.
func (f *weakness) drop() {
	if f.running != nil {
		f.number++
		f.running.Stop()
		f.running, f.plan = nil, nil
	}
}

// forget drops everything, as another document is opened.
func (f *weakness) forget() {
	f.drop()
	f.plan, f.cut, f.weak, f.cache = nil, nil, Weak{}, nil
}

// current reports whether what is known belongs to what is shown.
func (f *weakness) current() bool {
	s := f.s
	return s.plan != nil && s.planExact && s.preview == nil && s.plan == f.plan
}

// Weak returns what is known about the weak spots of the plan at hand.
func (s *Session) Weak() Weak {
	if !s.weak.current() {
		return Weak{}
	}
	return s.weak.weak
}

// Cut returns what is cut of the plan at hand: the plan with the job's
// clearance. It is the plan itself until that is worked out.
func (s *Session) Cut() *fit.Plan {
	if s.weak.current() && s.weak.cut != nil {
		return s.weak.cut
	}
	return s.plan
}

// StopLooking gives the search for weak spots up, LookAgain begins it once
// more.
func (s *Session) StopLooking() {
	if t := s.weak.running; t != nil {
		t.Stop()
	}
}

// LookAgain looks for weak spots after StopLooking.
func (s *Session) LookAgain() {
	if s.weak.current() && s.weak.weak.State == WeakStopped {
		s.weak.plan = nil
		s.weak.look()
		s.changed(WeakChanged)
	}
}

// MendAll mends every weak spot that has no mend yet, in the background and as
// one step. An edit meanwhile has it worked out anew; stopped, it keeps what is mended
// by then.
func (s *Session) MendAll() {
	if s.history == nil || s.mending != nil {
		return
	}
	j, at, cache := s.Job(), s.At(), s.fitter.cache
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
			s.MendAll()
			return
		}
		if t.stopped && !t.undone && sofar != nil && at == s.At() {
			out, err = *sofar, nil
		}
		if err == nil {
			err = s.step("ui-step-mend-all", func(job.Job) (job.Job, error) { return out, nil })
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

// stopVoid stops the work that an edit has made void.
func (s *Session) stopVoid() {
	if s.mending != nil {
		s.mending.stop() // it begins anew
	}
	for _, t := range s.tasks {
		if t.void {
			t.Stop()
		}
	}
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
				o, ok, err := try(ctx, cache, j, plan, m)
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

// try makes a mend and reports what it changes; false when it cannot be made.
func try(ctx context.Context, cache *fit.Cache, j job.Job, before *fit.Plan, m job.Mend) (MendOption, bool, error) {
	with, err := job.AddMend(j, m)
	if err != nil {
		return MendOption{}, false, err
	}
	p, err := cache.Compute(ctx, with)
	if err != nil {
		return MendOption{}, false, err
	}
	for _, x := range p.Mends {
		if x.Mend != m || x.State != mend.Done || x.AreaMM2 == 0 {
			continue
		}
		return MendOption{
			Mend: m, Plan: p, AreaMM2: x.AreaMM2, UncoveredMM2: max(0, p.Proof.UncoveredMM2-before.Proof.UncoveredMM2),
		}, true, nil
	}
	return MendOption{}, false, nil
}
