package theme

import "fyne.io/fyne/v2"

// Letter has the toolkit read the type that everything is set in, beside what else there is
// to do, and closes what it returns when that is done: it takes half as long as the system
// takes to put a window on screen. Until then no text may be measured or drawn, for the
// toolkit's caches know no locks.
func Letter() <-chan struct{} {
	done := make(chan struct{})
	go func() {
		defer close(done)
		for _, style := range []fyne.TextStyle{{}, {Bold: true}} {
			fyne.MeasureText("A", Body, style)
		}
	}()
	return done
}
