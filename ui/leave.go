package ui

import (
	"context"
	"os"
	"os/signal"
	"sync"
	"sync/atomic"
	"syscall"

	"fyne.io/fyne/v2"
)

// wayOut is how the program ends: by way of the toolkit, which takes its renderer
// down in order. A process that just exits has the system stop the renderer's
// threads, which took seconds on a busy machine.
type wayOut struct {
	app fyne.App
	// do hands something to the event thread.
	do func(func())
	// shut: the event thread takes nothing any more. Who hands something over holds gate for
	// reading, so that it is not shut meanwhile; before the event thread runs, do runs at
	// once what it is handed, which may hand over more.
	gate sync.RWMutex
	shut atomic.Bool
	// waiting is what the event thread is to run next.
	mu      sync.Mutex
	waiting []func()
}

// leave prepares the way out. When its event thread ends, the toolkit hands it a
// last event of its own, which saves preferences that nobody keeps there; where
// that comes too late, the process waits for it for ever.
func leave(a fyne.App) *wayOut {
	if l, ok := a.Lifecycle().(interface{ SetOnStoppedHookExecuted(func()) }); ok {
		l.SetOnStoppedHookExecuted(nil)
	}
	return &wayOut{app: a, do: fyne.Do}
}

// deliver runs f on the event thread, later, unless the program ends: the toolkit
// panics over what it is handed while its event thread ends. What waits is run at one go,
// since the toolkit may draw a frame between any two things that it is handed.
func (w *wayOut) deliver(f func()) {
	w.gate.RLock()
	defer w.gate.RUnlock()
	if w.shut.Load() {
		return
	}
	w.mu.Lock()
	w.waiting = append(w.waiting, f)
	first := len(w.waiting) == 1
	w.mu.Unlock()
	if first {
		w.do(w.run)
	}
}

// run runs what waits, on the event thread.
func (w *wayOut) run() {
	w.mu.Lock()
	list := w.waiting
	w.waiting = nil
	w.mu.Unlock()
	for _, f := range list {
		if w.shut.Load() {
			return
		}
		f()
	}
}

// end ends the event thread, and with it Main. It is called there.
func (w *wayOut) end() {
	w.gate.Lock()
	w.shut.Store(true)
	w.gate.Unlock()
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
