package session

import (
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/words"
	"abut/internal/workshop"
)

// Notes returns everything to know about a job and its plan, the most important
// first.
func Notes(j job.Job, p *fit.Plan) []job.Warning {
	if p == nil {
		return nil
	}
	beyond, cautions := cautions(j, p)
	out := append(beyond, cautions...)
	out = append(out, NearWhites(p, j)...)
	return append(out, workshop.Warnings(j, p)...)
}

// nearWhiteDeltaE is how far from white a colour may be to be proposed as bare:
// three times what is left bare without a word (common practice knows no
// figure).
const nearWhiteDeltaE = 3 * job.BareDeltaE

// NearlyWhite reports whether a colour is cut although it is nearly white.
func NearlyWhite(c colour.RGB) bool {
	d := c.DeltaE(colour.White)
	return d > job.BareDeltaE && d <= nearWhiteDeltaE
}

// NearWhites proposes to leave bare what is cut although it is nearly white.
func NearWhites(p *fit.Plan, j job.Job) []job.Warning {
	var out []job.Warning
	for i := range p.Separations {
		s := &p.Separations[i]
		if _, chosen := j.Assign[s.Colour]; !chosen && NearlyWhite(s.Colour) && len(s.Pieces) > 0 {
			at := s.Pieces[0].Inside
			out = append(out, job.Warning{At: &at, Message: message.Message{ID: "near-white", Args: map[string]string{
				"name": words.Capital(words.Chosen().Put(s.Called())),
			}}})
		}
	}
	return out
}
