package dialogs

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"
	toolkit "fyne.io/fyne/v2/theme"

	"abut/internal/colour"
	"abut/ui/controls"
	"abut/ui/theme"
)

func newDesk(t *testing.T) (*Desk, fyne.Window, *int) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	w := test.NewTempWindow(t, container.NewStack())
	w.Resize(fyne.NewSize(900, 700))
	closed := 0
	return NewDesk(w.Canvas(), func() { closed++ }), w, &closed
}

// question is a dialog with everything in it that takes the keyboard.
func question(k *Desk, answer *string) (*Dialog, *controls.Entry) {
	d := k.New(420, "Name")
	e := controls.NewEntry("Puffin")
	d.Body.Add(e)
	d.Body.Add(container.NewVScroll(container.NewVBox(controls.NewCheck("Replace", nil), controls.NewSelect([]string{"a", "b"}, nil))))
	lines := controls.NewEntry("")
	lines.MultiLine = true
	d.Body.Add(lines)
	d.Body.Add(controls.NewSwatches([]colour.RGB{colour.White, {R: 200}}, nil, func(colour.RGB) {}, colour.RGB.String))
	d.Body.Add(controls.NewChoice(nil, "mm", "in"))
	d.Body.Add(controls.NewIconPress("delete", "Delete", func() {}))
	d.SetButtons(
		Button("Cancel", func() { *answer = "cancel"; d.Close() }),
		Button("Set", func() { *answer = "set:" + e.Text; d.Close() }))
	return d, e
}

// Who has scrolled down stays there when the dialog changes; what is out of sight can be brought into it.
func TestDialog_ScrollsOnlyWhereItIsAsked(t *testing.T) {
	k, _, _ := newDesk(t)
	d := k.New(420, "Long")
	for range 30 {
		d.Body.Add(container.NewStack(controls.NewEntry("Puffin")))
	}
	d.Show(nil)
	d.scroll.ScrollToBottom()
	before := d.scroll.Offset.Y
	d.Fit()
	if before == 0 || d.scroll.Offset.Y != before {
		t.Errorf("it was at %g and is at %g", before, d.scroll.Offset.Y)
	}
	first, last := d.Body.Objects[0].(*fyne.Container).Objects[0], d.Body.Objects[29]
	d.Reveal(last)
	if d.scroll.Offset.Y != before {
		t.Error("what is in sight moved")
	}
	d.Reveal(first)
	if d.scroll.Offset.Y != 0 {
		t.Errorf("the first is at 0, and seen is what begins at %g", d.scroll.Offset.Y)
	}
	d.Reveal(last)
	if d.scroll.Offset.Y != before {
		t.Errorf("the last is seen at %g, and seen is what begins at %g", before, d.scroll.Offset.Y)
	}
}

// The bar of what scrolls lies beside it: over an entry it hides where that ends.
func TestDialog_BarHidesNothing(t *testing.T) {
	k, _, _ := newDesk(t)
	d := k.New(420, "Long")
	for range 30 {
		d.Body.Add(controls.NewEntry("Puffin"))
	}
	d.Show(nil)
	scroll, scrolls := d.holder.Objects[0].(*container.Scroll)
	if !scrolls {
		t.Fatal("30 entries in a window 700 high do not scroll")
	}
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject
	free := at(scroll).X + scroll.Size().Width - at(d.Body).X - d.Body.Size().Width
	if bar := toolkit.Size(toolkit.SizeNameScrollBar); free < bar {
		t.Errorf("%g beside the body, and the bar is %g wide", free, bar)
	}
}

func TestDialog_EscapeAndEnterAnswerWhereverTheFocusIs(t *testing.T) {
	k, w, _ := newDesk(t)
	answer := ""
	places := map[fyne.Focusable]bool{}
	for n := 0; n < 14; n++ {
		for _, key := range []fyne.KeyName{fyne.KeyEscape, fyne.KeyReturn} {
			answer = ""
			d, e := question(k, &answer)
			d.Show(e)
			for range n {
				w.Canvas().(interface{ FocusNext() }).FocusNext()
			}
			f := w.Canvas().Focused()
			if f == nil {
				t.Fatalf("after %d steps nothing has the focus", n)
			}
			places[f] = true
			_, press := f.(*controls.Press) // Enter presses it
			if x, is := f.(*controls.Entry); is && x.MultiLine {
				press = true // Enter begins a line
			}
			if x, is := f.(fyne.Tabbable); is && x.AcceptsTab() {
				t.Errorf("Tab does not go on from %T", f)
			}
			f.TypedKey(&fyne.KeyEvent{Name: key})
			switch {
			case key == fyne.KeyEscape && answer != "cancel":
				t.Errorf("Escape on %T: %q", f, answer)
			case key == fyne.KeyReturn && !press && answer != "set:Puffin":
				t.Errorf("Enter on %T: %q", f, answer)
			}
			k.Clear()
		}
	}
	if len(places) < 10 {
		t.Errorf("only %d places had the focus", len(places))
	}
}

