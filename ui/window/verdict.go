package window

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"abut/internal/fit"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// verdictBar is the one place that always says where one stands: a mark whose
// shape says it too, the sentence, the art's size and what is cut. While work
// goes on that takes long, it says what and offers to stop.
type verdictBar struct {
	// units is how lengths are shown.
	units job.Units

	object   fyne.CanvasObject
	state    fit.VerdictState
	working  bool
	sentence *controls.Line
	facts    *controls.Line
	mark     fyne.CanvasObject
	// bar moves while nobody knows how much is done, share says how much is.
	bar      *widget.ProgressBarInfinite
	share    *widget.ProgressBar
	progress *fyne.Container
	end, row *fyne.Container
	stop     *controls.Press
	onStop   func()
}

func newVerdictBar() *verdictBar {
	v := &verdictBar{}
	v.mark = controls.NewIcon(28, v.icon, v.tone)
	v.sentence = controls.NewLine("", controls.Text)
	v.sentence.TextSize, v.sentence.Smaller, v.sentence.Shrinks = theme.Heading, theme.Body, true
	v.sentence.Wraps = true
	v.facts = controls.NewLine("", controls.Quiet)
	v.bar = widget.NewProgressBarInfinite()
	v.bar.Stop()
	v.share = widget.NewProgressBar()
	v.share.TextFormatter = func() string { return "" } // the sentence says it
	v.share.Hide()
	v.stop = controls.NewAction("", say("ui-stop"), say("ui-stop-hint"), func() {
		if v.onStop != nil {
			v.onStop()
		}
	})
	v.stop.Framed = true
	v.stop.Hide()
	v.progress = container.NewCenter(container.NewGridWrap(fyne.NewSize(120, 8), container.NewStack(v.bar, v.share)))
	v.progress.Hide()
	v.end = container.NewHBox(container.NewCenter(v.facts), v.progress, v.stop)
	v.row = controls.NewDock(nil, nil, container.NewCenter(v.mark), v.end, container.New(&controls.Inset{X: 14}, v.sentence))
	v.object = controls.NewDock(controls.NewRule(), nil, nil, nil,
		container.New(&controls.Inset{X: 16, Y: 8}, container.NewStack(container.NewGridWrap(fyne.NewSize(1, theme.Scaled(40))), v.row)))
	v.show(nil, say("ui-verdict-start"))
	return v
}

func (v *verdictBar) icon() string {
	if v.working {
		return "nothing"
	}
	switch v.state {
	case fit.Trouble:
		return "warning"
	case fit.Ready:
		return "ready"
	}
	return "nothing"
}

func (v *verdictBar) tone() color.NRGBA {
	p := theme.Current()
	if v.working {
		return p.Accent
	}
	switch v.state {
	case fit.Trouble:
		return p.Care
	case fit.Ready:
		return p.Ready
	}
	return p.Quiet
}

// show says the plan's verdict; without one it says otherwise, as something in
// the way after trouble.
func (v *verdictBar) show(p *fit.Plan, otherwise string) {
	before, was := v.state, v.facts.Text()
	v.state = fit.Nothing
	text := otherwise
	if p != nil {
		v.state = p.Verdict.State
		in := words.Chosen().In(v.units)
		text = strings.TrimSpace(in.Message(p.Verdict.Message) + " " + in.Remedy(p.Verdict.Message))
	}
	if !v.working {
		v.sentence.SetText(text)
	}
	v.facts.SetText(facts(p, v.units))
	if v.state != before {
		v.mark.Refresh()
	}
	if v.facts.Text() != was {
		v.end.Refresh()
		v.row.Refresh()
	}
}

// work says what goes on, and how much of it is done where that is known; an
// empty text ends it.
func (v *verdictBar) work(text string, percent int, stop func()) {
	v.working = text != ""
	v.onStop = stop
	if v.working {
		v.sentence.SetText(text)
		v.progress.Show()
		if percent > 0 {
			v.bar.Stop()
			v.bar.Hide()
			v.share.SetValue(float64(percent) / 100)
			v.share.Show()
		} else {
			v.share.Hide()
			v.bar.Show()
			v.bar.Start()
		}
		v.stop.Show()
	} else {
		v.bar.Stop()
		v.progress.Hide()
		v.stop.Hide()
	}
	v.mark.Refresh()
	v.end.Refresh()
	v.row.Refresh()
}

// trouble shows the mark of something in the way.
func (v *verdictBar) trouble() {
	if v.state != fit.Trouble {
		v.state = fit.Trouble
		v.mark.Refresh()
	}
}

// caution says something that stands in the way although nothing stacks.
func (v *verdictBar) caution(text string) {
	if !v.working {
		v.sentence.SetText(text)
	}
	v.trouble()
}
