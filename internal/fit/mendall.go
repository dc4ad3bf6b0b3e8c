package fit

import (
	"context"
	"math"
	"slices"

	"abut/geometry"
	"abut/geometry/weak"
	"abut/internal/job"
)

// withoutLapsed returns the job without the mends that could not be made, and
// how many rounds the others take when none is left out between them: rounds are
// few. What is made stays the same.
func withoutLapsed(j job.Job, made []MadeMend) (job.Job, int) {
	done := map[job.Mend]bool{}
	var rounds []uint8
	for _, x := range made {
		if x.State == MendDone {
			done[x.Mend] = true
			rounds = append(rounds, x.Round)
		}
	}
	slices.Sort(rounds)
	rounds = slices.Compact(rounds)
	j.Items = slices.Clone(j.Items)
	for i := range j.Items {
		var mends []job.Mend
		for _, m := range j.Items[i].Mends {
			if done[m] {
				n, _ := slices.BinarySearch(rounds, m.Round)
				m.Round = uint8(n)
				mends = append(mends, m)
			}
		}
		j.Items[i].Mends = mends
	}
	return j, len(rounds)
}

// startMending lays out the job as it is without mends.
func startMending(ctx context.Context, j job.Job) (*mending, error) {
	placed, _, err := new(bands).place(ctx, j)
	if err != nil {
		return nil, err
	}
	m := &mending{placed: placed, keys: make([]layerKey, len(placed)), rules: newRules(j, placed)}
	for i, p := range placed {
		m.keys[i] = keyOf(p)
	}
	o, err := lay(ctx, placed, m.keys)
	if err != nil {
		return nil, err
	}
	m.extent = o.extent
	return m, m.label(ctx, o, false)
}

// withoutKept returns which spots no mend keeps.
func withoutKept(spots []rawSpot, kept []MadeMend, s job.Settings) []int {
	keep := map[int]bool{}
	for _, x := range kept {
		if k := nearestSpot(spots, x.At, x.Spot, s.Narrowest()); k >= 0 {
			keep[k] = true
		}
	}
	var open []int
	for k := range spots {
		if !keep[k] {
			open = append(open, k)
		}
	}
	return open
}

// growing estimates the area that a speck takes from what lies around it when it
// is made as large as the smallest one.
func growing(s *rawSpot, settings job.Settings) float64 {
	d := settings.Speck() + widenMM
	return math.Max(0, math.Pi/4*d*d-s.AreaMM2)
}

// enclosing is the share of a spot's border, its own piece aside, that the
// neighbour which takes it must have. What is left of the piece ends in an arc;
// where another one lies beside that, the taker would end in a cusp between them.
const enclosing = 0.85

func (m *mending) surrounded(s *rawSpot) bool {
	all, most := 0.0, 0.0
	for _, n := range s.neighbours {
		all += n.length
		if n.sep != bare && n.sep != s.sep {
			most = math.Max(most, n.length)
		}
	}
	return most >= enclosing*all
}

// widening estimates the area that widening takes from what lies around.
func (m *mending) widening(s *rawSpot, w float64) float64 {
	length := 0.0
	for _, l := range s.Spine {
		length += l[0].Sub(l[1]).Len()
	}
	ends := 0.0
	switch {
	case s.Whole && len(s.Outline) == 1:
		ends = math.Pi / 4 * w * w
	case s.Kind == weak.Sliver || s.Kind == weak.Point:
		ends = math.Pi / 8 * w * w
	}
	return math.Max(0, w*length+ends-s.AreaMM2)
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

// NewMend returns the mend that does the given thing about a weak spot of the
// job's plan. Put it into the job with job.AddMend.
func NewMend(ctx context.Context, j job.Job, s WeakSpot, do job.MendKind) (job.Mend, error) {
	m, err := startMending(ctx, j)
	if err != nil {
		return job.Mend{}, err
	}
	if len(m.placed) == 0 {
		return job.Mend{}, &job.EditError{Message: job.Message{ID: job.NoSuchLayer}}
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
