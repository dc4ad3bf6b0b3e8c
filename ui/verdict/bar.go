// Package verdict shows where one stands: the bar that always says it, and the way
// from a picture to its files with what is done, what comes next and what is left.
package verdict

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/session"
	"abut/internal/words"
	"abut/ui/command"
	"abut/ui/controls"
	"abut/ui/theme"
)

// Bar is the one place that always says where one stands: a mark whose shape says
// it too, the sentence, and the picture's size with what is cut. While work goes
// on that takes long, it says what and offers to stop.
type Bar struct {
	Object fyne.CanvasObject

	state    fit.VerdictState
	working  bool
	sentence *controls.Line
	facts    *controls.Line
	// known holds the facts, which give way to the sentence.
	known *fyne.Container
	mark  fyne.CanvasObject
	// bar moves while nobody knows how much is done, share says how much is.
	bar      *widget.ProgressBarInfinite
	share    *widget.ProgressBar
	progress *fyne.Container
	end, row *fyne.Container
	stop     *controls.Press
	onStop   func()
	// aside are the steps that are not on the way, one of which may come next: that is
	// shown in their one place.
	aside map[session.Step]*controls.Press
	place *fyne.Container
	// verdict is what is said when nothing goes on.
	verdict session.Verdict
}

// NewBar returns the bar of a window; commands are its actions.
func NewBar(commands *command.Table) *Bar {
	b := &Bar{aside: map[session.Step]*controls.Press{}}
	b.mark = controls.NewIcon(28, b.icon, b.tone)
	b.sentence = controls.NewLine("", controls.Text)
	b.sentence.TextSize, b.sentence.Smaller, b.sentence.Shrinks = theme.Heading, theme.Body, true
	b.sentence.Wraps = true
	b.facts = controls.NewLine("", controls.Quiet)
	b.bar = widget.NewProgressBarInfinite()
	b.bar.Stop()
	b.share = widget.NewProgressBar()
	b.share.TextFormatter = func() string { return "" } // the sentence says it
	b.share.Hide()
	b.stop = controls.NewAction("", words.Say("ui-stop"), words.Say("ui-stop-hint"), func() {
		if b.onStop != nil {
			b.onStop()
		}
	})
	b.stop.Framed = true
	b.stop.Hide()
	b.progress = container.NewCenter(container.NewGridWrap(fyne.NewSize(120, 8), container.NewStack(b.bar, b.share)))
	b.progress.Hide()
	steps := container.NewStack()
	for step, id := range sideSteps {
		p := commands.Press(id)
		p.Next, p.Height = true, 36
		b.aside[step] = p
		steps.Add(p)
	}
	b.place = container.New(&controls.Inset{X: 8}, container.NewCenter(steps))
	b.offer(session.NoStep)
	b.known = container.NewCenter(b.facts)
	b.end = container.NewHBox(b.known, b.progress, b.stop, b.place)
	b.row = container.New(&giving{b}, controls.NewDock(nil, nil, container.NewCenter(b.mark), b.end, container.New(&controls.Inset{X: sentenceRoom}, b.sentence)))
	b.Object = controls.NewDock(controls.NewRule(), nil, nil, nil,
		container.New(&controls.Inset{X: 16, Y: 8}, container.NewStack(container.NewGridWrap(fyne.NewSize(1, theme.Scaled(40))), b.row)))
	return b
}

// sentenceRoom is how far the sentence is from what is beside it.
const sentenceRoom = 14

// giving is a layout of the bar's row, in which facts are left out where the sentence, which says what to do next, would be cut
// short beside them: they stand in Details, too.
type giving struct{ b *Bar }

// MinSize implements fyne.Layout.
func (g *giving) MinSize(o []fyne.CanvasObject) fyne.Size { return o[0].MinSize() }

// Layout implements fyne.Layout.
func (g *giving) Layout(o []fyne.CanvasObject, size fyne.Size) {
	b := g.b
	b.known.Hidden = false
	b.known.Hidden = !b.sentence.FitsTwice(size.Width - b.mark.MinSize().Width - b.end.MinSize().Width - 2*sentenceRoom)
	o[0].Resize(size)
	o[0].Refresh()
}

// sideSteps are the commands of the steps that are not on the way.
var sideSteps = map[session.Step]string{session.SpotStep: "next-spot", session.BlankStep: "fit-blank", session.AddStep: "add", session.FitStep: "fit"}

