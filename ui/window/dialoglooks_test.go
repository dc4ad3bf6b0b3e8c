package window

import (
	"image"
	"image/color"
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"

	"fyne.io/fyne/v2/test"

	"abut/assets"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/files"
	"abut/ui/theme"
)

// TestDialogPictures draws dialogs in both looks and both languages over the
// smallest window that is promised, to be looked at.
func TestDialogPictures(t *testing.T) {
	dir := os.Getenv("ABUT_PICTURES")
	if dir == "" {
		t.Skip("pictures are for looking at; set ABUT_PICTURES to a folder")
	}
	defer words.Use(words.English())
	was := controls.HintAfter
	controls.HintAfter = 0
	defer func() { controls.HintAfter = was }()
	for _, c := range []struct {
		mode theme.Mode
		lang string
	}{{theme.AlwaysLight, "en"}, {theme.AlwaysDark, "de"}} {
		words.Use(words.For(c.lang))
		s := newStage(t, fyne.NewSize(1024, 673), c.mode)
		keep := func(state string) {
			s.settle()
			s.look()
			s.settle()
			save(t, filepath.Join(dir, "dialog-"+state+"-"+c.lang+".png"), s.win.Canvas().Capture())
		}
		s.demo("pair")
		s.run("ui-add-text")
		s.settle()
		find(s.details.Object, say("ui-text-family", "font", "Go")).Tapped(nil)
		keep("fonts")
		s.desk.Clear()
		home := s.options.Home
		t.Setenv("HOME", home)
		for _, d := range assets.Demos() {
			if err := os.WriteFile(filepath.Join(home, d.Name+".svg"), d.SVG, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		for _, name := range []string{"Harbour mugs", "Downloads", "Pictures", "Tote bags for the museum shop at the lighthouse"} {
			if err := os.Mkdir(filepath.Join(home, name), 0o700); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.WriteFile(filepath.Join(home, "Puffin at noon.jpg"), nil, 0o600); err != nil {
			t.Fatal(err)
		}
		s.prefs.SetStringList("folders", []string{filepath.Join(home, "Harbour mugs"), filepath.Join(home, "Tote bags for the museum shop at the lighthouse")})
		s.askOpen()
		keep("open")
		test.Type(overlay[*controls.Entry](s)[0], "noon")
		s.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
		keep("open-not")
		s.desk.Clear()
		s.ask.SaveAs(func() {})
		keep("save")
		s.desk.Clear()
		s.files.Folder(home, func(string) {})
		test.Type(overlay[*controls.Entry](s)[0], "Christmas")
		keep("folder")
		s.desk.Clear()
		s.sheets.Drawer()
		keep("sheets-none")
		s.press(say("ui-drawer-start")).Tapped(nil)
		keep("sheets")
		for _, p := range overlay[*controls.Press](s) {
			if p.Hint == say("ui-drawer-tint") {
				p.MouseIn(nil)
				keep("sheets-hint")
				p.Tapped(nil)
				break
			}
		}
		keep("tint")
		photo := image.NewNRGBA(image.Rect(0, 0, 600, 400))
		for y := range 400 {
			for x := range 600 {
				photo.SetNRGBA(x, y, color.NRGBA{uint8(200 - x/6), uint8(40 + y/8), uint8(30 + x/8), 255})
			}
		}
		save(t, filepath.Join(home, "sheet.png"), photo)
		s.press(say("pick-photo")).Tapped(nil)
		test.Type(overlay[*controls.Entry](s)[0], "sheet.png")
		s.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		s.settle()
		s.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
		keep("photo")
		s.desk.Clear()
		s.withDrawer(mySheets)
		s.session.Select([]job.LayerID{3})
		s.ask.Colour()
		keep("colour")
		s.desk.Clear()
		s.knockOut()
		s.settle()
		s.sheets.Colours()
		keep("colours")
		s.desk.Clear()
		s.sheets.Fewer()
		keep("fewer")
		s.desk.Clear()
		s.sheets.MarkCut()
		keep("cut")
		s.desk.Clear()
		s.sheets.LayOut()
		test.Type(overlay[*controls.Entry](s)[0], "12")
		keep("layout")
		s.desk.Clear()
		s.ask.Press()
		keep("press")
		s.desk.Clear()
		s.ask.Export()
		s.desk.SetWork(&dialogs.Work{Text: say("ui-task-export"), Stop: func() {}})
		keep("export")
		s.desk.SetWork(nil)
		s.desk.Clear()
		s.session.Close()
		s.svg(nineSheets)
		s.knockOut()
		s.settle()
		s.sheets.Fewer()
		keep("fewer-nine")
		s.desk.Clear()
		s.files.Save(files.Lists, "My sheets.csv", func(string) {})
		keep("save-list")
		s.desk.Clear()
	}
}
