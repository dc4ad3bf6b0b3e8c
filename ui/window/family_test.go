package window

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"abut/internal/job"
	"abut/internal/lettering"
	"abut/ui/controls"
	"abut/ui/theme"
)

// Fonts are looked at beside the art, which shows each at once; Escape goes back
// and Enter keeps the one that is shown, as one step.
func TestFamily_IsSeenInTheArtBeforeItCounts(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.run("ui-add-text")
	s.settle()
	families, err := lettering.Families(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	// The font that comes along has no name in a job, so neither of the two that are
	// looked at is that one, whatever else is installed.
	at := len(families) - 1
	for at > 0 && (families[at] == lettering.OwnFamily || families[at-1] == lettering.OwnFamily) {
		at--
	}
	if at < 1 {
		t.Fatal("too few fonts are installed:", families)
	}
	family := func(j job.Job) string {
		l, _, _ := j.Layer(s.session.Selection()[0])
		return l.Content.(job.Text).Family
	}
	key := func(name fyne.KeyName) {
		s.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: name})
		s.settle()
	}
	button := find(s.details.Object, say("ui-text-family", "font", lettering.OwnFamily))
	if button == nil {
		t.Fatal("no button says which font it is, and that it is one")
	}
	for _, keep := range []bool{false, true} {
		before := s.session.At()
		button.Tapped(nil)
		s.settle()
		search := overlay[*controls.Entry](s)[0]
		if s.win.Canvas().Focused() != search {
			t.Fatalf("the keyboard is on %T", s.win.Canvas().Focused())
		}
		// The lettering is not beneath the dialog.
		card := s.win.Canvas().Overlays().Top()
		ids := s.session.Selection()
		b := job.BoundsOf(s.session.Shown(), ids)
		on := fyne.CurrentApp().Driver().AbsolutePositionForObject(s.board).Add(s.board.PositionOf(b.Max))
		left := s.win.Canvas().Size().Width
		for _, o := range test.LaidOutObjects(card) {
			if e, is := o.(*controls.Entry); is {
				left = fyne.CurrentApp().Driver().AbsolutePositionForObject(e).X
			}
		}
		if on.X > left {
			t.Errorf("the lettering ends at %v, beneath the dialog at %v", on.X, left)
		}
		pictures := 0
		for _, o := range test.LaidOutObjects(card) {
			if _, is := o.(*canvas.Image); is {
				pictures++
			}
		}
		if pictures == 0 {
			t.Error("no font is shown in itself")
		}
		test.Type(search, families[at])
		s.settle()
		want := families[at]
		if got := family(s.session.Shown()); got != want || family(s.session.Job()) == want {
			t.Errorf("shown %q, want %q; the job has %q", got, want, family(s.session.Job()))
		}
		search.SetText("")
		key(fyne.KeyUp)
		want = families[at-1]
		if got := family(s.session.Shown()); got != want {
			t.Errorf("one up: shown %q, want %q", got, want)
		}
		if keep {
			key(fyne.KeyReturn)
		} else {
			key(fyne.KeyEscape)
		}
		if s.desk.Open() {
			t.Fatal("it stays")
		}
		if got := family(s.session.Job()); keep != (got == want) || keep == (s.session.At() == before) || family(s.session.Shown()) != got {
			t.Errorf("kept %v: the job has %q, shown %q", keep, got, family(s.session.Shown()))
		}
	}
	s.run("undo")
	s.settle()
	if got := family(s.session.Job()); got != "" {
		t.Errorf("after one undo %q", got)
	}
}
