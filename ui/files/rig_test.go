package files

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/session"
	"abut/internal/settle"
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
}

func newRig(t *testing.T) *rig {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	r := &rig{t: t, queue: make(chan func(), 1000)}
	r.win = test.NewTempWindow(t, canvas.NewRectangle(theme.Current().Board))
	r.win.SetPadded(false)
	r.win.Resize(fyne.NewSize(1024, 673))
	home := t.TempDir()
	t.Setenv("HOME", home)
	r.Host = &Host{
		Desk:    dialogs.NewDesk(r.win.Canvas(), func() {}),
		Session: session.New(func(f func()) { r.queue <- f }), Prefs: app.Preferences(), Home: home,
	}
	return r
}

// settle runs what background work hands over until nothing is going on.
func (r *rig) settle() {
	r.t.Helper()
	settle.All(r.t, r.queue, r.Session.Busy)
	r.win.Canvas().Capture() // lays out
}

// shown returns the visible widgets of a kind in the dialog on top.
func shown[T fyne.CanvasObject](r *rig) (out []T) {
	r.settle()
	for _, o := range test.LaidOutObjects(r.win.Canvas().Overlays().Top()) {
		if x, is := o.(T); is && o.Visible() {
			out = append(out, x)
		}
	}
	return out
}

// said reports whether a text is to be read.
func (r *rig) said(text string) bool {
	for _, p := range shown[*controls.Para](r) {
		if strings.Contains(p.Text(), text) {
			return true
		}
	}
	for _, l := range shown[*controls.Line](r) {
		if strings.Contains(l.Text(), text) {
			return true
		}
	}
	return false
}

func (r *rig) press(label string) *controls.Press {
	r.t.Helper()
	for _, p := range shown[*controls.Press](r) {
		if p.Label == label {
			return p
		}
	}
	r.t.Fatalf("no button %q", label)
	return nil
}

func (r *rig) path() *controls.Entry { return shown[*controls.Entry](r)[0] }

func (r *rig) key(names ...fyne.KeyName) {
	for _, name := range names {
		r.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: name})
	}
}

// tap presses the row of a file or folder.
func (r *rig) tap(name string) {
	r.t.Helper()
	d := fyne.CurrentApp().Driver()
	for _, l := range shown[*controls.Line](r) {
		if l.Text() != name {
			continue
		}
		at := d.AbsolutePositionForObject(l)
		for _, m := range shown[*controls.Mark](r) {
			top := d.AbsolutePositionForObject(m)
			if top.Y <= at.Y && at.Y < top.Y+m.Size().Height && top.X <= at.X && at.X < top.X+m.Size().Width {
				m.Tapped(nil)
				r.settle()
				return
			}
		}
	}
	r.t.Fatalf("no row %q", name)
}

const lighthouse = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><path d="M2 0h6v10H2z" fill="#c03020"/></svg>`

// fill writes files, folders by a separator at their end.
func (r *rig) fill(files ...string) {
	r.t.Helper()
	for _, name := range files {
		path := filepath.Join(r.Home, name)
		if strings.HasSuffix(name, "/") {
			if err := os.MkdirAll(path, 0o700); err != nil {
				r.t.Fatal(err)
			}
			continue
		}
		text := "?"
		if strings.HasSuffix(name, ".svg") {
			text = lighthouse
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			r.t.Fatal(err)
		}
	}
}