// What an entry holds when a dialog opens gives way to what is typed; where somebody put the cursor, one goes on typing.
func TestDialog_WhatIsTypedFirstTakesThePlaceOfWhatWasThere(t *testing.T) {
	k, _, _ := newDesk(t)
	for cursor, want := range map[int]string{0: "8", 3: "Puf8fin"} {
		answer := ""
		d, e := question(k, &answer)
		e.CursorColumn = cursor
		d.Show(e)
		test.Type(e, "8")
		if e.Text != want {
			t.Errorf("with the cursor at %d: %q, want %q", cursor, e.Text, want)
		}
		k.Clear()
	}
}

// A message that comes late lies over what is being typed, and leaves it as it
// was.
func TestDesk_ALateMessageLeavesWhatIsTyped(t *testing.T) {
	k, w, closed := newDesk(t)
	answer := ""
	d, e := question(k, &answer)
	d.Show(e)
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyHome})
	test.Type(e, "Old ")
	m := k.Message("Trouble", "warning", controls.Care, "The disk is full.", "", "OK")
	if k.Top() != m || !d.Shown() || *closed > 0 {
		t.Fatal("the message took the place of the question")
	}
	if !k.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape}) || k.Top() != d {
		t.Fatal("Escape did not close the message alone")
	}
	if e.Text != "Old Puffin" || w.Canvas().Focused() != e || answer != "" {
		t.Errorf("typed %q, focus %T, answer %q", e.Text, w.Canvas().Focused(), answer)
	}
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if answer != "set:Old Puffin" || k.Open() || *closed != 1 {
		t.Errorf("%q, open %v, closed %d", answer, k.Open(), *closed)
	}
	if k.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape}) {
		t.Error("a key went to a dialog that is not there")
	}
}

// The filled button is the one that goes on, never the one that gives up.
func TestDialog_CancelIsNeverFilled(t *testing.T) {
	k, _, _ := newDesk(t)
	answer := ""
	d, _ := question(k, &answer)
	if d.buttons[0].Next || !d.buttons[1].Next {
		t.Error("Cancel is filled, or nothing is")
	}
	d = k.New(300, "Base")
	d.SetCancel(Button("Cancel", d.Close))
	if d.buttons[0].Next {
		t.Error("a lone Cancel is filled")
	}
}

// The card keeps to the middle when the window's size changes, has round corners
// and lets nothing through.
func TestDialog_IsACardOverAScrim(t *testing.T) {
	k, w, _ := newDesk(t)
	answer := ""
	d, _ := question(k, &answer)
	d.Show(nil)
	r := test.WidgetRenderer(d.pop).(*overlayRenderer)
	for _, size := range []fyne.Size{{Width: 900, Height: 700}, {Width: 1100, Height: 640}} {
		w.Resize(size)
		room := w.Canvas().Size()
		middle := r.card.Position().AddXY(r.card.Size().Width/2, r.card.Size().Height/2)
		if r.scrim.Size() != room || middle != fyne.NewPos(room.Width/2, room.Height/2) || r.card.Size() != d.content.Size() {
			t.Errorf("in %v: scrim %v, middle %v, card %v, content %v", room, r.scrim.Size(), middle, r.card.Size(), d.content.Size())
		}
	}
	if r.card.CornerRadius != 10 || r.scrim.FillColor != theme.Light.Scrim || r.card.FillColor != theme.Light.Dialog {
		t.Errorf("%+v", r.card)
	}
	d.Close()
	if w.Canvas().Overlays().Top() != nil {
		t.Error("it is still there")
	}
}
