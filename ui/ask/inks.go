package ask

import (
	"slices"

	"fyne.io/fyne/v2"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/trace"
	"abut/internal/words"
)

// showInks shows a chip for each colour, and where to drop what stays bare.
func (s *traceDialog) showInks() {
	s.chips.RemoveAll()
	s.inks = nil
	if s.chosen != nil && !slices.ContainsFunc(s.result.Inks, func(k trace.Ink) bool { return k.Colour == *s.chosen }) {
		s.chosen = nil
	}
	for _, k := range s.result.Inks {
		label := s.called(k.Colour)
		switch {
		case k.Joined:
			label = say("ui-trace-joined", "name", label, "other", s.called(k.To))
		case k.Bare:
			label = say("ui-trace-is-bare", "name", label)
		case k.Cut != k.Colour:
			label = say("ui-trace-joined", "name", label, "other", s.called(k.Cut))
		}
		c := newInkChip(k.Colour, label, say("ui-trace-ink-hint"), k.Bare, func() { s.choose(k.Colour) })
		c.press.On = s.chosen != nil && *s.chosen == k.Colour
		c.over = func(at fyne.Position) { s.over(c, at) }
		c.dropped = func(at fyne.Position) { s.drop(c, at) }
		s.inks = append(s.inks, c)
		s.chips.Add(c)
	}
	s.chips.Add(s.well)
}

// namesOf knows the colours of a picture in the order of its layers, as their own names do.
func namesOf(r *trace.Result) *colour.Names {
	names := new(colour.Names)
	for _, l := range r.Layers {
		names.Of(l.Colour)
	}
	return names
}

// called is what a colour is called, as in the list of layers: of those that share a word
// all but the first have a number.
func (s *traceDialog) called(c colour.RGB) string {
	word, number := s.names.Of(c)
	return words.Capital(words.Chosen().Colour(message.ColourName{Word: word, Number: number}))
}

// choose makes a colour the one that is spoken of.
func (s *traceDialog) choose(c colour.RGB) {
	if s.chosen != nil && *s.chosen == c {
		s.chosen = nil
	} else {
		s.chosen = &c
	}
	for _, k := range s.inks {
		k.press.SetOn(s.chosen != nil && *s.chosen == k.colour)
	}
	s.showAbout()
	s.d.Fit()
}

// target returns the chip that a place is on, nil for none.
func (s *traceDialog) target(from *inkChip, at fyne.Position) *inkChip {
	for _, k := range s.inks {
		if k != from && holds(k, at) {
			return k
		}
	}
	return nil
}

// over marks what a chip would be let go on.
func (s *traceDialog) over(from *inkChip, at fyne.Position) {
	to := s.target(from, at)
	for _, k := range s.inks {
		k.press.SetOn(k == from || k == to)
	}
	s.well.SetOn(holds(s.well, at))
}

// drop joins a colour to the one that it was let go on, or leaves it bare.
func (s *traceDialog) drop(from *inkChip, at fyne.Position) {
	to, bare := s.target(from, at), holds(s.well, at)
	s.well.SetOn(false)
	for _, k := range s.inks {
		k.press.SetOn(s.chosen != nil && *s.chosen == k.colour)
	}
	switch {
	case to != nil:
		s.join(from.colour, to.colour)
	case bare:
		s.leaveBare(from.colour)
	}
}

func (s *traceDialog) join(from, to colour.RGB) {
	s.chosen = nil
	s.ask(func(how *job.Tracing) {
		forget(how, from)
		how.Joined = append(how.Joined, job.Joined{From: from, To: to})
	})
}

func (s *traceDialog) bare() {
	if s.chosen != nil {
		s.leaveBare(*s.chosen)
	}
}

// leaveGround leaves the ground bare, or has it cut however it came to be bare.
func (s *traceDialog) leaveGround(on bool) {
	s.ask(func(how *job.Tracing) {
		if how.BareGround, how.KeepGround = on, !on; !on {
			if g := s.groundInk(); g != nil {
				forget(how, g.Colour)
			}
		}
	})
}

func (s *traceDialog) leaveBare(c colour.RGB) {
	s.chosen = nil
	s.ask(func(how *job.Tracing) {
		forget(how, c)
		how.Bare = append(how.Bare, c)
	})
}

// apart has a colour stand for itself again.
func (s *traceDialog) apart(c colour.RGB) {
	s.chosen = nil
	ground := s.groundInk()
	s.ask(func(how *job.Tracing) {
		forget(how, c)
		if ground != nil && ground.Colour == c {
			how.BareGround, how.KeepGround = false, true
		}
	})
}

// forget takes back what was said of a colour.
func forget(how *job.Tracing, c colour.RGB) {
	how.Bare = slices.DeleteFunc(how.Bare, func(b colour.RGB) bool { return b == c })
	how.Joined = slices.DeleteFunc(how.Joined, func(k job.Joined) bool { return k.From == c })
}

func (s *traceDialog) groundInk() *trace.Ink {
	if s.result != nil {
		for i := range s.result.Inks {
			if s.result.Inks[i].Ground {
				return &s.result.Inks[i]
			}
		}
	}
	return nil
}
