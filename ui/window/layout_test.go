package window

import (
	"image"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"abut/internal/job"
	"abut/internal/workshop"
	"abut/ui/controls"
	"abut/ui/entry"
	"abut/ui/theme"
)

// sayings are all that the dialog on top says.
func (s *stage) sayings() string {
	var all []string
	for _, p := range overlay[*controls.Para](s) {
		all = append(all, p.Text())
	}
	for _, l := range overlay[*controls.Line](s) {
		all = append(all, l.Text())
	}
	return strings.Join(all, "\n")
}

func TestDialogLayOut_ShowsWhatComesOfItAndMakesItAStep(t *testing.T) {
	s := newStage(t, fyne.NewSize(1024, 673), theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	if c := s.commands.Get("layout"); c.IsOn() {
		t.Error("nothing is laid out yet")
	}
	s.run("layout")
	s.settle()
	overlay[*controls.Entry](s)[0].SetText("60")
	choices := overlay[*controls.Choice](s)
	choices[0].OnChosen(1)
	s.settle()
	if said := s.sayings(); !strings.Contains(said, "· 1 of ") || !strings.Contains(said, "no price known") || !strings.Contains(said, "m to cut") {
		t.Fatal(said)
	}
	picture := func() image.Image {
		for _, i := range overlay[*canvas.Image](s) {
			if i.Image != nil && i.Image.Bounds().Dx() > 100 {
				return i.Image
			}
		}
		t.Fatal("there is no picture")
		return nil
	}
	first := picture()
	if s.press("‹").Tapped(nil); !strings.Contains(s.sayings(), "· 1 of ") {
		t.Error("there is a sheet before the first")
	}
	s.press("›").Tapped(nil)
	s.settle()
	if said := s.sayings(); !strings.Contains(said, "· 2 of ") || picture() == first {
		t.Errorf("the next sheet is not shown: %s", said)
	}
	choices[1].OnChosen(1)
	overlay[*entry.Length](s)[0].SetText("250")
	s.settle()
	if said := s.sayings(); !strings.Contains(said, "of roll") || !strings.Contains(said, "250 × ") {
		t.Error(said)
	}
	s.press(say("ui-layout-use")).Tapped(nil)
	s.settle()
	want := job.Layout{Copies: 60, Loose: true, RollMM: 250}
	if got := s.session.Job().Settings.Layout; got != want || s.desk.Open() || !s.commands.Get("layout").IsOn() {
		t.Errorf("%+v, open %v", got, s.desk.Open())
	}
	if facts := s.verdict.Facts(); !strings.Contains(facts, "60 copies") {
		t.Errorf("the bar says %q", facts)
	}
	s.run("layout")
	s.settle()
	if e := overlay[*entry.Length](s); overlay[*controls.Entry](s)[0].Text != "60" || e[0].Text != "250" {
		t.Error("it does not begin with what is")
	}
	s.press(say("ui-layout-off")).Tapped(nil)
	s.settle()
	if s.session.Job().Settings.Layout.On() {
		t.Error("it is laid out still")
	}
	s.session.Undo()
	s.settle()
	if got := s.session.Job().Settings.Layout; got != want {
		t.Errorf("taken back it is %+v", got)
	}
}

func TestDialogLayOut_SaysWhatCannotBe(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.run("layout")
	s.settle()
	copies := overlay[*controls.Entry](s)[0]
	for _, wrong := range []string{"", "0", "-2", "many", "1001"} {
		copies.SetText(wrong)
		s.settle()
		if use := s.press(say("ui-layout-use")); !use.Disabled() || !strings.Contains(s.sayings(), say("edit-bad-layout.remedy")) {
			t.Errorf("%q: %s", wrong, s.sayings())
		}
	}
	copies.SetText("2")
	overlay[*controls.Choice](s)[1].OnChosen(1)
	overlay[*entry.Length](s)[0].SetText("20") // for what is 60 × 40 mm
	s.settle()
	if use := s.press(say("ui-layout-use")); !use.Disabled() {
		t.Error(s.sayings())
	}
	overlay[*entry.Length](s)[0].SetText("100")
	s.settle()
	if use := s.press(say("ui-layout-use")); use.Disabled() || strings.Contains(s.sayings(), say("edit-bad-layout.remedy")) {
		t.Error(s.sayings())
	}
	s.desk.Top().Cancel()
	s.settle()
	if s.session.Job().Settings.Layout.On() {
		t.Error("cancelled it is laid out")
	}
}

// What is taken is what job.json says that was cut, not what one copy takes.
func TestMarkCut_OfWhatIsLaidOutTakesTheSheetsOfTheLayout(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	own := slices.Clone(mySheets)
	own[0].Count, own[1].Count = 5, 1
	s.withDrawer(own)
	s.svg(shades)
	s.knockOut()
	s.settle()
	s.sheets.Fewer()
	s.settle()
	overlay[*controls.Entry](s)[0].SetText("2")
	s.settle()
	s.press(say("ui-colours-use")).Tapped(nil)
	s.settle()
	s.do("ui-step-layout", func(j job.Job) (job.Job, error) { return job.SetLayout(j, job.Layout{Copies: 50}) })
	s.settle()
	dir := filepath.Join(t.TempDir(), "out")
	s.session.Export(dir, workshop.WriteOptions{AllowStacked: true, AllowBeyond: true}, func(_ *workshop.Manifest, err error) {
		if err != nil {
			t.Error(err)
		}
	})
	s.settle()
	want, taken, err := workshop.TakeLaid(dir, own)
	if err != nil || len(taken) < 3 {
		t.Fatalf("%d sheets, %v", len(taken), err)
	}
	s.sheets.MarkCut()
	s.settle()
	if said := s.sayings(); strings.Count(said, "300 × 200 mm") < len(taken)-1 {
		t.Errorf("not every sheet is told: %s", said)
	}
	s.press(say("ui-cut-take")).Tapped(nil)
	got, err := s.session.Drawer()
	if err != nil || !reflect.DeepEqual(got, want) || got[0].Count >= 4 {
		t.Errorf("%v\n%+v\nnot\n%+v", err, got, want)
	}
	// The folder that was exported knows it from then on.
	s.desk.Clear()
	s.sheets.MarkCut()
	s.settle()
	if said := s.sayings(); !strings.Contains(said, "were taken already") {
		t.Errorf("taken twice: %s", said)
	}
	if err := workshop.Untaken(dir); err == nil {
		t.Error("the folder has no note")
	}
}
