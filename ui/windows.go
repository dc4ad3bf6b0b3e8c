package ui

import (
	"slices"

	"fyne.io/fyne/v2"

	"abut/ui/window"
)

// windows are those that are open: each has a document, a history and kept work
// of its own. They share preferences and the drawer. Closing the last one ends
// the program.
type windows struct {
	app     fyne.App
	options window.Options
	open    []*window.Window
	// end ends the program.
	end func()
	// lettered returns once the type is at hand that windows are set in; nil where it is.
	lettered func()
}

// park puts everything down in all windows, and ends the program.
func (all *windows) park() {
	left := len(all.open)
	for _, w := range all.open {
		w.Park(func() {
			if left--; left == 0 {
				all.end()
			}
		})
	}
}

// follow brings all windows up to what is chosen in one of them.
func (all *windows) follow(prefs fyne.Preferences) {
	prefs.AddChangeListener(func() {
		all.options.Deliver(func() {
			for _, w := range all.open {
				w.TakePreferences()
			}
		})
	})
}

// lookForChanges looks in all windows whether another program has changed their pictures.
func (all *windows) lookForChanges() {
	for _, w := range all.open {
		w.LookForChanges()
	}
}

// add opens a window, with the file in it if it is not empty. ready is called
// once its first picture is on screen.
func (all *windows) add(title, file string, ready func()) {
	win := all.app.NewWindow(title)
	win.Resize(window.Size(all.options.Prefs))
	o := all.options
	o.File = file
	var w *window.Window
	o.NewWindow = func(file string) { all.add(title, file, nil) }
	o.Quit = all.quit
	o.Rebuild = func() {
		for _, w := range all.open {
			w.Rebuild()
		}
	}
	o.OnClosed = func() {
		all.open = slices.DeleteFunc(all.open, func(x *window.Window) bool { return x == w })
		if len(all.open) == 0 {
			all.end()
		}
	}
	o.Show = func() {
		win.Show()
		if o.Shown != nil {
			o.Shown(win)
		}
		if all.lettered != nil {
			all.lettered()
		}
	}
	w = window.New(win, o, ready)
	all.open = append(all.open, w)
}

// trouble says in the newest window what went wrong, if anything did.
func (all *windows) trouble(err error) {
	if n := len(all.open); n > 0 {
		all.open[n-1].Trouble(err)
	}
}

// quit closes one window after the other, the newest first, until one stays.
func (all *windows) quit() {
	if n := len(all.open); n > 0 {
		w := all.open[n-1]
		w.Show() // it may ask something
		w.Close(all.quit)
	}
}
