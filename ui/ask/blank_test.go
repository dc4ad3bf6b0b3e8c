package ask

import (
	"testing"

	"abut/internal/job"
	"abut/ui/controls"
	"abut/ui/entry"
	"abut/ui/theme"
)

func TestBlank_ChosenIsAStepAndShown(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	r.Blank()
	r.tap(say("ui-blank-pocket"))
	r.tap(say("ui-blank-use"))
	r.settle()
	b := r.Session.Job().Settings.BlankShape
	if b == nil || b.Name != "Pocket" || b.At != r.plan().Extent.Centre() {
		t.Fatalf("%+v", b)
	}
	if r.showsAll != 1 || r.Session.UndoLabel() != "ui-step-blank" || r.Desk.Open() {
		t.Errorf("shown %d times, %q", r.showsAll, r.Session.UndoLabel())
	}
	r.Session.Undo()
	if r.Session.Job().Settings.BlankShape != nil {
		t.Error("undo leaves the blank")
	}
}

// A bag that is larger and called otherwise is a bag, also once it is one of one's own.
func TestBlank_StaysTheThingItWas(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	product := func() job.Product {
		r.press(say("ui-blank-use")).Tapped(nil)
		r.settle()
		return r.Session.Job().Settings.BlankShape.Product
	}
	r.Blank()
	r.tap(say("ui-blank-tote"))
	overlay[*controls.Entry](r)[0].SetText("Gym bag")
	overlay[*entry.Length](r)[0].SetText("320")
	r.press(say("ui-blank-keep")).Tapped(nil)
	if p := product(); p != job.Tote {
		t.Errorf("%d", p)
	}
	r.Blank() // as the job has it, and used again
	if p := product(); p != job.Tote {
		t.Errorf("%d, used again", p)
	}
	r.Blank()
	r.tap(say("ui-blank-tile"))
	if p := product(); p != job.AnyProduct {
		t.Errorf("a tile is %d", p)
	}
	r.Blank()
	r.tap("Gym bag")
	if p := product(); p != job.Tote {
		t.Errorf("%d, from the list", p)
	}
}

// What is typed about a usual blank is there the next time, and one can have
// blanks of one's own.
func TestBlank_LibraryIsEditedAndKept(t *testing.T) {
	r := newRig(t, usual, theme.AlwaysLight)
	r.demo("pair")
	entries := func() []*entry.Length { return overlay[*entry.Length](r) }
	r.Blank()
	r.press(say("ui-blank-tile")).Tapped(nil)
	entries()[0].SetText("108")
	r.press(say("ui-blank-use")).Tapped(nil)
	r.settle()
	if b := r.Session.Job().Settings.BlankShape; b == nil || b.WidthMM != 108 || b.Name != "Tile" {
		t.Fatalf("%+v", b)
	}
	r.Blank()
	r.press(say("ui-blank-mug")).Tapped(nil)
	r.press(say("ui-blank-tile")).Tapped(nil)
	if got := entries()[0].Text; got != "108" {
		t.Errorf("the tile is %s mm wide the next time", got)
	}
	// An own one: not under the name of a usual one.
	name := overlay[*controls.Entry](r)[0]
	r.press(say("ui-blank-keep")).Tapped(nil)
	if len(r.ownBlanks()) != 0 {
		t.Error("a second tile")
	}
	name.SetText(" Lamp shade ")
	entries()[0].SetText("420")
	entries()[1].SetText("0")
	r.press(say("ui-blank-keep")).Tapped(nil)
	if len(r.ownBlanks()) != 0 {
		t.Error("a blank without a height is kept")
	}
	entries()[1].SetText("180")
	r.press(say("ui-blank-keep")).Tapped(nil)
	r.press(say("ui-cancel")).Tapped(nil)
	if own := r.ownBlanks(); len(own) != 1 || own[0].Name != "Lamp shade" || own[0].WidthMM != 420 || own[0].HeightMM != 180 {
		t.Fatalf("%+v", own)
	}
	r.Blank()
	r.press("Lamp shade").Tapped(nil)
	if r.press(say("ui-blank-forget")).Disabled() {
		t.Error("an own one cannot be forgotten")
	}
	r.press(say("ui-blank-use")).Tapped(nil)
	r.settle()
	if b := r.Session.Job().Settings.BlankShape; b == nil || b.Name != "Lamp shade" || b.WidthMM != 420 {
		t.Errorf("%+v", b)
	}
	// It can be filled when art comes without a size.
	r.Size()
	r.press("Lamp shade")
	r.Desk.Clear()
	r.Blank()
	r.press(say("ui-blank-forget")).Tapped(nil)
	if len(r.ownBlanks()) != 0 || r.find("Lamp shade") != nil {
		t.Error("it is not forgotten")
	}
}