// SetOffered tells that what to do about a weak spot is highlighted elsewhere: the
// next spot then is no longer what comes first.
func (b *Bar) SetOffered(on bool) { b.aside[session.SpotStep].SetNext(!on) }

// offer shows the step that comes next if it is one of those aside, and reports whether
// that is another one than before.
func (b *Bar) offer(next session.Step) (other bool) {
	shown := b.aside[next] != nil
	for step, p := range b.aside {
		other = other || p.Hidden != (step != next)
		p.Hidden = step != next
	}
	b.place.Hidden = !shown
	return other
}

func (b *Bar) icon() string {
	if !b.working {
		switch b.state {
		case fit.Trouble:
			return "warning"
		case fit.Ready:
			return "ready"
		}
	}
	return "nothing"
}

func (b *Bar) tone() color.NRGBA {
	p := theme.Current()
	switch {
	case b.working:
		return p.Accent
	case b.state == fit.Trouble:
		return p.Care
	case b.state == fit.Ready:
		return p.Ready
	}
	return p.Quiet
}

func (b *Bar) say(text string) {
	if text != b.sentence.Text() {
		b.sentence.SetText(text)
		b.row.Refresh()
	}
}

// Text returns what the bar says, and State its mark.
func (b *Bar) Text() string { return b.sentence.Text() }

// Facts returns the picture's size with what is cut, as the bar says it: empty where there is no room.
func (b *Bar) Facts() string {
	if b.known.Hidden {
		return ""
	}
	return b.facts.Text()
}

// State returns the bar's mark.
func (b *Bar) State() fit.VerdictState { return b.state }

// Show says where a state stands.
func (b *Bar) Show(st session.State) {
	v := st.Verdict()
	before, was := b.state, b.facts.Text()
	b.state, b.verdict = v.State, v
	if !b.working {
		in := words.Chosen().In(st.Job.Settings.Units)
		b.say(strings.TrimSpace(in.Message(v.Message) + " " + in.Remedy(v.Message)))
	}
	b.facts.SetText(facts(st.Plan, st.Job.Settings))
	if b.state != before {
		b.mark.Refresh()
	}
	moved := b.facts.Text() != was
	next := v.Next
	if b.working {
		next = session.NoStep
	}
	if moved = b.offer(next) || moved; moved {
		b.end.Refresh()
		b.row.Refresh()
	}
}

// Work says what goes on, and how much of it is done where that is known; nil ends
// it.
func (b *Bar) Work(t *session.Task, st session.State) {
	b.working = t != nil
	if t == nil {
		b.bar.Stop()
		b.progress.Hide()
		b.stop.Hide()
		b.Show(st)
	} else {
		b.onStop = t.Stop
		b.say(Doing(t, st.Job.Settings.Units))
		b.progress.Show()
		if t.Percent > 0 {
			b.bar.Stop()
			b.bar.Hide()
			b.share.SetValue(float64(t.Percent) / 100)
			b.share.Show()
		} else {
			b.share.Hide()
			b.bar.Show()
			b.bar.Start()
		}
		b.stop.Show()
		b.offer(session.NoStep)
	}
	b.mark.Refresh()
	b.end.Refresh()
	b.row.Refresh()
}

// Doing says what a task does, and how much of it is done where that is known.
func Doing(t *session.Task, u job.Units) string {
	text := words.Chosen().In(u).Message(t.What)
	if t.Percent > 0 {
		return words.Say("ui-task-share", "task", text, "percent", words.Count(t.Percent))
	}
	return text
}

// facts is the picture's size, what is cut and how often.
func facts(p *fit.Plan, s job.Settings) string {
	if p == nil || p.Extent.Empty() {
		return ""
	}
	all := []string{
		words.SizeIn(p.Extent.Width(), p.Extent.Height(), s.Units),
		words.Say("ui-sheets", "count", words.Count(len(p.Separations))),
		words.Say("ui-pieces", "count", words.Count(p.NumPieces())),
	}
	switch {
	case s.Layout.On():
		all = append(all, words.Say("ui-facts-copies", "count", words.Count(s.Copies())))
	case s.List != nil:
		all = append(all, words.Say("ui-facts-rows", "count", words.Count(s.Copies())))
	}
	return strings.Join(all, "  ·  ")
}
