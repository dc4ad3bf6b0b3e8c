package workshop

import (
	"context"
	"errors"
	"strings"

	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
)

// Weak returns the plan's weak spots; see fit.Weak. c may be nil.
func Weak(ctx context.Context, c *fit.Cache, p *fit.Plan, j job.Job) ([]fit.WeakSpot, error) {
	if c == nil {
		c = new(fit.Cache)
	}
	spots, err := c.Weak(ctx, p, j)
	return spots, explain(err)
}

// FindWeak is Weak with what to say about it, for those who can do without: art
// too complex to be looked through costs a warning, and no error.
func FindWeak(ctx context.Context, c *fit.Cache, p *fit.Plan, j job.Job) ([]fit.WeakSpot, []job.Warning, error) {
	spots, err := Weak(ctx, c, p, j)
	var crowded *planar.ComplexityError
	if errors.As(err, &crowded) {
		return nil, []job.Warning{{Message: message.Message{ID: "weak-not-looked-for"}, At: &crowded.At}}, nil
	}
	return spots, WeakWarnings(spots, j.Settings), err
}

// MendAll mends every weak spot that has no mend yet; see mend.All.
func MendAll(ctx context.Context, j job.Job, done func(share float64)) (job.Job, error) {
	out, err := mend.All(ctx, j, done)
	return out, explain(err)
}

// Narrow sets the narrowest width that is no weak spot.
func Narrow(j job.Job, widthMM float64) (job.Job, error) {
	out, err := job.SetNarrowest(j, widthMM, j.Settings.SpeckMM)
	return out, explain(err)
}

// Clear sets the clearance between neighbours.
func Clear(j job.Job, mm float64) (job.Job, error) {
	out, err := job.SetClearance(j, mm)
	return out, explain(err)
}

// Verdict is the plan's verdict with its weak spots: what nobody accepted stands
// in the way of one press.
func Verdict(p *fit.Plan, spots []fit.WeakSpot) fit.Verdict {
	v := p.Verdict
	if v.State != fit.Ready {
		return v
	}
	for _, x := range []struct {
		id    string
		which func(*fit.WeakSpot) bool
	}{{"verdict-weak", func(s *fit.WeakSpot) bool { return !s.Kept }}, {"verdict-stuck", (*fit.WeakSpot).Stuck}} {
		kinds, n := kindsOf(spots, x.which)
		if n == 0 {
			continue
		}
		m := message.Message{ID: x.id, Values: map[string]any{"count": message.Count(n), "kinds": kinds, "left": v.Values["left"]}}
		if strings.HasSuffix(v.ID, "-left-out") {
			m.ID += "-left-out"
		}
		return fit.Verdict{State: fit.Trouble, Message: m}
	}
	return v
}

// WeakWarnings says what is weak, what is kept as it is and what cannot be
// mended.
func WeakWarnings(spots []fit.WeakSpot, s job.Settings) []job.Warning {
	var out []job.Warning
	warn := func(id string, which func(s *fit.WeakSpot) bool) {
		kinds, n := kindsOf(spots, which)
		if n == 0 {
			return
		}
		var at geometry.Point
		for i := range spots {
			if which(&spots[i]) {
				at = spots[i].At
				break
			}
		}
		out = append(out, job.Warning{At: &at, Message: message.Message{ID: id, Values: map[string]any{
			"count": message.Count(n), "kinds": kinds, "width": message.Fine(s.Narrowest()), "speck": message.Fine(s.Speck()),
		}}})
	}
	warn("weak-spots", func(s *fit.WeakSpot) bool { return !s.Kept })
	warn("spots-kept", (*fit.WeakSpot).Accepted)
	warn(mend.ReasonTooDense, func(s *fit.WeakSpot) bool { return s.Kept && s.Reason == mend.ReasonTooDense })
	warn(mend.ReasonNowhere, func(s *fit.WeakSpot) bool { return s.Kept && s.Reason == mend.ReasonNowhere })
	return out
}

// kindsOf lists how many spots there are of each kind: "2 necks and 1 speck".
func kindsOf(spots []fit.WeakSpot, which func(s *fit.WeakSpot) bool) (message.List, int) {
	var counts [job.Speck + 1]int
	total := 0
	for i := range spots {
		if which(&spots[i]) {
			counts[spots[i].Kind]++
			total++
		}
	}
	var kinds message.List
	for kind, id := range spotIDs {
		if n := counts[kind]; n > 0 {
			kinds = append(kinds, message.Message{ID: id, Values: map[string]any{"count": message.Count(n)}})
		}
	}
	return kinds, total
}

var spotIDs = [...]string{"spot-neck", "spot-point", "spot-sliver", "spot-gap", "spot-speck"}

// DescribeSpots lists weak spots, and those that were mended, as job.json has
// them: in page millimetres, not mirrored.
func DescribeSpots(p *fit.Plan, spots []fit.WeakSpot) []ManifestWeakSpot {
	out := []ManifestWeakSpot{}
	name := func(of fit.Material) string {
		if s, _ := p.Find(of); s != nil {
			return s.Name
		}
		return ""
	}
	add := func(kind job.SpotKind, at geometry.Point, width float64, of fit.Material, mended bool) {
		out = append(out, ManifestWeakSpot{
			Kind: kind.String(), XMM: rounded(at.X - p.Page.Min.X), YMM: rounded(at.Y - p.Page.Min.Y),
			WidthMM: rounded(width), Separation: name(of), Mended: mended,
		})
	}
	for i := range spots {
		s := &spots[i]
		add(s.Kind, s.At, s.WidthMM, s.Piece.Of, false)
	}
	for _, m := range p.Mends {
		if m.State == mend.Done && m.Do != job.Keep {
			add(m.Spot, m.At, m.SpotMM, m.Of, true)
		}
	}
	return out
}
