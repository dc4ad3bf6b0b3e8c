package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"abut/internal/message"
	"abut/internal/words"
)

// Whoever waits at a terminal is told what goes on: after patience, and anew each beat.
const (
	patience = 2 * time.Second
	beat     = time.Second / 2
)

// narrow is how many columns a terminal has at least: a line that is broken cannot be taken back.
const narrow = 78

// progress is a line on a terminal that says what goes on, and is gone in the end.
type progress struct {
	to    io.Writer
	began time.Time
	over  chan struct{}
	gone  sync.WaitGroup

	mu    sync.Mutex
	what  message.Message
	share float64
	shown int // columns that are written on
}

// doing returns what is told how far work has come, nil where nobody sits at a terminal, and what
// takes the line away in the end.
func (s streams) doing() (told func(what message.Message, share float64), end func()) {
	if !isTerminal(s.err) {
		return nil, func() {}
	}
	p := newProgress(s.err)
	return p.told, p.end
}

// isTerminal reports whether what is written is seen as it comes.
func isTerminal(w io.Writer) bool {
	f, is := w.(*os.File)
	if !is {
		return false
	}
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}

func newProgress(to io.Writer) *progress {
	p := &progress{to: to, began: time.Now(), over: make(chan struct{})}
	p.gone.Go(func() {
		for wait := patience; ; wait = beat {
			select {
			case <-p.over:
				return
			case <-time.After(wait):
				p.show()
			}
		}
	})
	return p
}

// told is told what is being done and how much of that is done, 0 where that is not known.
func (p *progress) told(what message.Message, share float64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if what.ID == p.what.ID {
		share = max(share, p.share)
	}
	p.what, p.share = what, share
}

// show writes the line.
func (p *progress) show() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.what.ID == "" {
		return
	}
	text := words.Chosen().Message(p.what)
	if percent := int(100 * p.share); percent > 0 {
		text = words.Say("ui-task-share", "task", text, "percent", words.Count(percent))
	}
	since := fmt.Sprintf(" (%d s)", int(time.Since(p.began).Seconds()))
	if r := []rune(text); len(r)+len(since) > narrow {
		text = string(r[:narrow-len(since)-1]) + "…"
	}
	p.write(text + since)
}

// write puts a text in the place of what is written.
func (p *progress) write(text string) {
	n := utf8.RuneCountInString(text)
	fmt.Fprint(p.to, "\r"+text+strings.Repeat(" ", max(0, p.shown-n)))
	p.shown = n
}

// end takes the line away.
func (p *progress) end() {
	close(p.over)
	p.gone.Wait()
	if p.shown > 0 {
		p.write("")
		fmt.Fprint(p.to, "\r")
	}
}
