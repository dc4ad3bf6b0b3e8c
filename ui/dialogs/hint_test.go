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
