package fit

import (
	"maps"

	"abut/internal/message"
)

// Verdict says where the job stands.
type Verdict struct {
	State VerdictState
	message.Message
}

// VerdictState is the verdict's mark: ring, triangle, tick.
type VerdictState uint8

const (
	// Nothing says that there is nothing to cut yet.
	Nothing VerdictState = iota
	// Trouble says that something stands in the way of one press.
	Trouble
	// Ready says that it is ready for one press.
	Ready
)

// verdict says where the job stands, in one message.
func verdict(p *Plan) Verdict {
	say := func(state VerdictState, id string) Verdict {
		m := message.Message{ID: id, Values: map[string]any{
			"count": message.Count(len(p.Stacked.Places)), "area": message.MM2(p.Stacked.AreaMM2),
		}}
		if len(p.LeftOut) > 0 {
			m.ID += leftOutSuffix
			m.Values["left"] = message.Few(p.LeftOut)
		}
		return Verdict{state, m}
	}
	switch {
	case len(p.Separations) > 0 && len(p.Stacked.Places) > 0:
		return say(Trouble, "verdict-stacks")
	case len(p.Beyond) > 0:
		v := Verdict{Trouble, p.Beyond[0].Message}
		if len(p.LeftOut) > 0 {
			v.Values = maps.Clone(v.Values)
			v.Values["left"] = message.Few(p.LeftOut)
		}
		return v
	case len(p.Separations) > 0:
		return say(Ready, "verdict-ready")
	case len(p.pen) > 0:
		return say(Nothing, "verdict-all-drawn")
	case p.BareMM2 > 0 || len(p.LeftOut) > 0:
		return say(Nothing, "verdict-all-bare")
	default:
		return say(Nothing, "verdict-nothing")
	}
}

// leftOutSuffix follows a verdict's id when it names what is left out.
const leftOutSuffix = "-left-out"
