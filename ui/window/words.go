package window

import (
	"abut/internal/job"
	"abut/internal/words"
)

// say returns a sentence; pairs are its placeholders and what fills them.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }

// words writes lengths and areas in the units of the window's job.
func (w *Window) words() *words.Words { return wordsOf(w.session.Job()) }

// wordsOf writes lengths and areas in the units of a job.
func wordsOf(j job.Job) *words.Words { return words.Chosen().In(j.Settings.Units) }
