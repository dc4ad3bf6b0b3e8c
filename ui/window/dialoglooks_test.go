package window

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"

	"abut/internal/words"
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
	for _, c := range []struct {
		mode theme.Mode
		lang string
	}{{theme.AlwaysLight, "en"}, {theme.AlwaysDark, "de"}} {
		words.Use(words.For(c.lang))
		s := newStage(t, fyne.NewSize(1024, 673), c.mode)
		keep := func(state string) {
			s.settle()
			s.win.Canvas().Capture() // lays out
			s.settle()
			save(t, filepath.Join(dir, "dialog-"+state+"-"+c.lang+".png"), s.win.Canvas().Capture())
		}
		s.demo("pair")
		s.run("ui-add-text")
		s.settle()
		find(s.details.Object, say("ui-text-family", "font", "Go")).Tapped(nil)
		keep("fonts")
		s.desk.Clear()
	}
}
