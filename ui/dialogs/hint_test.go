package dialogs

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"abut/ui/controls"
)

// What an icon in a dialog does is said over the dialog: hints of the window lie
// beneath it, and so do those of the dialogs below.
func TestDialog_SaysWhatItsIconsDo(t *testing.T) {
	k, w, _ := newDesk(t)
	behind := controls.NewHints()
	w.SetContent(container.NewStack(behind.Layer()))
	behind.Use()
	defer behind.Drop()
	was := controls.HintAfter
	controls.HintAfter = 0
	defer func() { controls.HintAfter = was }()
	for depth := 1; depth <= 2; depth++ {
		d := k.New(420, "Sheets")
		p := controls.NewIconPress("delete", "Remove the sheet", func() {})
		d.Body.Add(p)
		d.SetButtons(Button("Done", d.Close))
		d.Show(nil)
		w.Canvas().Capture() // lays out
		p.MouseIn(nil)
		over := test.LaidOutObjects(w.Canvas().Overlays().Top())
		said := false
		for _, o := range over {
			if x, is := o.(*controls.Para); is && o.Visible() && x.Text() == "Remove the sheet" {
				at := fyne.CurrentApp().Driver().AbsolutePositionForObject(o)
				said = at.X > 0 && at.Y > 0 && at.X+x.Size().Width < w.Canvas().Size().Width
			}
		}
		if !said {
			t.Errorf("dialog %d: the hint is not to be seen over it", depth)
		}
	}
	k.Clear()
}

// A hint does not stay where it was said when what it is about is scrolled away.
func TestHints_GoWhenWhatTheyAreAboutIsScrolledAway(t *testing.T) {
	_, w, _ := newDesk(t)
	hints := controls.NewHints()
	was := controls.HintAfter
	controls.HintAfter = 0
	defer func() { controls.HintAfter = was }()
	p := controls.NewIconPress("delete", "Remove the sheet", func() {})
	high := controls.NewFramed("", "High", "", func() {})
	high.Height = 2000
	scroll := controls.NewScroll(container.NewVBox(p, high))
	w.SetContent(container.NewStack(scroll, hints.Layer()))
	hints.Use()
	defer hints.Drop()
	w.Canvas().Capture() // lays out
	said := func() bool {
		for _, o := range test.LaidOutObjects(w.Content()) {
			if x, is := o.(*controls.Para); is && o.Visible() && x.Text() == p.Hint {
				return true
			}
		}
		return false
	}
	p.MouseIn(nil)
	if !said() {
		t.Fatal("nothing is said")
	}
	scroll.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -300)})
	if scroll.Offset.Y == 0 || said() {
		t.Errorf("scrolled by %g, the hint stays: %v", scroll.Offset.Y, said())
	}
}
