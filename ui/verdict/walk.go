package verdict

import (
	"image/color"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// Walk leads a newcomer through a picture: a strip above the bar says what to look at
// and what to press, which is highlighted as always, and goes on by what was done.
type Walk struct {
	Object *fyne.Container
	// OnEnd is told that it was skipped or is through, OnGuide asks for the guide.
	OnEnd, OnGuide func()

	// on: it is shown once something is open; seen are the commands that were run since
	// it began, besides the steps of the way.
	on, opened  bool
	seen        map[string]bool
	step        *controls.Line
	text        *controls.Line
	guide, skip *controls.Press
}

// stops are the sentences of a walk, each with what has to be done before the next.
var stops = []struct {
	id   string
	over func(*Walk, session.State) bool
}{
	{"walk-stacked", func(_ *Walk, st session.State) bool { return st.Done(session.KnockStep) }},
	{"walk-mend", func(_ *Walk, st session.State) bool { return st.Done(session.MendStep) }},
	{"walk-sheets", func(w *Walk, _ session.State) bool { return w.seen["sheets"] || w.seen["assembly"] }},
	{"walk-assembly", func(w *Walk, _ session.State) bool { return w.seen["assembly"] }},
	{"walk-export", func(w *Walk, _ session.State) bool { return w.seen["export"] }},
	{"walk-end", func(*Walk, session.State) bool { return false }},
}

// NewWalk returns a walk that goes on where another one is, or has not begun where that
// is nil.
func NewWalk(before *Walk) *Walk {
	w := &Walk{step: controls.NewCaption(""), text: controls.NewLine("", controls.Text)}
	w.text.Shrinks, w.text.Wraps = true, true
	w.guide = controls.NewFramed("help", words.Say("manual-open"), "", func() {
		w.end()
		w.OnGuide()
	})
	w.skip = controls.NewFramed("", "", "", w.end)
	sign := controls.NewIcon(28, func() string { return "help" }, func() color.NRGBA { return theme.Current().Accent })
	high := container.NewGridWrap(fyne.NewSize(1, theme.Scaled(42)))
	says := container.New(&controls.Stack{Gap: 0}, w.step, container.NewStack(high, w.text))
	row := controls.NewDock(nil, nil, container.NewCenter(sign), container.NewCenter(container.NewHBox(w.guide, w.skip)), container.New(&controls.Inset{X: 14}, says))
	w.Object = container.NewStack(controls.NewFill(controls.Ground), controls.NewDock(controls.NewRule(), nil, nil, nil, container.New(&controls.Inset{X: 16, Y: 8}, row)))
	w.Object.Hide()
	if before != nil {
		w.on, w.opened, w.seen = before.on, before.opened, before.seen
	}
	return w
}

// Begin begins the walk with the next picture that is opened.
func (w *Walk) Begin() { w.on, w.opened, w.seen = true, false, map[string]bool{} }

// Text returns what the strip says.
func (w *Walk) Text() string { return w.text.Text() }

// Saw notes what was looked at: a view, or the dialog of a command.
func (w *Walk) Saw(what string, st session.State) {
	if w.on && w.at(st) >= 2 { // not before what it is about can be seen
		w.seen[what] = true
		w.Show(st)
	}
}

// at returns the number of the stop where a state is.
func (w *Walk) at(st session.State) int {
	for i, s := range stops {
		if !s.over(w, st) {
			return i
		}
	}
	return len(stops) - 1
}

// Show says what to do as a state stands, and reports whether the strip came or went.
func (w *Walk) Show(st session.State) (moved bool) {
	if w.on && w.opened && !st.Opened {
		w.on = false // the picture was closed; it is offered again
	}
	w.opened = w.opened || w.on && st.Opened
	if hidden := !w.on || !w.opened; hidden != w.Object.Hidden {
		moved = true
		w.Object.Hidden = hidden
	}
	if w.Object.Hidden || !st.Exact && w.text.Text() != "" { // what is done is not known yet
		return moved
	}
	i := w.at(st)
	last := i == len(stops)-1
	w.step.SetText(words.Say("walk-step", "number", strconv.Itoa(i+1), "count", strconv.Itoa(len(stops))))
	w.text.SetText(words.Say(stops[i].id))
	label := words.Say("walk-skip")
	if last {
		label = words.Say("ui-done")
	}
	if w.skip.Label != label || w.guide.Hidden == last {
		w.skip.Label = label
		w.guide.Hidden = !last
		w.Object.Refresh()
	}
	return moved
}

// end ends the walk for good.
func (w *Walk) end() {
	w.on = false
	w.Object.Hide()
	w.OnEnd()
}
