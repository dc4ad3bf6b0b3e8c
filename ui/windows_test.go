package ui

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/words"
	"abut/ui/theme"
	"abut/ui/window"
)

// The program ends with its last window, not before.
func TestWindows_EndTheProgramWithTheLast(t *testing.T) {
	all, ended := twoWindows(t)
	all.open[0].Close(nil)
	if len(all.open) != 1 || *ended != 0 {
		t.Fatalf("%d windows stay, ended %d times", len(all.open), *ended)
	}
	all.open[0].Close(nil)
	if len(all.open) != 0 || *ended != 1 {
		t.Fatalf("%d windows stay, ended %d times", len(all.open), *ended)
	}
}

// After a signal it ends once, when all windows have put everything down.
func TestWindows_EndTheProgramOnceAllAreParked(t *testing.T) {
	all, ended := twoWindows(t)
	all.park()
	if *ended != 1 {
		t.Errorf("ended %d times", *ended)
	}
}

func twoWindows(t *testing.T) (all *windows, ended *int) {
	app := test.NewTempApp(t)
	ended = new(int)
	all = &windows{app: app, end: func() { *ended++ }, options: window.Options{
		Deliver: func(func()) {}, PaintNow: true, Home: t.TempDir(), Prefs: app.Preferences(),
	}}
	all.add("one", "", nil)
	all.add("two", "", nil)
	return all, ended
}

// What is chosen in one window holds in all of them.
func TestWindows_ShareWhatIsChosen(t *testing.T) {
	app := test.NewTempApp(t)
	app.Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	queue := make(chan func(), 100)
	all := &windows{app: app, options: window.Options{
		Deliver: func(f func()) { queue <- f }, PaintNow: true, Home: t.TempDir(), Prefs: app.Preferences(),
	}}
	all.follow(app.Preferences())
	all.add("one", "", nil)
	all.add("two", "", nil)
	grid := words.Chosen().Say("board-grid", nil)
	var items []*fyne.MenuItem
	for _, w := range app.Driver().AllWindows() {
		if w.MainMenu() == nil {
			continue // the driver's own
		}
		for _, m := range w.MainMenu().Items {
			for _, i := range m.Items {
				if i.Label == grid {
					items = append(items, i)
				}
			}
		}
	}
	if len(items) != 2 || items[0].Checked || items[1].Checked {
		t.Fatalf("%d windows with %q in their menus", len(items), grid)
	}
	app.Preferences().SetBool("grid", true) // as the menu of either does
	for len(queue) > 0 {
		f := <-queue
		f()
	}
	if !items[0].Checked || !items[1].Checked {
		t.Errorf("the grid is on, but in the windows %v and %v", items[0].Checked, items[1].Checked)
	}
}
