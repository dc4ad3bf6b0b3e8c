package show

import (
	"context"
	"strconv"

	"abut/internal/fit"
	"abut/internal/fit/assemble"
	"abut/internal/job"
	"abut/internal/message"
)

// Make makes the lesson of a job; steps that do not apply to it are left out. cache may
// know its plan. The job is not changed. Errors as fit.Compute.
func Make(ctx context.Context, cache *fit.Cache, j job.Job) (*Show, error) {
	a, err := newArt(ctx, cache, j)
	if err != nil {
		return nil, err
	}
	s := &Show{art: a}
	if len(a.cut) == 0 {
		return s, nil
	}
	s.fails()
	s.fits()
	s.makes()
	return s, nil
}

// add appends a step; values are pairs of a placeholder's name and what fills it.
func (s *Show) add(id, sentence string, seconds float64, draw func(*drawing), values ...any) *Step {
	v := map[string]any{}
	for i := 0; i+1 < len(values); i += 2 {
		v[values[i].(string)] = values[i+1]
	}
	s.Steps = append(s.Steps, Step{
		ID: id, Sentence: message.Message{ID: sentence, Values: v}, Notes: message.Message{ID: sentence + "-notes", Values: v},
		Seconds: seconds, Telling: 1, draw: draw,
	})
	return &s.Steps[len(s.Steps)-1]
}

// fails are the steps on the picture as drawn.
func (s *Show) fails() {
	a := s.art
	s.add("picture", "class-picture", 0, a.picture, "count", message.Count(len(a.cut)))
	if a.stacked == nil {
		return
	}
	s.add("apart", "class-apart", 3, a.apart())
	s.add("pressed", "class-pressed", 3.5, a.pressed())
	places := message.Count(a.places)
	s.add("ask", "class-ask", 0, a.picture).Ask = WhichStack
	s.add("where", "class-where", 0.2, a.where(), "count", places)
	for i := range a.knocks {
		k := &a.knocks[i]
		id, more := "class-knock", a.lifts-i-1
		if i == maxKnocks-1 && more > 0 {
			id = "class-knock-more"
		}
		s.add("knock-"+strconv.Itoa(i+1), id, 4, a.lift(k),
			"upper", a.colourOf(k.of).name, "lower", a.colourOf(k.beneath[0]).name, "count", message.Count(more)).Telling = 0.6
	}
	s.add("what-if", "class-what-if", 0, a.picture).Ask = WhatIf
}

// fits are the steps on how pieces lie side by side.
func (s *Show) fits() {
	a := s.art
	if a.seam != nil {
		s.add("edges", "class-edges", 2.5, a.edges())
	}
	switch {
	case len(a.weak.mended) > 0:
		s.add("fine", "class-mended", 3, a.fine(), "count", message.Count(len(a.weak.mended)))
	case len(a.weak.open) > 0:
		s.add("fine", "class-fine", 1.5, a.fine(), "count", message.Count(len(a.weak.open)))
	}
	if a.frame != nil {
		s.add("frame", "class-frame", 2.5, a.framed(), "name", a.cut[0].name)
	}
}

// maxLays is how many sheets are laid step by step; the rest come in one.
const maxLays = 6

// makes are the steps of the work by hand.
func (s *Show) makes() {
	a := s.art
	s.add("mirror", "class-mirror", 3, a.turned()).Telling = 0.35
	s.add("sheets", "class-sheets", 2+0.5*float64(min(len(a.cut), maxSheets)), a.peeled(), "count", message.Count(len(a.cut))).Telling = 0.6
	for i := range a.cut {
		id, last := "class-lay-film", i
		switch {
		case i == maxLays-1 && len(a.cut) > maxLays:
			id, last = "class-lay-rest", len(a.cut)-1
		case a.cut[i].carry == assemble.Stays:
			id = "class-lay-stays"
		case a.cut[i].carry == assemble.ByHand:
			id = "class-lay-hand"
		}
		if len(a.cut) == 1 {
			break // nothing else is laid on it
		}
		seconds := 2.5
		if i == 0 {
			seconds = 0
		}
		s.add("lay-"+strconv.Itoa(i+1), id, seconds+float64(last-i)*0.6, a.laid(i, last),
			"name", a.cut[i].name, "number", i+1, "last", last+1, "count", message.Count(len(a.cut[i].pieces)))
		if last > i {
			break
		}
	}
	s.add("press", "class-press", 2.5, a.press())
	s.add("done", "class-done", 2.5, a.done())
}
