package window

import (
	"testing"

	"abut/internal/job"
	"abut/ui/theme"
)

// mixedArt has paper behind it, two gradients, and a see-through bar.
const mixedArt = `<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60">
<linearGradient id="g" x2="0" y2="1"><stop stop-color="#1f6f8b"/><stop offset="1" stop-color="#f2c14e"/></linearGradient>
<radialGradient id="r"><stop stop-color="#f7e08a"/><stop offset="1" stop-color="#c8553d"/></radialGradient>
<rect id="Paper" width="90" height="60" fill="#efe9dc"/>
<rect id="Sky" x="8" y="8" width="60" height="44" fill="url(#g)"/><circle id="Sun" cx="68" cy="22" r="12" fill="url(#r)"/>
<rect id="Glass" x="20" y="30" width="60" height="14" fill="#8e44ad" opacity=".5"/></svg>`

// Notes offer what can be chosen about mixed colours and a background; each
// choice is one step, and can be changed and undone.
func TestNotes_OfferWhatCanBeChosen(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(mixedArt)
	layersNow := func() int { return len(s.session.Job().LayerIDs()) }
	if n := layersNow(); n != 4 {
		t.Fatalf("%d layers", n)
	}
	s.tap(say("ui-choice-bands", "count", "4"))
	if n := layersNow(); n != 7 {
		t.Errorf("%d layers with four bands", n)
	}
	s.tap(say("ui-choice-bands", "count", "2"))
	if n := layersNow(); n != 5 {
		t.Errorf("%d layers with two bands", n)
	}
	s.tap(say("ui-choice-average"))
	if n := layersNow(); n != 4 {
		t.Errorf("%d layers with the mean colour", n)
	}
	sheets := len(s.planNow().Separations)
	s.tap(say("ui-choice-own"))
	if n := len(s.planNow().Separations); n >= sheets {
		t.Errorf("%d sheets without mixes, %d with them", n, sheets)
	}
	s.tap(say("ui-choice-mix"))
	if n := len(s.planNow().Separations); n != sheets {
		t.Errorf("%d sheets, %d before", n, sheets)
	}
	s.tap(say("ui-choice-leave-out"))
	if p := s.planNow(); len(p.LeftOut) != 1 || p.Extent.Width() > 75 || p.Background != 0 {
		t.Errorf("left out %v, %g mm wide", p.LeftOut, p.Extent.Width())
	}
	if s.inPanel(say("ui-choice-leave-out")) != nil {
		t.Error("there is more to leave out")
	}
	for range 6 {
		s.session.Undo()
	}
	s.settle()
	if l, _, _ := s.session.Job().Layer(1); s.session.CanUndo() || l.Use != job.Cut || layersNow() != 4 {
		t.Error("undoing each choice does not lead back")
	}
}

// The menu does the same for what is selected or, without a selection, for all.
func TestMenu_ChoosesBandsForTheSelectionOrAll(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(mixedArt)
	bands := func(n int) {
		s.run(bandID(n))
		s.settle()
	}
	bands(3) // of both gradients
	if n := len(s.session.Job().LayerIDs()); n != 8 {
		t.Errorf("%d layers", n)
	}
	if c := s.commands; !c.Get(bandID(3)).IsOn() || c.Get(bandID(1)).IsOn() || !c.Get(bandID(1)).Enabled() {
		t.Error("what is chosen is not marked")
	}
	s.session.Select([]job.LayerID{2})
	bands(2) // of the sky
	if n := len(s.session.Job().LayerIDs()); n != 7 || len(s.session.Selection()) != 2 {
		t.Errorf("%d layers, selected %v", n, s.session.Selection())
	}
	s.run("ui-choice-own")
	s.settle()
	if !s.commands.Get("ui-choice-own").IsOn() {
		t.Error("the see-through bar is not said to have its own colour")
	}
	s.svg(hairline)
	if s.commands.Get(bandID(2)).Enabled() || s.commands.Get("ui-choice-mix").Enabled() {
		t.Error("there is something to choose where nothing is mixed")
	}
}

// With ABUT_PICTURES set to a folder it keeps the window there to be looked at.
func TestNotes_Pictures(t *testing.T) {
	looks(t, "choices", func(s *stage, keep func(string)) {
		s.svg(mixedArt)
		s.tap(say("ui-choice-bands", "count", "4"))
		keep("bands")
	})
}
