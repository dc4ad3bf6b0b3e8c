package workshop

import (
	"context"
	"errors"
	"math"

	"abut/geometry/planar"
	"abut/geometry/weak"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
)

// Smallest is the size from which nothing of a picture is too thin to cut, without
// any mend.
type Smallest struct {
	// WidthMM is the width of the art, 0 where there is no such size within reason.
	WidthMM float64
	// ThreeQuarters and Half are how many things are too thin when it is so much
	// smaller.
	ThreeQuarters, Half int
}

const (
	// maxSmaller is how many times as small as it is a picture is thought of at most;
	// how many times as large follows from the least width that can be looked for.
	maxSmaller = 4
	// sizeSteps halve the range on a scale of ratios: the size is right to within 2 %.
	sizeSteps = 8
	// maxSized is how many segments the outlines of a picture may have that is looked at
	// so often: some seconds together.
	maxSized = 20_000
)

// FindSmallest looks for the size from which nothing in the plan of a job is too
// thin. A picture twice as large is as thin as one that is looked at for half the
// width, so the plan serves for all sizes; each of some ten looks costs as much as
// FindWeak. Art too complex to be looked through has no such size. Errors else as
// fit.Weak.
func FindSmallest(ctx context.Context, p *fit.Plan, j job.Job) (Smallest, error) {
	s, err := smallest(ctx, p, j)
	if crowded := (*planar.ComplexityError)(nil); errors.As(err, &crowded) {
		return Smallest{}, nil
	}
	return s, err
}

func smallest(ctx context.Context, p *fit.Plan, j job.Job) (Smallest, error) {
	thin := func(larger float64) (int, error) {
		look := j
		look.Settings.NarrowestMM, look.Settings.SpeckMM = j.Settings.Narrowest()/larger, j.Settings.Speck()/larger
		spots, err := new(fit.Cache).Weak(ctx, p, look)
		if err != nil {
			return 0, err
		}
		things, err := fit.WeakThings(ctx, j, spots)
		return len(things), err
	}
	lo, hi := 1.0/maxSmaller, j.Settings.Narrowest()/weak.MinWidthMM
	segments := 0
	for i := range p.Separations {
		for _, c := range p.Separations[i].Outline {
			segments += len(c.Segments)
		}
	}
	if p.Extent.Empty() || len(p.Stacked.Places) > 0 || segments > maxSized {
		return Smallest{}, nil
	}
	if n, err := thin(hi); err != nil || n > 0 {
		return Smallest{}, err
	}
	for range sizeSteps {
		mid := math.Sqrt(lo * hi)
		n, err := thin(mid)
		if err != nil {
			return Smallest{}, err
		}
		if n > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	out := Smallest{WidthMM: p.Extent.Width() * hi}
	var err error
	if out.ThreeQuarters, err = thin(hi * 3 / 4); err == nil {
		out.Half, err = thin(hi / 2)
	}
	return out, err
}

// Message says from which size everything can be cut; false where there is none. Where nothing is
// too thin as far down as was looked, it says that.
func (s Smallest) Message() (message.Message, bool) {
	if s.ThreeQuarters+s.Half == 0 {
		return message.Message{ID: "smallest-none", Values: map[string]any{"width": message.MM(s.WidthMM / 2)}}, s.WidthMM > 0
	}
	return message.Message{ID: "smallest-size", Values: map[string]any{
		"width": message.MM(s.WidthMM), "less": message.MM(s.WidthMM * 3 / 4), "half": message.MM(s.WidthMM / 2),
		"few": message.Count(s.ThreeQuarters), "many": message.Count(s.Half),
	}}, s.WidthMM > 0
}
