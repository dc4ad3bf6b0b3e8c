package fit

import (
	"context"
	"math"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/job"
	"abut/internal/message"
)

// NewMend returns the mend that does the given thing about a weak spot of the
// job's plan. Put it into the job with job.AddMend.
func NewMend(ctx context.Context, j job.Job, s WeakSpot, do job.MendKind) (job.Mend, error) {
	m, err := startMending(ctx, j)
	if err != nil {
		return job.Mend{}, err
	}
	if len(m.placed) == 0 {
		return job.Mend{}, &job.EditError{Message: message.Message{ID: job.NoSuchLayer}}
	}
	// A spot that is there without any mend is of the first round.
	spots, err := m.spots(ctx, j.Settings, nil)
	if err != nil {
		return job.Mend{}, err
	}
	round := 0
	kind := s.Kind
	if nearestSpot(spots, s.At, kind, 0.1) < 0 {
		for _, it := range j.Items {
			for _, x := range it.Mends {
				round = max(round, int(x.Round)+1)
			}
		}
	}
	// The separation, as the rules count them.
	raw := &rawSpot{Spot: weak.Spot{Kind: weak.Kind(kind), At: s.At}, sep: bare}
	if k := nearestSpot(spots, s.At, kind, 0.1); k >= 0 {
		raw.sep = spots[k].sep
	}
	mend := m.about(raw, min(round, job.MaxRounds-1))
	mend.Do = do
	return mend, nil
}

// about returns a mend of a spot without saying what is done about it.
func (m *mending) about(s *rawSpot, round int) job.Mend {
	k := m.anchor(s)
	p, transform := &m.placed[k], m.placed[k].transform
	if m.units != nil {
		transform = m.units[k]
	}
	at := s.At
	if inv, ok := transform.Invert(); ok {
		at = inv.Apply(at)
	}
	return job.Mend{Layer: p.layer.ID, At: at, Spot: job.SpotKind(s.Kind), Round: uint8(round)}
}

// anchor returns the layer that a spot goes with: the topmost one that covers
// it and is cut from its sheet, else the topmost there, else the nearest.
func (m *mending) anchor(s *rawSpot) int {
	n := int32(len(m.placed))
	best := -1
	cover := m.overlay.m.Cover(m.overlay.m.Locate(s.At))
	for i := len(cover) - 1; i >= 0; i-- {
		if cover[i] >= n {
			continue
		}
		if best < 0 {
			best = int(cover[i])
		}
		if l := &m.rules.layers[cover[i]]; l.use == job.Cut && l.alpha == 1 && m.rules.separation(l.colour) == s.sep {
			return int(cover[i])
		}
	}
	if best >= 0 {
		return best
	}
	room := math.Inf(1)
	for i := range m.placed {
		b := m.overlay.bounds[i]
		d := s.At.Sub(geometry.Pt(
			math.Max(b.Min.X, math.Min(b.Max.X, s.At.X)),
			math.Max(b.Min.Y, math.Min(b.Max.Y, s.At.Y)))).Len()
		if best < 0 || d <= room {
			best, room = i, d
		}
	}
	return best
}
