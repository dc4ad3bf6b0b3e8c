package session

import (
	"maps"

	"abut/internal/fit"
	"abut/internal/message"
	"abut/internal/workshop"
)

// Verdict says where one stands, and which step of the way comes next.
type Verdict struct {
	fit.Verdict
	Next Step
}

// Step is a step of the way from a picture to its files.
type Step uint8

// The steps, in their order. SpotStep and BlankStep are side steps: to look at
// what could not be mended, and to fit the art into the blank; AddStep is for a
// design with nothing in it, FitStep for pieces that were not worked out to the end.
const (
	NoStep Step = iota
	OpenStep
	SizeStep
	SeeStep
	KnockStep
	MendStep
	SheetsStep
	ExportStep
	SpotStep
	BlankStep
	AddStep
	FitStep
)

// Way are the steps of the way.
var Way = []Step{OpenStep, SizeStep, SeeStep, KnockStep, MendStep, SheetsStep, ExportStep}

// Verdict says where a state stands: ready only when nothing stacks, nothing is
// too fine that nobody accepted, all fits, and no more sheets are needed than are
// there or someone was willing to use.
func (st State) Verdict() Verdict {
	say := func(state fit.VerdictState, id string, next Step) Verdict {
		return Verdict{fit.Verdict{State: state, Message: message.Message{ID: id}}, next}
	}
	switch {
	case !st.Opened:
		return say(fit.Nothing, "ui-verdict-start", OpenStep)
	case st.Err != nil:
		next := SizeStep
		if workshop.Is(st.Err, fitStopped) {
			next = FitStep
		}
		return Verdict{fit.Verdict{State: fit.Trouble, Message: workshop.MessageOf(st.Err)}, next}
	case len(st.Job.LayerIDs()) == 0:
		return say(fit.Nothing, "ui-verdict-empty", AddStep)
	case st.Plan == nil:
		return say(fit.Nothing, "ui-task-fit", NoStep)
	}
	v := Verdict{Verdict: st.Plan.Verdict}
	switch {
	case v.State == fit.Nothing:
		return v
	case st.Plan.Stacked.AreaMM2 > 0 && len(st.Plan.Stacked.Places) > 0:
		v.Next = KnockStep
		return v
	}
	if standing, is := st.inTheWay(); is {
		return standing
	}
	v.Next = ExportStep
	return v
}

// inTheWay says what stands in the way of a job where nothing stacks: what has no room,
// is too thin, or asks for more sheets than there are. False where nothing does.
func (st State) inTheWay() (v Verdict, is bool) {
	// with names what is left out in a verdict.
	with := func(state fit.VerdictState, m message.Message, next Step) (Verdict, bool) {
		m.Values = maps.Clone(m.Values)
		if m.Values == nil {
			m.Values = map[string]any{}
		}
		maps.Copy(m.Values, workshop.LeftOut(st.Plan))
		return Verdict{fit.Verdict{State: state, Message: m}, next}, true
	}
	say := func(state fit.VerdictState, id string, next Step) (Verdict, bool) {
		return with(state, message.Message{ID: id}, next)
	}
	if beyond, _ := cautions(st.Job, st.Plan); len(beyond) > 0 {
		v, is = with(fit.Trouble, beyond[0].Message, SizeStep)
		if b := st.Job.Settings.BlankShape; b != nil && !holds(b, st.Plan, b.SafeMM) {
			v.Next = BlankStep
		}
		return v, is
	}
	switch st.Weak.State {
	case WeakUnknown, WeakLooking:
		if st.Making { // it is looked for once the change counts
			return say(fit.Nothing, "verdict-making", NoStep)
		}
		return say(fit.Nothing, "verdict-looking", NoStep)
	case WeakStopped:
		return say(fit.Trouble, "verdict-not-looked", MendStep)
	case WeakTooMany:
		return say(fit.Trouble, "verdict-weak-many", MendStep)
	}
	if w := workshop.Verdict(st.Plan, st.Weak.Spots, st.Weak.Things, nil); w.State != fit.Ready {
		next := MendStep
		if st.Weak.Open() == 0 {
			next = SpotStep
		}
		return Verdict{w, next}, true
	}
	if n := len(st.Plan.Separations); !st.EnoughSheets() {
		return with(fit.Trouble, message.Message{ID: "verdict-sheets", Values: map[string]any{"count": message.Count(n)}}, SheetsStep)
	}
	return v, false
}

// usualSheets is how many sheets nobody is asked about. There is no figure for
// it: eight lie side by side on a table.
const usualSheets = 8

// EnoughSheets reports whether the plan needs no more sheets than are there or
// someone was willing to use. Of a sheet that is the user's own there is one.
func (st State) EnoughSheets() bool {
	if st.Plan == nil {
		return true
	}
	n := 0
	for i := range st.Plan.Separations {
		if st.Plan.Separations[i].Of.Sheet == 0 {
			n++
		}
	}
	return n <= usualSheets || len(st.Plan.Separations) <= st.Job.Settings.Sheets
}

// Done reports whether a step of the way is done.
func (st State) Done(step Step) bool {
	switch step {
	case OpenStep:
		return st.Opened
	case SizeStep:
		return st.Opened && st.Sized
	}
	p := st.Plan
	if !st.Opened || p == nil || !st.Exact || len(p.Separations) == 0 {
		return false
	}
	switch step {
	case SeeStep:
		return true
	case KnockStep:
		return len(p.Stacked.Places) == 0
	case MendStep:
		return st.Weak.State == WeakFound && st.Weak.Open() == 0 && st.Weak.Stuck() == 0
	case SheetsStep:
		return st.EnoughSheets()
	case ExportStep:
		return st.Exported
	}
	return false
}
