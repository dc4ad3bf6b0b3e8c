package fit

import (
	"context"

	"abut/geometry"
	"abut/internal/fit/mend"
	"abut/internal/job"
)

// WeakSpot is a place that is hard to cut, weed or carry.
type WeakSpot struct {
	Kind job.SpotKind
	// Piece is the piece that it is part of; none for a gap.
	Piece PieceID
	// Whole: the spot is all of its piece.
	Whole bool
	// At is a place inside, where a neck is narrowest.
	At geometry.Point
	// WidthMM is how broad it truly is: see weak.Spot.
	WidthMM, LengthMM, AreaMM2 float64
	// Outline is the thin part, closed polygons, even-odd.
	Outline geometry.Path
	Bounds  geometry.Rect
	// Neighbours are the separations that it touches, longest border first;
	// own.Bare is what nothing is cut for.
	Neighbours []mend.Neighbour
	// Kept says that a mend keeps it as it is, and Reason why it could not be
	// mended, empty when it is kept on purpose.
	Kept   bool
	Reason string
	// By is the mend that keeps it.
	By job.Mend
}

// Accepted reports whether someone decided that the spot stays as it is.
func (s *WeakSpot) Accepted() bool { return s.Kept && s.Reason == "" }

// Stuck reports whether mending was tried and found no way.
func (s *WeakSpot) Stuck() bool { return s.Kept && s.Reason != "" }

// weakBefore are the weak spots that were found last.
type weakBefore struct {
	plan   *Plan
	limits [2]float64
	spots  []WeakSpot
}

// Weak returns the weak spots of the plan of job j: where a piece, or a gap
// between pieces, is narrower than the job's narrowest width, and pieces that
// are smaller than its smallest speck. It costs about as much as Compute, and
// more where much is thin; the drag path does without. Where colours stack, each
// separation is looked at by itself and gaps are not looked for. Those of the last
// plan are remembered.
func (c *Cache) Weak(ctx context.Context, p *Plan, j job.Job) ([]WeakSpot, error) {
	o := mend.Limits(j.Settings)
	o.NoSpines = true
	limits := [2]float64{o.WidthMM, o.SpeckMM}
	c.mu.Lock()
	last := c.weak
	c.mu.Unlock()
	if last.plan == p && last.limits == limits {
		return last.spots, nil
	}
	o.Memory = c.mends.Answers() // most is as it was when mends were made
	var pieces []mend.Piece
	var ids []PieceID
	for i := range p.Separations {
		s := &p.Separations[i]
		for n, q := range s.Pieces {
			pieces = append(pieces, mend.Piece{Of: s.Of, Outline: q.Outline, Bounds: q.Bounds})
			ids = append(ids, PieceID{Of: s.Of, N: n})
		}
	}
	raw, err := mend.Find(ctx, pieces, len(p.Stacked.Places) > 0, o)
	if err != nil {
		return nil, err
	}
	spots := make([]WeakSpot, len(raw))
	for i, s := range raw {
		spots[i] = WeakSpot{
			Kind: job.SpotKind(s.Kind), Whole: s.Whole, At: s.At, WidthMM: s.WidthMM, LengthMM: s.LengthMM, AreaMM2: s.AreaMM2,
			Outline: s.Outline, Bounds: s.Bounds, Neighbours: s.Neighbours,
		}
		if s.Piece >= 0 {
			spots[i].Piece = ids[s.Piece]
		}
	}
	near := mend.NewFinder(raw)
	for _, m := range p.Mends {
		if m.Do != job.Keep || m.State != mend.Done {
			continue
		}
		if k := near.Again(&m, o.WidthMM); k >= 0 {
			if s := &spots[k]; !s.Kept || m.Reason == "" { // what someone decided counts
				s.Kept, s.Reason, s.By = true, m.Reason, m.Mend
			}
		}
	}
	c.mu.Lock()
	c.weak = weakBefore{p, limits, spots}
	c.mu.Unlock()
	return spots, nil
}

// NewMend returns the mend that does the given thing about a weak spot of the
// job's plan. Put it into the job with job.AddMend.
func NewMend(ctx context.Context, j job.Job, s WeakSpot, do job.MendKind) (job.Mend, error) {
	return mend.New(ctx, j, s.At, s.Kind, s.Piece.Of, do)
}
