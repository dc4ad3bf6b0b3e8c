package window

import (
	"errors"
	"strings"
	"unicode"
	"unicode/utf8"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
)

// say returns a sentence; pairs are its placeholders and what fills them.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }

// words writes lengths and areas in the units of the window's job.
func (w *Window) words() *words.Words { return wordsOf(w.session.Job()) }

// wordsOf writes lengths and areas in the units of a job.
func wordsOf(j job.Job) *words.Words { return words.Chosen().In(j.Settings.Units) }

// called is a separation's name for people.
func called(s *fit.Separation) string { return words.Chosen().Put(s.Called()) }

// capital makes the first letter a capital: names of colours begin lines.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// explain puts an error into a sentence and, where there is one, what can be
// done about it.
func explain(err error) (text, remedy string) {
	w := words.Chosen()
	var m job.Message
	var shop *workshop.Error
	var edit *job.EditError
	var fitting *fit.Error
	switch {
	case errors.As(err, &shop):
		m = shop.Message
	case errors.As(err, &edit):
		m = edit.Message
	case errors.As(err, &fitting):
		m = fitting.Message
	default:
		return say("ui-fault", "detail", err.Error()), w.Remedy(job.Message{ID: "ui-fault"})
	}
	return w.Message(m), w.Remedy(m)
}

// facts is the art's size and what is cut, for the end of the verdict bar.
func facts(p *fit.Plan, u job.Units) string {
	if p == nil || p.Extent.Empty() {
		return ""
	}
	return strings.Join([]string{
		words.SizeIn(p.Extent.Width(), p.Extent.Height(), u),
		say("ui-sheets", "count", words.Count(len(p.Separations))),
		say("ui-pieces", "count", words.Count(len(p.Pieces))),
	}, "  ·  ")
}
