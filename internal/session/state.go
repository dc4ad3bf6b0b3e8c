package session

import (
	"abut/internal/fit"
	"abut/internal/job"
)

// State is what a session holds at one moment: a value that nothing changes.
// Panels are drawn from it, and what they do carries its At.
type State struct {
	At
	// Opened: a document is open.
	Opened bool
	// Job is the job as it is to be seen: with what is being made. Kept is the job
	// without that.
	Job, Kept job.Job
	Selection []job.LayerID
	// Plan is what follows from Job, the one before it while Exact is false. Err
	// says why there is none.
	Plan  *fit.Plan
	Exact bool
	Err   error
	// Cut is the plan with the clearance, and Weak what is known about its weak
	// spots.
	Cut  *fit.Plan
	Weak Weak
	// Sized: it is known how large the art is to be. Exported: files hold the job
	// as it is.
	Sized, Exported bool
	// Making: Job is with a change that is no step yet, as a text that is being typed.
	Making bool
}

// State returns what the session holds now.
func (s *Session) State() State {
	return State{
		At: s.At(), Opened: s.Opened(), Job: s.Shown(), Kept: s.Job(), Selection: s.Selection(),
		Plan: s.plan, Exact: s.planExact, Err: s.planError, Cut: s.Cut(), Weak: s.Weak(),
		Sized: s.Sized(), Exported: s.exported == s.version,
		Making: s.preview != nil && s.draft != nil,
	}
}

// One returns the one selected layer with its item, as it is to be seen.
func (st State) One() (l job.Layer, it job.Item, ok bool) {
	if len(st.Selection) != 1 {
		return l, it, false
	}
	return st.Job.Layer(st.Selection[0])
}
