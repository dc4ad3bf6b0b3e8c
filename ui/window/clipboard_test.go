package window

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/ui/theme"
)

func TestCopyPaste_WithinAWindow(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	ids := s.pickAll("Hull")
	s.do("ui-step-knock", func(j job.Job) (job.Job, error) { return job.SetKnocks(j, ids, true) })
	before := s.session.Job()
	s.copySelected()
	s.paste()
	s.settle()
	steps, _ := s.session.Steps()
	l, _ := s.only()
	old, _, _ := before.Layer(ids[0])
	a, b := job.Bounds(before, ids[0]), job.Bounds(s.session.Job(), l.ID)
	if d := b.Min.Sub(a.Min); math.Abs(d.X-5) > 1e-6 || math.Abs(d.Y-5) > 1e-6 {
		t.Errorf("pasted %v aside", d)
	}
	if l.Name != old.Name || l.Colour != old.Colour || !l.Knocks || !reflect.DeepEqual(l.Content, old.Content) {
		t.Errorf("%+v, copied %+v", l, old)
	}
	if len(s.session.Job().Items) != 1 {
		t.Error("it is a picture of its own")
	}
	s.paste()
	s.settle()
	l, _ = s.only()
	if d := job.Bounds(s.session.Job(), l.ID).Min.Sub(a.Min); math.Abs(d.X-10) > 1e-6 {
		t.Errorf("pasted again %v aside", d)
	}
	if more, _ := s.session.Steps(); len(more) != len(steps)+1 {
		t.Errorf("pasting took %d steps", len(more)-len(steps))
	}
	s.session.Undo()
	s.session.Undo()
	if !reflect.DeepEqual(s.session.Job(), before) {
		t.Error("undone it is not as it was")
	}
	s.session.Select(ids)
	s.cutSelected()
	if _, _, ok := s.session.Job().Layer(ids[0]); ok {
		t.Error("cut out it is still there")
	}
}

func TestCopyPaste_BetweenWindowsKeepsWhatStaysEditable(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.add.Text()
	s.settle()
	text, _ := s.only()
	s.add.Surround()
	s.settle()
	s.copySelected() // the surround alone: what it is around comes along
	copied := fyne.CurrentApp().Clipboard().Content()

	other := newStage(t, usual, theme.AlwaysLight)
	other.demo("nested")
	fyne.CurrentApp().Clipboard().SetContent(copied)
	other.paste()
	other.settle()
	ids := other.session.Selection()
	if len(ids) != 2 {
		t.Fatalf("%d layers came", len(ids))
	}
	band, _, _ := other.session.Job().Layer(ids[0])
	word, _, _ := other.session.Job().Layer(ids[1])
	if of, ok := band.Content.(job.Surround); !ok || len(of.Of) != 1 || of.Of[0] != word.ID {
		t.Errorf("the surround is %+v", band.Content)
	}
	if !reflect.DeepEqual(word.Content, text.Content) {
		t.Errorf("the text is %+v", word.Content)
	}
}

func TestPaste_TakesAnySVGAndNothingElse(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	clip := fyne.CurrentApp().Clipboard()
	clip.SetContent(`<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm" viewBox="0 0 300 200"><rect width="300" height="200" fill="#123456"/></svg>`)
	s.paste()
	s.settle()
	l, _ := s.only()
	r := job.Bounds(s.session.Job(), l.ID)
	if math.Abs(r.Width()-30) > 1e-6 || l.Colour != (colour.RGB{R: 0x12, G: 0x34, B: 0x56}) || len(s.session.Job().Items) != 2 {
		t.Errorf("%v %v", r, l.Colour)
	}
	now := s.session.Job()
	for _, text := range []string{"", "hello", "<svg", "<svg xmlns='http://www.w3.org/2000/svg'/>"} {
		clip.SetContent(text)
		s.paste()
		s.settle()
		if !s.desk.Open() || !reflect.DeepEqual(s.session.Job(), now) {
			t.Errorf("%q is pasted, or nothing is said", text)
		} else {
			s.desk.Clear()
		}
	}
}

// While one types, the same keys are about the words.
func TestCopyPaste_InAnEntryIsAboutItsWords(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.add.Text()
	s.settle()
	entry := s.lettering()
	test.Type(entry, "Ahoy")
	entry.TypedShortcut(&fyne.ShortcutSelectAll{})
	s.run("copy")
	if got := fyne.CurrentApp().Clipboard().Content(); got != "Ahoy" {
		t.Errorf("%.40q is on the clipboard", got)
	}
	s.focusBoard()
	s.settle()
	s.run("copy")
	if got := fyne.CurrentApp().Clipboard().Content(); !strings.HasPrefix(got, "<svg") {
		t.Errorf("%.40q is on the clipboard", got)
	}
}
