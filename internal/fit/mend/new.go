package mend

import (
	"context"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/fit/own"
	"abut/internal/job"
	"abut/internal/message"
)

// New returns the mend that does the given thing about a weak spot of the job's
// plan, cut from the given material. Put it into the job with job.AddMend. Errors
// as own.Lay, or *job.EditError where there is no layer.
func New(ctx context.Context, j job.Job, at geometry.Point, kind job.SpotKind, of own.Material, do job.MendKind) (job.Mend, error) {
	m, err := start(ctx, j)
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
	if NewFinder(spots).Nearest(at, kind, foundAgainMM) < 0 {
		for _, it := range j.Items {
			for _, x := range it.Mends {
				round = max(round, int(x.Round)+1)
			}
		}
	}
	mend := m.about(&Spot{Spot: weak.Spot{Kind: weak.Kind(kind), At: at}, Of: of}, min(round, job.MaxRounds-1))
	mend.Do = do
	return mend, nil
}

// foundAgainMM is how near to where a spot was it must lie to be the same one:
// rounding moves it by far less, and two of a kind lie further apart.
const foundAgainMM = 0.1

// about returns a mend of a spot without saying what is done about it.
func (m *mending) about(spot *Spot, round int) job.Mend {
	k := m.anchor(spot)
	at := spot.At
	if inv, ok := m.toBoard(k).Invert(); ok {
		at = inv.Apply(at)
	}
	return job.Mend{Layer: m.placed[k].Layer.ID, At: at, Spot: job.SpotKind(spot.Kind), Round: uint8(round)}
}

// toBoard takes a layer's own units to the board.
func (m *mending) toBoard(k int) geometry.Affine {
	if m.units != nil {
		return m.units[k]
	}
	return m.placed[k].Transform
}

// placeOf returns where on the board a mend's spot is; its layer is one of the map's.
func (m *mending) placeOf(mend *job.Mend) geometry.Point {
	return m.toBoard(m.indexOf(mend.Layer)).Apply(mend.At)
}
