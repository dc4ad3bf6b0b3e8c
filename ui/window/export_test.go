package window

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/controls"
	"abut/ui/theme"
)

// Who exports at once after an edit is told what is too fine as well, as soon as it is known.
func TestExport_SaysWhatIsTooFineThatIsFoundMeanwhile(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	s.knockOut()
	s.run("export")
	s.settle()
	v := s.session.State().Verdict().Message
	text := words.Chosen().Message(v)
	for _, o := range test.LaidOutObjects(s.win.Canvas().Overlays().Top()) {
		if p, is := o.(*controls.Para); is && p.Visible() && strings.HasPrefix(p.Text(), text) {
			return
		}
	}
	t.Errorf("the dialog does not say %q", text)
}

// What is too large for its blank is said once, above the box that lets it be written, and
// what is too fine is said beside it.
func TestExport_SaysOnceWhatIsTooLargeAndWhatIsTooFine(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(hairline)
	s.knockOut()
	if err := s.session.Do("ui-step-blank", func(j job.Job) (job.Job, error) {
		return job.SetBlankShape(j, &job.Blank{Name: "Badge", WidthMM: 20, HeightMM: 20})
	}); err != nil {
		t.Fatal(err)
	}
	s.settle()
	s.run("export")
	s.settle()
	var large, fine int
	for _, o := range test.LaidOutObjects(s.win.Canvas().Overlays().Top()) {
		p, is := o.(*controls.Para)
		if !is || !p.Visible() {
			continue
		}
		if strings.Contains(p.Text(), "Badge") {
			large++
		}
		if strings.Contains(p.Text(), "too fine") {
			fine++
		}
	}
	if large != 1 || fine != 1 {
		t.Errorf("too large is said %d times, too fine %d times", large, fine)
	}
}
