package workshop

import (
	"context"
	"errors"
	"time"

	"abut/geometry/pairwise"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
)

// The second engine's limits: it slows down with the square of large inputs,
// and an export should not wait for it.
const (
	engineVertices = 20000
	engineTime     = 2 * time.Second
	// engineSagittaMM flattens curves for it.
	engineSagittaMM = 0.01
	// engineMM2 is how much it may find shared between two separations: it
	// works in floats, and a square of a tenth of a millimetre could not be
	// seen stacked. What it finds where the plan is right is below 1e-6.
	engineMM2 = 0.01
)

// secondOpinion asks another engine whether any two separations share a place.
// It returns a warning where it finds one, nothing when it finds none, when the
// plan is too large for it, or when it takes too long.
func secondOpinion(ctx context.Context, p *fit.Plan) []job.Warning {
	if p.Stacked.AreaMM2 > 0 {
		return nil // they are known to
	}
	regions := make([]pairwise.Region, len(p.Separations))
	vertices := 0
	for i, s := range p.Separations {
		regions[i] = pairwise.Region(s.Outline.Flatten(engineSagittaMM))
		vertices += regions[i].Vertices()
	}
	if vertices > engineVertices {
		return nil
	}
	ctx, cancel := context.WithTimeout(ctx, engineTime)
	defer cancel()
	var out []job.Warning
	for i, a := range p.Separations {
		for k, b := range p.Separations[:i] {
			if a.Bounds.Intersect(b.Bounds).Empty() {
				continue
			}
			shared, err := pairwise.Intersect(ctx, regions[i], regions[k])
			if errors.Is(err, context.DeadlineExceeded) || errors.Is(err, context.Canceled) {
				return out
			}
			if err != nil {
				continue // it gave up: no opinion
			}
			if area := shared.AreaMM2(); area > engineMM2 {
				at := shared[0].Start
				out = append(out, job.Warning{
					Message: message.Message{ID: "engines-disagree", Values: map[string]any{
						"first": b.Called(), "second": a.Called(), "area": message.MM2(area),
						"x": message.MM(at.X - p.Extent.Min.X), "y": message.MM(at.Y - p.Extent.Min.Y),
					}},
					At: &at,
				})
			}
		}
	}
	return out
}
