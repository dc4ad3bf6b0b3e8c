package workshop

import (
	"context"
	"errors"
	"slices"
	"strings"

	"abut/geometry/planar"
	"abut/internal/fit"
	"abut/internal/fit/mend"
	"abut/internal/job"
	"abut/internal/message"
)

// notLookedFor is what is said where there is too much outline to look through.
const notLookedFor = "weak-not-looked-for"

// FindWeak returns the plan's weak spots and what to say about them; see
// fit.Weak. Art too complex to be looked through costs a warning, and no error.
func FindWeak(ctx context.Context, c *fit.Cache, p *fit.Plan, j job.Job) ([]fit.WeakSpot, []job.Warning, error) {
	spots, err := c.Weak(ctx, p, j)
	var crowded *planar.ComplexityError
	if errors.As(err, &crowded) {
		return nil, []job.Warning{{Message: message.Message{ID: notLookedFor}, At: &crowded.At}}, nil
	}
	return spots, weakWarnings(spots, j.Settings), err
}

// weakWarnings says what is weak, what is kept as it is and what cannot be
// mended.
func weakWarnings(spots []fit.WeakSpot, s job.Settings) []job.Warning {
	var out []job.Warning
	warn := func(id string, which func(s *fit.WeakSpot) bool) {
		if kinds, n, first := kindsOf(spots, which); n > 0 {
			out = append(out, job.Warning{At: &first.At, Message: message.Message{ID: id, Values: map[string]any{
				"count": message.Count(n), "kinds": kinds, "width": message.Fine(s.Narrowest()), "speck": message.Fine(s.Speck()),
			}}})
		}
	}
	warn("weak-spots", stillOpen)
	warn("spots-kept", (*fit.WeakSpot).Accepted)
	warn(mend.ReasonTooDense, func(s *fit.WeakSpot) bool { return s.Kept && s.Reason == mend.ReasonTooDense })
	warn(mend.ReasonNowhere, func(s *fit.WeakSpot) bool { return s.Kept && s.Reason == mend.ReasonNowhere })
	return out
}

// stillOpen reports whether a spot is neither mended nor kept.
func stillOpen(s *fit.WeakSpot) bool { return !s.Kept }

var spotIDs = [...]string{"spot-neck", "spot-point", "spot-sliver", "spot-gap", "spot-speck"}

// kindsOf lists how many spots there are of each kind, "2 necks and 1 speck",
// and how many in all; first is the first of them.
func kindsOf(spots []fit.WeakSpot, which func(s *fit.WeakSpot) bool) (kinds message.List, n int, first *fit.WeakSpot) {
	var counts [len(spotIDs)]int
	for i := range spots {
		if which(&spots[i]) {
			if n++; n == 1 {
				first = &spots[i]
			}
			counts[spots[i].Kind]++
		}
	}
	for kind, id := range spotIDs {
		if counts[kind] > 0 {
			kinds = append(kinds, message.Message{ID: id, Values: map[string]any{"count": message.Count(counts[kind])}})
		}
	}
	return kinds, n, first
}

// thingsWith returns how many things have such a spot; what lies between things is one.
func thingsWith(things []fit.WeakThing, spots []fit.WeakSpot, which func(*fit.WeakSpot) bool) (n int) {
	for _, t := range things {
		if slices.ContainsFunc(t.Spots, func(i int) bool { return which(&spots[i]) }) {
			n++
		}
	}
	return n
}

// LeftOut returns what a verdict names of the layers that are left out, nil where none is.
func LeftOut(p *fit.Plan) map[string]any {
	if len(p.LeftOut) == 0 {
		return nil
	}
	return map[string]any{"left": message.Few(p.LeftOut)}
}

// Verdict is the plan's verdict with its weak spots and the things that they belong to: what
// nobody accepted stands in the way of one press, and so does what notes say nobody could look
// for. A pen is named where it could draw one of the things.
func Verdict(p *fit.Plan, spots []fit.WeakSpot, things []fit.WeakThing, notes []job.Warning) fit.Verdict {
	v := p.Verdict
	if v.State != fit.Ready {
		return v
	}
	if slices.ContainsFunc(notes, func(w job.Warning) bool { return w.ID == notLookedFor }) {
		return fit.Verdict{State: fit.Trouble, Message: message.Message{ID: "verdict-weak-many", Values: LeftOut(p)}}
	}
	for _, x := range []struct {
		id    string
		which func(*fit.WeakSpot) bool
	}{{"verdict-weak", stillOpen}, {"verdict-stuck", (*fit.WeakSpot).Stuck}} {
		kinds, n, _ := kindsOf(spots, x.which)
		if n == 0 {
			continue
		}
		n = thingsWith(things, spots, x.which)
		m := message.Message{ID: x.id, Values: map[string]any{"count": message.Count(n), "kinds": kinds, "left": v.Values["left"]}}
		if pens := fit.PenLayers(things); len(pens) > 0 {
			m.Values["pens"] = message.Count(len(pens))
		}
		if strings.HasSuffix(v.ID, "-left-out") {
			m.ID += "-left-out"
		}
		return fit.Verdict{State: fit.Trouble, Message: m}
	}
	return v
}
