package session

import (
	"context"

	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/workshop"
)

// How far a blank's colour may be from white before its tint is felt in the
// print (six just noticeable differences), and how dark it may be (CIE L*)
// before colours are lost on it. Common practice knows no figures.
const (
	tintDeltaE = 6
	darkL      = 55
)

// cautions returns what the things at hand say about the job: art or frame
// beyond blank, sheet or cutter, and a material or colour that takes no dye or
// changes it. Beyond is what stands in the way of a press.
func cautions(j job.Job, p *fit.Plan) (beyond, cautions []job.Warning) {
	say := func(id string, pairs ...string) job.Warning {
		w := job.Warning{Message: message.Message{ID: id, Args: map[string]string{}}}
		for i := 0; i+1 < len(pairs); i += 2 {
			w.Args[pairs[i]] = pairs[i+1]
		}
		return w
	}
	if p != nil {
		for _, x := range p.Beyond {
			beyond = append(beyond, x.Warning)
		}
	}
	if b := j.Settings.BlankShape; b != nil {
		if p != nil {
			if holds(b, p, 0) && !holds(b, p, b.SafeMM) {
				beyond = append(beyond, say("blank-art-unsafe", "blank", b.Name))
			}
		}
		switch b.Material {
		case job.Cotton:
			cautions = append(cautions, say("blank-cotton"))
		case job.Blend:
			cautions = append(cautions, say("blank-blend"))
		}
	}
	switch c := j.Settings.BlankColour(); {
	case c.Lab().L < darkL:
		cautions = append(cautions, say("blank-dark"))
	case c.DeltaE(colour.White) > tintDeltaE:
		cautions = append(cautions, say("blank-tinted"))
	}
	return beyond, cautions
}

func holds(b *job.Blank, p *fit.Plan, inset float64) bool {
	if b.Holds(p.Extent.Path(), inset) {
		return true
	}
	for i := range p.Separations {
		if !b.Holds(p.Separations[i].Outline, inset) {
			return false
		}
	}
	return true
}

// FillBlank chooses the thing that is decorated, where the art lies, and makes
// the art as large as its safe area lets it, as one step.
func (s *Session) FillBlank(b job.Blank) {
	s.scale("ui-step-fill-blank", func(ctx context.Context, j job.Job) (job.Job, error) { return workshop.FillBlank(ctx, j, b) })
}

// FitBlank makes the art as large as the blank's safe area lets it, in the middle
// of the blank, as one step.
func (s *Session) FitBlank() { s.scale("ui-step-fit-blank", workshop.FitBlank) }
