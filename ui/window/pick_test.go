package window

import (
	"image"
	"image/color"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/ui/controls"
	"abut/ui/theme"
)

// A sheet's colour is taken from a photo of it.
func TestDrawer_TakesAColourFromAPhoto(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	img := image.NewNRGBA(image.Rect(0, 0, 300, 200))
	for y := range 200 {
		for x := range 300 {
			c := color.NRGBA{200, 40, 30, 255}
			if x >= 150 {
				c = color.NRGBA{30, 90, 160, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	file := filepath.Join(t.TempDir(), "sheet.png")
	save(t, file, img)
	s.sheets.Drawer()
	s.press(say("ui-drawer-add")).Tapped(nil)
	for _, p := range overlay[*controls.Press](s) {
		if p.Hint == say("ui-drawer-tint") {
			p.Tapped(nil)
			break
		}
	}
	s.press(say("pick-photo")).Tapped(nil)
	e := overlay[*controls.Entry](s)[0]
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
	test.Type(e, file)
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s.settle()
	if !s.press(say("ui-colour-set")).Disabled() {
		t.Error("a colour can be used before one was pointed at")
	}
	pictures := overlay[*canvas.Image](s)
	photo := pictures[len(pictures)-1]
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(photo)
	test.TapCanvas(s.win.Canvas(), at.AddXY(photo.Size().Width*3/4, photo.Size().Height/2))
	s.press(say("ui-colour-set")).Tapped(nil) // of the photo
	s.press(say("ui-colour-set")).Tapped(nil) // of the sheet
	if got := s.tints()[0]; got != (colour.RGB{R: 30, G: 90, B: 160}) {
		t.Errorf("%v", got)
	}
}

// The colours of one's own sheets come first, by their names.
func TestColour_OffersMySheetsFirst(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.withDrawer(mySheets)
	s.demo("pair")
	s.session.Select([]job.LayerID{3})
	s.ask.Colour()
	var first *controls.Press
	for _, p := range overlay[*controls.Press](s) {
		if p.Label == "" && p.Hint != "" {
			first = p
			break
		}
	}
	if first == nil || first.Hint != mySheets[0].Name {
		t.Fatalf("the first is %+v", first)
	}
	first.Tapped(nil)
	s.press(say("ui-colour-set")).Tapped(nil)
	s.settle()
	if l, _, _ := s.session.Job().Layer(3); l.Colour != mySheets[0].Pressed {
		t.Errorf("%v", l.Colour)
	}
}
