package ask

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/assets"
	"abut/internal/colour"
	"abut/internal/fit"
	"abut/internal/session"
	"abut/internal/settle"
	"abut/internal/words"
	"abut/ui/command"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/theme"
)

// rig is the dialogs over an empty window on the headless driver; the test's
// goroutine is its event thread.
type rig struct {
	*Host
	t     *testing.T
	win   fyne.Window
	queue chan func()

	// What went back to the window.
	trouble  []error
	showsAll int
	scale    float64
}

// usual is a window's size.
var usual = fyne.NewSize(1200, 780)

func newRig(t *testing.T, size fyne.Size, mode theme.Mode) *rig {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(&theme.Theme{Mode: mode})
	t.Cleanup(func() {
		words.Use(words.English())
		theme.SetTextScale(1)
	})
	r := &rig{t: t, queue: make(chan func(), 100)}
	r.win = test.NewTempWindow(t, canvas.NewRectangle(theme.Current().Board))
	r.win.SetPadded(false)
	r.win.Resize(size)
	r.Host = &Host{
		Desk: dialogs.NewDesk(r.win.Canvas(), func() {}), Session: session.New(func(f func()) { r.queue <- f }), Prefs: app.Preferences(),
		Commands: new(command.Table), Home: t.TempDir(), Version: "0",
		Trouble:     func(err error) { r.trouble = append(r.trouble, err) },
		SetMode:     func(m theme.Mode) { app.Settings().SetTheme(&theme.Theme{Mode: m}) },
		Rebuild:     func() { r.Desk.Clear() },
		ShowAll:     func() { r.showsAll++ },
		ZoomToScale: func(scale float64) { r.scale = scale },
	}
	r.Recolour = func(c colour.RGB) { r.Session.Recolour(r.Session.Selection(), c) }
	r.Session.OnTrouble = r.Trouble
	return r
}

// settle runs what background work hands over until nothing is going on.
func (r *rig) settle() {
	r.t.Helper()
	settle.All(r.t, r.queue, r.Session.Busy)
}

// svg opens a picture.
func (r *rig) svg(text string) {
	r.t.Helper()
	r.Session.OpenSVG("art", strings.NewReader(text))
	r.settle()
}

// demo opens one of the program's own pictures.
func (r *rig) demo(id string) {
	r.t.Helper()
	for _, d := range assets.Demos() {
		if d.ID == id {
			r.Session.OpenSVG(say("demo-"+id), bytes.NewReader(d.SVG))
		}
	}
	r.settle()
}

func (r *rig) plan() *fit.Plan { p, _ := r.Session.Plan(); return p }

// overlay returns the widgets of a kind in the dialog on top.
func overlay[T fyne.CanvasObject](r *rig) []T {
	r.t.Helper()
	r.win.Canvas().Capture() // lays out
	top := r.win.Canvas().Overlays().Top()
	if top == nil {
		r.t.Fatal("there is no dialog")
	}
	var out []T
	for _, o := range test.LaidOutObjects(top) {
		if x, ok := o.(T); ok {
			out = append(out, x)
		}
	}
	return out
}

// press returns the button of a label in the dialog on top.
func (r *rig) press(label string) *controls.Press {
	r.t.Helper()
	p := r.find(label)
	if p == nil {
		r.t.Fatalf("no button %q", label)
	}
	return p
}

// find is press, nil where there is none.
func (r *rig) find(label string) *controls.Press {
	r.t.Helper()
	for _, p := range overlay[*controls.Press](r) {
		if p.Label == label {
			return p
		}
	}
	return nil
}

// tap presses what is labelled so.
func (r *rig) tap(label string) { r.t.Helper(); r.press(label).Tapped(nil) }

// key gives a key to what has the focus.
func (r *rig) key(names ...fyne.KeyName) {
	r.t.Helper()
	for _, name := range names {
		k := &fyne.KeyEvent{Name: name}
		if f := r.win.Canvas().Focused(); f != nil {
			f.TypedKey(k)
		} else {
			r.Desk.TypedKey(k)
		}
	}
}

// typed types into what has the focus.
func (r *rig) typed(text string) {
	r.t.Helper()
	f := r.win.Canvas().Focused()
	if f == nil {
		r.t.Fatal("nothing has the focus")
	}
	for _, c := range text {
		f.TypedRune(c)
	}
}

// said reports whether a text is to be read in the dialog on top.
func (r *rig) said(text string) bool {
	r.t.Helper()
	for _, p := range overlay[*controls.Para](r) {
		if p.Visible() && strings.Contains(p.Text(), text) {
			return true
		}
	}
	for _, l := range overlay[*controls.Line](r) {
		if l.Visible() && strings.Contains(l.Text(), text) {
			return true
		}
	}
	return false
}

// looks draws dialogs at two sizes, in both looks and both languages, to be
// looked at: with ABUT_PICTURES set to a folder it keeps them there.
func looks(t *testing.T, part string, draw func(r *rig, keep func(state string))) {
	t.Helper()
	dir := os.Getenv("ABUT_PICTURES")
	if dir == "" {
		t.Skip("pictures are for looking at; set ABUT_PICTURES to a folder")
	}
	for _, c := range []struct {
		name string
		size fyne.Size
		mode theme.Mode
		lang string
	}{
		{"1024", fyne.NewSize(1024, 673), theme.AlwaysLight, "en"}, {"1024", fyne.NewSize(1024, 673), theme.AlwaysDark, "de"},
		{"1440", fyne.NewSize(1440, 873), theme.AlwaysDark, "en"}, {"1440", fyne.NewSize(1440, 873), theme.AlwaysLight, "de"},
	} {
		r := newRig(t, c.size, c.mode)
		words.Use(words.For(c.lang))
		draw(r, func(state string) {
			r.settle()
			r.win.Canvas().Capture() // lays out
			r.settle()
			savePicture(t, filepath.Join(dir, fmt.Sprintf("%s-%s-%s-%s-%s.png", part, state, c.name, c.mode, c.lang)), r.win.Canvas().Capture())
		})
		words.Use(words.English())
	}
}

func savePicture(t *testing.T, name string, img image.Image) {
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
