package mend

import (
	"context"
	"errors"
	"slices"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// drawn mends things as they are drawn: lines become evenly broader, letters
// heavier or the word larger, dots larger in their own shape. What is alike is
// treated alike. Each is tried on the whole picture, beside all others, and made
// when much less is left to mend about it and nothing is lost; then things move aside where that makes
// room; the rest is left to mends of spots. It returns, too, the picture without any
// mend, nil where there is none, what those must leave as it is, and the job laid out, nil
// where it was not.
func drawn(ctx context.Context, j job.Job, known *memory) (_ job.Job, _ *picture, kept []keptThing, _ *laidOut, _ error) {
	if !slices.ContainsFunc(j.Items, func(it job.Item) bool { return len(it.Layers) > 0 }) {
		return j, nil, nil, nil, nil
	}
	bare, err := job.ClearMends(j)
	if err != nil {
		return j, nil, nil, nil, err
	}
	m, err := startWith(ctx, bare, known)
	if err != nil || len(m.Stacked) > 0 {
		return j, nil, nil, nil, err // what stacks comes first
	}
	d := newDrawer(j, known)
	d.tries = max(1, min(mostTries, thorough/max(1, m.Map.NumEdges())))
	if d.picture, err = m.picture(ctx, d.settings); err != nil {
		return j, nil, nil, nil, err
	}
	if countMends(j) == 0 { // it is laid out already
		d.now = &laidOut{mending: m}
	}
	// What is plainly a thing comes first, and once more, for what only shows when
	// something beside it is broad enough; then whatever else has long thin parts.
	some := true
	var crowded *planar.ComplexityError
	for _, figures := range []bool{false, false, true} {
		if !figures && !some {
			continue // nothing has changed
		}
		d.figures = figures
		some, err = d.pass(ctx)
		if errors.As(err, &crowded) {
			return d.job, d.picture, d.kept, d.now, nil
		}
		if err != nil {
			return j, nil, nil, nil, err
		}
	}
	if err := d.displace(ctx); err != nil && !errors.As(err, &crowded) {
		return j, nil, nil, nil, err
	}
	return d.job, d.picture, d.kept, d.now, nil
}

func mendsOf(j job.Job) map[job.Mend]bool {
	had := map[job.Mend]bool{}
	for _, it := range j.Items {
		for _, m := range it.Mends {
			had[m] = true
		}
	}
	return had
}

func countMends(j job.Job) (n int) {
	for _, it := range j.Items {
		n += len(it.Mends)
	}
	return n
}

// NewOfThing returns what may be done about the thing that a spot is part of, what
// changes least of the look first: drawn evenly broader, or larger; then what beside it may
// be moved aside. There is nothing where nobody drew it. Errors as own.Lay.
func NewOfThing(ctx context.Context, j job.Job, at geometry.Point, kind job.SpotKind, of own.Material) ([]job.Mend, error) {
	d, k, attempts, err := attemptsAt(ctx, j, at, kind, of)
	if err != nil || k < 0 {
		return nil, err
	}
	var out []job.Mend
	for _, a := range attempts {
		for _, o := range a.options {
			if len(o) == 1 && !slices.ContainsFunc(out, func(x job.Mend) bool {
				return x.Layer == o[0].Layer && x.Do == o[0].Do && x.Fine == o[0].Fine && x.Apart == o[0].Apart
			}) {
				out = append(out, o[0])
			}
		}
	}
	aside, err := d.movesFor(ctx, k)
	out = append(out, aside...)
	for i := range out {
		out[i].ByHand = true
	}
	return out, err
}

// AboutThing returns those mends that a job has more than before by which the thing is drawn anew that a spot of
// the job before is part of. Errors as own.Lay.
func AboutThing(ctx context.Context, before, after job.Job, at geometry.Point, kind job.SpotKind, of own.Material) (mends []job.Mend, _ error) {
	made := More(before, after)
	if !slices.ContainsFunc(made, func(m job.Mend) bool { return m.Do.OfThing() }) {
		return nil, nil
	}
	d, _, attempts, err := attemptsAt(ctx, before, at, kind, of)
	if err != nil {
		return nil, err
	}
	for _, m := range made {
		if m.Do.OfThing() && slices.ContainsFunc(attempts, func(a *attempt) bool { return a.layer == m.Layer && reachesPoint(d.now.placeOf(&m), a.areas) }) {
			mends = append(mends, m)
		}
	}
	return mends, nil
}

// More returns the mends that a job has more than before.
func More(before, after job.Job) (mends []job.Mend) {
	had := mendsOf(before)
	for _, it := range after.Items {
		for _, m := range it.Mends {
			if !had[m] {
				mends = append(mends, m)
			}
		}
	}
	return mends
}

// attemptsAt returns what may be tried about the things that a spot is part of, and the spot's number on the
// drawer's map, −1 where it is not there.
func attemptsAt(ctx context.Context, j job.Job, at geometry.Point, kind job.SpotKind, of own.Material) (*drawer, int, []*attempt, error) {
	d := newDrawer(j, &memory{surrounds: new(own.Surrounds)})
	if err := d.lookNow(ctx); err != nil {
		return nil, -1, nil, err
	}
	k := NewFinder(d.spots).Nearest(at, kind, foundAgainMM)
	if k < 0 || d.spots[k].Of != of {
		return d, -1, nil, nil
	}
	attempts, err := d.attempts(ctx, d.now.mending, d.spots[k:k+1])
	return d, k, attempts, err
}
