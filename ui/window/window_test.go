package window

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"abut/assets"
	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/session"
	"abut/internal/settle"
	"abut/internal/workshop"
	"abut/ui/board"
	"abut/ui/paint"
	"abut/ui/prefs"
	"abut/ui/theme"
)

// stage is a window on the headless driver; the test's goroutine is its event
// thread.
type stage struct {
	*Window
	t     *testing.T
	win   fyne.Window
	queue chan func()
}

// program is the toolkit's app of all tests: with a new one every word is measured
// anew, by fonts that are read anew.
var program = sync.OnceValue(test.NewApp)

// use has what comes next drawn in a look, with nothing on the clipboard.
func use(mode theme.Mode) {
	app := program()
	if t, is := app.Settings().Theme().(*theme.Theme); !is || t.Mode != mode {
		app.Settings().SetTheme(&theme.Theme{Mode: mode})
	}
	app.Clipboard().SetContent("")
}

func newStage(t *testing.T, size fyne.Size, mode theme.Mode) *stage {
	t.Helper()
	return stageWith(t, size, mode, "")
}

// stageWith is newStage with a file that the window is opened with.
func stageWith(t *testing.T, size fyne.Size, mode theme.Mode, file string) *stage {
	t.Helper()
	return stageKeeping(t, size, mode, file, "")
}

// stageKeeping is stageWith with a folder for work that is not saved.
func stageKeeping(t *testing.T, size fyne.Size, mode theme.Mode, file, state string) *stage {
	t.Helper()
	use(mode)
	store, err := prefs.Open("") // kept nowhere
	if err != nil {
		t.Fatal(err)
	}
	s := &stage{t: t, queue: make(chan func(), 100)}
	s.win = test.NewWindow(nil)
	t.Cleanup(func() {
		if slices.Contains(fyne.CurrentApp().Driver().AllWindows(), s.win) { // a test may have closed it
			s.win.Close()
		}
	})
	s.Window = New(s.win, Options{
		Deliver: func(f func()) { s.queue <- f }, PaintNow: true, Home: t.TempDir(), Version: "0",
		Prefs: store, File: file, State: state,
	}, nil)
	s.win.Resize(size)
	test.NewCanvas().Capture() // while it paints, the toolkit lets go of windows that were closed
	return s
}

// settle runs what background work hands over until nothing is going on.
func (s *stage) settle() {
	s.t.Helper()
	settle.All(s.t, s.queue, s.session.Busy)
}

// run runs a command as its menu entry would.
func (s *stage) run(id string) { s.commands.Run(id) }

func (s *stage) demo(id string) {
	s.t.Helper()
	for _, d := range assets.Demos() {
		if d.ID == id {
			s.openDemo(d)
		}
	}
	s.settle()
	s.look() // gives the board its size
	s.settle()
}

// look does what painting does to all that is to be seen: widgets make what they
// draw, pictures are asked for at their size. It puts no pixels together, which is
// most of the work of painting.
func (s *stage) look() { look(s.win.Canvas()) }

func look(c fyne.Canvas) {
	for _, o := range append([]fyne.CanvasObject{c.Content()}, c.Overlays().List()...) {
		lookAt(c, o)
	}
}

func lookAt(c fyne.Canvas, o fyne.CanvasObject) {
	if !o.Visible() {
		return
	}
	var inside []fyne.CanvasObject
	switch o := o.(type) {
	case *fyne.Container:
		inside = o.Objects
	case fyne.Widget:
		inside = test.WidgetRenderer(o).Objects()
	case *canvas.Raster:
		if w, h := c.PixelCoordinateForPosition(fyne.Position{}.Add(o.Size())); w > 0 && h > 0 {
			o.Generator(w, h)
		}
	}
	for _, x := range inside {
		lookAt(c, x)
	}
}

// hover rests the pointer on a place on the board, in millimetres of the art.
func (s *stage) hover(x, y float64) {
	s.board.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: s.board.PositionOf(geometry.Pt(x, y))}})
}

// red counts the pixels on screen that say that colours stack.
func (s *stage) red() int {
	img := s.win.Canvas().Capture()
	n := 0
	r := img.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			c := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
			if c.R == paint.StackedColour.R && c.G == paint.StackedColour.G && c.B == paint.StackedColour.B {
				n++
			}
		}
	}
	return n
}

