package window

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

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
