package window

import (
	"strings"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
)

// say returns a sentence; pairs are its placeholders and what fills them.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }

// words writes lengths and areas in the units of the window's job.
func (w *Window) words() *words.Words { return wordsOf(w.session.Job()) }

// wordsOf writes lengths and areas in the units of a job.
func wordsOf(j job.Job) *words.Words { return words.Chosen().In(j.Settings.Units) }

// facts is the art's size and what is cut, for the end of the verdict bar.
func facts(p *fit.Plan, u job.Units) string {
	if p == nil || p.Extent.Empty() {
		return ""
	}
	return strings.Join([]string{
		words.SizeIn(p.Extent.Width(), p.Extent.Height(), u),
		say("ui-sheets", "count", words.Count(len(p.Separations))),
		say("ui-pieces", "count", words.Count(p.NumPieces())),
	}, "  ·  ")
}