// TestPictures draws every state of the window at three sizes in both themes.
// With ABUT_PICTURES set to a folder it keeps them there to be looked at.
func TestPictures(t *testing.T) {
	dir := os.Getenv("ABUT_PICTURES")
	if dir == "" && testing.Short() {
		t.Skip("pictures are for looking at; set ABUT_PICTURES to a folder")
	}
	for _, size := range []struct {
		name  string
		size  fyne.Size
		scale float32
	}{{"1024x700", fyne.NewSize(1024, 673), 1}, {"1440x900", fyne.NewSize(1440, 873), 1}, {"2x", fyne.NewSize(1200, 750), 2}} {
		for _, mode := range []theme.Mode{theme.AlwaysLight, theme.AlwaysDark} {
			s := newStage(t, size.size, mode)
			if size.scale != 1 {
				s.win.Canvas().(interface{ SetScale(float32) }).SetScale(size.scale)
			}
			keep := func(state string) {
				t.Helper()
				s.settle()
				s.look()
				c := s.win.Canvas()
				if w, h := c.PixelCoordinateForPosition(fyne.Position{}.Add(c.Size())); w != int(size.size.Width*size.scale) {
					t.Errorf("%s has %d × %d pixels", state, w, h)
				}
				if dir != "" {
					save(t, filepath.Join(dir, fmt.Sprintf("%s-%s-%s.png", size.name, mode, state)), c.Capture())
				}
			}
			keep("1-start")
			here := filepath.Join(t.TempDir(), "Harbour mug.abut")
			if err := os.WriteFile(here, nil, 0o600); err != nil {
				t.Fatal(err)
			}
			s.start.SetRecent([]string{here, filepath.Join(t.TempDir(), "Little boat for the tote bag.svg"), here})
			s.start.SetLost([]session.Lost{{Name: "Harbour mug", Time: time.Date(2026, 3, 4, 17, 5, 0, 0, time.Local)}})
			keep("1-start-lost")
			s.start.SetLost(nil)
			s.demo("pair")
			s.session.Select([]job.LayerID{3})
			keep("2-pair-stacked")
			s.knockOut()
			s.settle()
			keep("3-pair-ready")
			s.session.Close()
			s.demo("rich")
			keep("4-rich-stacked")
			s.knockOut()
			s.settle()
			s.showView(board.Fitted)
			keep("5-rich-fitted")
			s.hover(70, 45)
			keep("5-rich-piece")
			s.board.MouseOut()
			s.showView(board.Sheets)
			keep("5-rich-sheets")
			s.showView(board.Fitted)
			s.run("compare")
			keep("5-rich-compared")
			s.showView(board.Assembly)
			keep("5-rich-assembly")
			s.showView(board.Art)
			keep("6-rich-ready")
			s.ask.Export()
			keep("7-rich-export")
			s.desk.Clear()
			s.ask.Size()
			keep("8-size")
			s.desk.Clear()
			s.ask.Keys()
			keep("8-keys")
			s.desk.Clear()
			s.ask.History()
			keep("8-steps")
			s.desk.Clear()
			s.ask.About()
			keep("8-about")
			s.desk.Clear()
			s.ask.Blank()
			s.press(say("ui-blank-round-coaster")).Tapped(nil)
			keep("8-blank")
			s.press(say("ui-blank-use")).Tapped(nil)
			keep("8-blank-coaster")
			s.do("ui-step-blank", func(j job.Job) (job.Job, error) { return job.SetBlank(j, &colour.RGB{R: 0xcf, G: 0xe3, B: 0xf1}) })
			keep("8-blank-tinted")
			s.run("undo")
			s.run("undo")
			s.trouble(&workshop.Error{Message: message.Message{ID: "import-not-svg"}})
			keep("9-trouble")
			s.desk.Clear()
			s.verdict.Work(&session.Task{What: message.Message{ID: "ui-task-open", Args: map[string]string{"file": "harbour.svg"}}}, s.state)
			keep("10-working")
			s.verdict.Work(nil, s.state)
		}
	}
}

func save(t *testing.T, name string, img image.Image) {
	t.Helper()
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
}

// looks draws a part of the window at two sizes in both themes, to be looked at.
func looks(t *testing.T, part string, draw func(s *stage, keep func(state string))) {
	t.Helper()
	dir := os.Getenv("ABUT_PICTURES")
	if dir == "" {
		t.Skip("pictures are for looking at; set ABUT_PICTURES to a folder")
	}
	for _, size := range []struct {
		name string
		size fyne.Size
	}{{"1024x700", fyne.NewSize(1024, 673)}, {"1440x900", fyne.NewSize(1440, 873)}} {
		for _, mode := range []theme.Mode{theme.AlwaysLight, theme.AlwaysDark} {
			s := newStage(t, size.size, mode)
			draw(s, func(state string) {
				s.settle()
				s.look()
				s.settle()
				save(t, filepath.Join(dir, size.name+"-"+string(mode)+"-"+part+"-"+state+".png"), s.win.Canvas().Capture())
			})
		}
	}
}

// A window that is opened with a file shows that next, or the page before any art where it
// cannot be opened; not that page first.
func TestWindow_OpenedWithAFileGoesStraightToIt(t *testing.T) {
	file := filepath.Join(t.TempDir(), "art.svg")
	if err := os.WriteFile(file, []byte(hairline), 0o600); err != nil {
		t.Fatal(err)
	}
	s := stageWith(t, usual, theme.AlwaysLight, file)
	if s.start != nil || s.panels.Visible() {
		t.Error("something is shown while the file is read")
	}
	s.settle()
	if s.start != nil || !s.panels.Visible() || s.blank {
		t.Error("the picture is not shown")
	}
	s = stageWith(t, usual, theme.AlwaysLight, file+".gone")
	s.settle()
	if s.start == nil || !s.start.Object.Visible() || s.panels.Visible() || !s.desk.Open() {
		t.Errorf("start %t, panels %t, said %t", s.start != nil, s.panels.Visible(), s.desk.Open())
	}
}
