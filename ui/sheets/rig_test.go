package sheets

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/colour"
	"abut/internal/drawer"
	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/settle"
	"abut/internal/words"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/dialogs"
	"abut/ui/files"
	"abut/ui/pick"
	"abut/ui/theme"
)

// rig is the dialogs over an empty window on the headless driver; the test's goroutine is its event thread.
type rig struct {
	*Host
	t       *testing.T
	win     fyne.Window
	queue   chan func()
	trouble []error
}

func newRig(t *testing.T) *rig {
	t.Helper()
	app := test.NewTempApp(t)
	app.Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	r := &rig{t: t, queue: make(chan func(), 1000)}
	r.win = test.NewTempWindow(t, canvas.NewRectangle(theme.Current().Board))
	r.win.SetPadded(false)
	r.win.Resize(fyne.NewSize(1200, 780))
	desk, s := dialogs.NewDesk(r.win.Canvas(), func() {}), session.New(func(f func()) { r.queue <- f })
	trouble := func(err error) { r.trouble = append(r.trouble, err) }
	r.Host = &Host{
		Desk: desk, Session: s, Trouble: trouble, Care: func() workshop.WriteOptions { return workshop.WriteOptions{} },
		Files: &files.Host{Desk: desk, Session: s, Prefs: app.Preferences(), Home: t.TempDir()},
		Pick:  &pick.Host{Desk: desk},
	}
	s.OnTrouble = trouble
	return r
}

// settle runs what background work hands over until nothing is going on.
func (r *rig) settle() {
	r.t.Helper()
	settle.All(r.t, r.queue, r.Session.Busy)
}

// shades are two reds and two blues side by side, and a cream that is nearly white.
const shades = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect width="20" height="40" fill="#d03020"/><rect x="20" width="5" height="40" fill="#d83828"/>
<rect x="25" width="20" height="40" fill="#2040c0"/><rect x="45" width="5" height="40" fill="#2848c8"/>
<rect x="50" width="10" height="40" fill="#faf6ee"/></svg>`

// svg opens a picture of which nothing stacks.
func (r *rig) svg(text string) {
	r.t.Helper()
	r.Session.OpenSVG("art", strings.NewReader(text))
	r.settle()
	if err := r.Session.Do("knock", job.KnockOutAll); err != nil {
		r.t.Fatal(err)
	}
	r.settle()
}

func (r *rig) drawer(sheets ...drawer.Sheet) {
	r.t.Helper()
	if err := r.Session.SetDrawer(sheets); err != nil {
		r.t.Fatal(err)
	}
}

func (r *rig) plan() *fit.Plan { p, _ := r.Session.Plan(); return p }

// steps is how many steps there are.
func (r *rig) steps() int { all, _ := r.Session.Steps(); return len(all) }

// shown returns the visible widgets of a kind in the dialog on top.
func shown[T fyne.CanvasObject](r *rig) (out []T) {
	r.t.Helper()
	r.settle()
	top := r.win.Canvas().Overlays().Top()
	if top == nil {
		r.t.Fatal("there is no dialog")
	}
	test.LaidOutObjects(top) // lays out
	walk(top, func(o fyne.CanvasObject) {
		if x, is := o.(T); is {
			out = append(out, x)
		}
	})
	return out
}

// walk calls f for what can be seen of an object.
func walk(o fyne.CanvasObject, f func(fyne.CanvasObject)) {
	if !o.Visible() {
		return
	}
	f(o)
	var inside []fyne.CanvasObject
	switch o := o.(type) {
	case *fyne.Container:
		inside = o.Objects
	case fyne.Widget:
		inside = test.WidgetRenderer(o).Objects()
	}
	for _, x := range inside {
		walk(x, f)
	}
}

// press returns the button of a label in the dialog on top.
func (r *rig) press(id string) *controls.Press {
	r.t.Helper()
	label := words.Say(id)
	for _, p := range shown[*controls.Press](r) {
		if p.Label == label {
			return p
		}
	}
	r.t.Fatalf("no button %q", label)
	return nil
}

// tap presses a button.
func (r *rig) tap(id string) {
	r.t.Helper()
	p := r.press(id)
	if p.Disabled() {
		r.t.Fatalf("%q cannot be pressed", p.Label)
	}
	p.Tapped(nil)
	r.settle()
}

// said is all that is to be read in the dialog on top.
func (r *rig) said() string {
	r.t.Helper()
	var all []string
	for _, p := range shown[*controls.Para](r) {
		all = append(all, p.Text())
	}
	for _, l := range shown[*controls.Line](r) {
		all = append(all, l.Text())
	}
	return strings.Join(all, "\n")
}

// tells reports whether a sentence is to be read.
func (r *rig) tells(id string, pairs ...any) bool {
	r.t.Helper()
	return strings.Contains(r.said(), words.Say(id, pairs...))
}

func rgb(r, g, b uint8) colour.RGB { return colour.RGB{R: r, G: g, B: b} }
