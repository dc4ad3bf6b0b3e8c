package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"abut/internal/message"
)

// Whoever waits is told what goes on and how far it has come, once that takes long, and nothing of
// it stays behind.
func TestProgress_IsALineThatGoes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var out bytes.Buffer
		said := func() (line string) {
			synctest.Wait()
			line = out.String()
			out.Reset()
			return line
		}
		p := newProgress(&out)
		p.told(message.Of("doing-read", "file", "lighthouse.svg"), 0)
		time.Sleep(patience - 1)
		if got := said(); got != "" {
			t.Errorf("at once it says %q", got)
		}
		time.Sleep(2 * time.Nanosecond)
		first := said()
		if first != "\rReading lighthouse.svg… (2 s)" {
			t.Errorf("it says %q", first)
		}
		mend := message.Message{ID: "ui-task-mend"}
		p.told(mend, 0.42)
		p.told(mend, 0.31) // of a later round
		time.Sleep(beat)
		if got := said(); got != "\rMending all weak spots… 42 % done (2 s)" {
			t.Errorf("it says %q", got)
		}
		p.told(message.Message{ID: "doing-write"}, 0)
		time.Sleep(beat)
		if got := said(); !strings.HasPrefix(got, "\rMaking the files… (3 s)  ") {
			t.Errorf("it says %q over more", got)
		}
		p.told(message.Of("doing-read", "file", strings.Repeat("ä", 300)), 0)
		time.Sleep(beat)
		if got := []rune(said()); len(got) > narrow+1 {
			t.Errorf("a line of %d", len(got))
		}
		p.end()
		if got := said(); strings.TrimSpace(got) != "" || !strings.HasSuffix(got, "\r") {
			t.Errorf("in the end it says %q", got)
		}
	})
}

// What goes into a file or to another program is told nothing.
func TestDoing_TellsTerminalsOnly(t *testing.T) {
	null, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	file, err := os.Create(filepath.Join(t.TempDir(), "err"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	for _, s := range []streams{{err: new(bytes.Buffer)}, {err: null}, {err: file}} {
		if told, end := s.doing(); told != nil {
			t.Errorf("%T is a terminal", s.err)
			end()
		}
	}
}
