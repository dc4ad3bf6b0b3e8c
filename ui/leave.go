package ui

import (
	"context"
	"os"
	"os/signal"
	"sync"
	"syscall"

	"fyne.io/fyne/v2"
)

// wayOut is how the program ends: by way of the toolkit, which takes its renderer
// down in order. A process that just exits has the system stop the renderer's
// threads, which took seconds on a busy machine.
type wayOut struct {
	app fyne.App
	// shut: the event thread takes nothing any more.
	mu   sync.RWMutex
	shut bool
}

// leave prepares the way out. When its event thread ends, the toolkit hands it a
// last event of its own, which saves preferences that nobody keeps there; where
// that comes too late, the process waits for it for ever.
func leave(a fyne.App) *wayOut {
	if l, ok := a.Lifecycle().(interface{ SetOnStoppedHookExecuted(func()) }); ok {
		l.SetOnStoppedHookExecuted(nil)
	}
	return &wayOut{app: a}
}

// deliver runs f on the event thread, later, unless the program ends: the toolkit
// panics over what it is handed while its event thread ends.
func (w *wayOut) deliver(f func()) {
	w.mu.RLock()
	defer w.mu.RUnlock()
	if !w.shut {
		fyne.Do(f)
	}
}

// end ends the event thread, and with it Main. It is called there.
func (w *wayOut) end() {
	w.mu.Lock()
	w.shut = true
	w.mu.Unlock()
	w.app.Driver().Quit()
}

// onSignal calls f at the first signal to end, from another goroutine; a second
// one ends the process. Whoever else waited for signals does so no more: the
// toolkit would end its event thread before anything is kept.
func onSignal(f func()) {
	signal.Reset(os.Interrupt, syscall.SIGTERM)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, func() {
		stop()
		f()
	})
}
