package window

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"

	"abut/assets"
	"abut/internal/fit"
	"abut/internal/session"
	"abut/ui/controls"
	"abut/ui/theme"
)

// next returns the highlighted thing to press: in the dialog that lies over all,
// else in the card of a weak spot, the verdict bar or the way. There is only one,
// unless both do the same.
func (s *stage) next() *controls.Press {
	s.t.Helper()
	root := s.win.Canvas().Content()
	if top := s.win.Canvas().Overlays().Top(); top != nil {
		root = top
	}
	var found []*controls.Press
	for _, o := range test.LaidOutObjects(root) {
		p, is := o.(*controls.Press)
		if is && p.Next && p.Visible() && !p.Disabled() && p.Size().Width > 0 && s.seen(p) {
			found = append(found, p)
		}
	}
	var labels []string
	for _, p := range found {
		labels = append(labels, p.Label)
	}
	if n := len(slices.Compact(labels)); n > 1 && !slices.Equal(labels, []string{say("ui-start-open"), say("ui-open")}) {
		s.t.Errorf("highlighted: %v", labels)
	}
	if len(found) == 0 {
		return nil
	}
	return found[len(found)-1]
}

// seen reports whether something and all that holds it is visible.
func (s *stage) seen(o fyne.CanvasObject) bool {
	nowhere := fyne.CurrentApp().Driver().AbsolutePositionForObject(controls.NewLine("", controls.Text))
	return fyne.CurrentApp().Driver().AbsolutePositionForObject(o) != nowhere
}

// Someone who has read nothing gets from a dropped file to written files by
// pressing only what is highlighted.
func TestWay_IsWalkedByPressingWhatIsHighlighted(t *testing.T) {
	for _, d := range assets.Demos() {
		if testing.Short() && d.ID != "pair" && d.ID != "bracket" {
			continue
		}
		s := newStage(t, usual, theme.AlwaysLight)
		file := filepath.Join(t.TempDir(), d.ID+".svg")
		if err := os.WriteFile(file, d.SVG, 0o600); err != nil {
			t.Fatal(err)
		}
		if p := s.next(); p == nil || p.Label != say("ui-open") {
			t.Errorf("at first %v is highlighted", p)
		}
		s.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(file)})
		s.settle()
		pressed := []string{}
		for range 30 {
			s.look()
			if s.state.Exported {
				break
			}
			p := s.next()
			if p == nil {
				t.Fatalf("%s: after %v nothing is highlighted: %s", d.ID, pressed, s.verdict.Text())
			}
			if other := say("ui-mend-other"); p.Label == say("ui-mend-keep") && !slices.Contains(pressed, p.Label) {
				// Nobody is led to it, but it can be asked for.
				s.tap(other)
				if s.inPanel(other) != nil || s.next() != p {
					t.Errorf("%s: after %s %v is highlighted", d.ID, other, s.next())
				}
			}
			pressed = append(pressed, p.Label)
			p.Tapped(nil)
			s.settle()
		}
		if !s.state.Exported {
			t.Fatalf("%s: no files after %v: %s", d.ID, pressed, s.verdict.Text())
		}
		if s.verdict.State() != fit.Ready {
			t.Errorf("%s: exported while the verdict says %s", d.ID, s.verdict.Text())
		}
		for _, step := range session.Way {
			if !s.state.Done(step) {
				t.Errorf("%s: step %d is not done", d.ID, step)
			}
		}
		list, err := filepath.Glob(filepath.Join(filepath.Dir(file), "*", "job.json"))
		if err != nil || len(list) != 1 {
			t.Errorf("%s: written %v, %v", d.ID, list, err)
		}
		t.Log(d.ID, pressed)
	}
}
