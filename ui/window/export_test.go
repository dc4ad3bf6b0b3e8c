package window

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/internal/fit"
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

// Three things with one picture, in one sitting: each fits its blank, has files of its own beside the others', and what these say
// is what the window says.
func TestExport_ThreeBlanksInOneSitting(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.knockOut()
	s.settle()
	sizes := map[string]float64{}
	for _, blank := range []string{"Straight mug", "Round coaster", "Tote bag"} {
		s.run("blank")
		s.settle()
		s.press(blank).Tapped(nil)
		s.press(say("ui-blank-use")).Tapped(nil)
		s.settle()
		s.run("fit-blank")
		s.settle()
		s.run("mend-all")
		s.settle()
		if v := s.session.State().Verdict(); v.State != fit.Ready {
			t.Errorf("%s: %s", blank, s.verdict.Text())
		}
		s.run("export")
		s.settle()
		s.press(say("ui-export-write")).Tapped(nil)
		s.settle()
		s.press(say("ui-done")).Tapped(nil)
		text, err := os.ReadFile(filepath.Join(s.options.Home, "Little boat cut files, "+blank, "job.json"))
		if err != nil {
			t.Fatal(err)
		}
		var m struct {
			Width, Height float64
			Separations   []struct{ Pieces int }
		}
		if err := json.Unmarshal([]byte(strings.NewReplacer("width_mm", "width", "height_mm", "height").Replace(string(text))), &m); err != nil {
			t.Fatal(err)
		}
		pieces := 0
		for _, x := range m.Separations {
			pieces += x.Pieces
		}
		facts := s.verdict.Facts()
		for _, want := range []string{words.SizeIn(m.Width, m.Height, job.Millimetres), say("ui-pieces", "count", words.Count(pieces)), say("ui-sheets", "count", words.Count(len(m.Separations)))} {
			if !strings.Contains(facts, want) {
				t.Errorf("%s: the files have %s, the window says %s", blank, want, facts)
			}
		}
		sizes[blank] = m.Height
	}
	if sizes["Straight mug"] > 90 || sizes["Round coaster"] > 90 || sizes["Tote bag"] < 150 {
		t.Errorf("heights: %v", sizes)
	}
}
