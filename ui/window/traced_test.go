package window

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fyne.io/fyne/v2"

	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// pixels is a picture of three colours in a file.
func pixels(t *testing.T) string {
	t.Helper()
	img := image.NewNRGBA(image.Rect(0, 0, 60, 40))
	put := func(r image.Rectangle, c color.NRGBA) {
		draw.Draw(img, r, image.NewUniform(c), image.Point{}, draw.Src)
	}
	put(img.Rect, color.NRGBA{250, 220, 90, 255})
	put(image.Rect(10, 10, 30, 30), color.NRGBA{20, 80, 180, 255})
	put(image.Rect(30, 10, 50, 30), color.NRGBA{200, 30, 40, 255})
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "Buoy.png")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// A picture of pixels is asked about when it is opened, then its size; what was
// chosen can be chosen anew. Taking it as it is, or giving up, leaves what it became.
func TestTrace_IsAskedFirstAndAgain(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.Open(pixels(t))
	s.settle()
	first := s.desk.Top()
	if first == nil {
		t.Fatal("nothing is asked")
	}
	told := words.Count(s.planNow().NumPieces())
	if text := say("ui-trace-comes", "count", words.Count(3), "pieces", say("ui-pieces", "count", told)); !slices.ContainsFunc(overlay[*controls.Para](s), func(p *controls.Para) bool { return p.Text() == text }) {
		t.Errorf("what is cut is not told: %s", text)
	}
	s.desk.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	s.settle()
	if size := s.desk.Top(); size == nil || size == first {
		t.Error("the size is not asked")
	}
	s.desk.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	s.settle()
	if s.desk.Open() || len(s.session.Job().Items[0].Layers) != 3 || s.session.CanUndo() {
		t.Errorf("given up: %d layers", len(s.session.Job().Items[0].Layers))
	}
	s.run("trace")
	s.settle()
	if !s.desk.Open() {
		t.Fatal("it is not asked again")
	}
	s.desk.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s.settle()
	if s.desk.Open() || !s.session.CanUndo() || len(s.session.Job().Items[0].Layers) != 3 {
		t.Error("what was chosen is no step")
	}
}

// A file that a file manager copied is added.
func TestPaste_TakesFilesOfPictures(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	path := pixels(t)
	for text, want := range map[string]int{"file://" + path: 1, path + "\n": 1, "Buoy.png": 0, path + "\nhello": 0, filepath.Dir(path): 0} {
		if got := pathsIn(text); len(got) != want {
			t.Errorf("%q is %v", text, got)
		}
	}
	clipboard().SetContent("file://" + path)
	s.run("paste")
	s.settle()
	if n := len(s.session.Job().Items); n != 2 || !s.desk.Open() {
		t.Errorf("%d pictures; asked: %v", n, s.desk.Open())
	}
}

// A picture that a browser or the desktop copied is added as one in a file is, with or
// without a document; where there is none that is said.
func TestPaste_TakesPixels(t *testing.T) {
	for _, opened := range []bool{true, false} {
		s := newStage(t, usual, theme.AlwaysLight)
		if opened {
			s.demo("pair")
		}
		before := len(s.session.Job().Items)
		var file []byte
		s.options.Pixels = func(context.Context) ([]byte, error) { return file, nil }
		clipboard().SetContent("what else is copied")
		s.run("paste")
		s.settle()
		if n := len(s.session.Job().Items); n != before || !s.desk.Open() {
			t.Errorf("opened %v: nothing is no picture: %d, said %v", opened, n, s.desk.Open())
		}
		s.desk.Clear()
		file, _ = os.ReadFile(pixels(t))
		s.run("paste")
		s.settle()
		items := s.session.Job().Items
		if len(items) != before+1 || items[before].Pixels == nil || !s.desk.Open() {
			t.Errorf("opened %v: %d pictures, asked: %v", opened, len(items), s.desk.Open())
		}
	}
}
