package window

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/words"
	"abut/ui/inspect"
	"abut/ui/layers"
	"abut/ui/theme"
)

func (s *stage) pickAll(names ...string) []job.LayerID {
	var ids []job.LayerID
	for _, l := range s.session.Job().Items[0].Layers {
		for _, n := range names {
			if words.Capital(l.Name) == n {
				ids = append(ids, l.ID)
			}
		}
	}
	if len(ids) != len(names) {
		s.t.Fatalf("of %v there are %d", names, len(ids))
	}
	s.session.Select(ids)
	return ids
}

func TestChosen_ExactNumbers(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	ids := s.pickAll("Hull")
	for _, e := range []struct {
		entry *inspect.Field
		text  string
	}{{s.field("ui-x", 0), "20"}, {s.field("ui-y", 0), "-3"}, {s.field("ui-details-width", 1), "30"}} {
		e.entry.SetText(e.text)
		e.entry.OnSubmitted("")
	}
	r := job.BoundsOf(s.session.Job(), ids)
	if math.Abs(r.Min.X-20)+math.Abs(r.Min.Y+3)+math.Abs(r.Width()-30) > 1e-9 {
		t.Errorf("it lies at %v", r)
	}
	if want := 30 * 15.5 / 61; math.Abs(r.Height()-want) > 0.1 {
		t.Errorf("%g mm high: the proportions are lost", r.Height())
	}
	s.tickIn(say("ui-keep-aspect"), false)
	s.enter(s.field("ui-details-height", 1), "1 in")
	if r = job.BoundsOf(s.session.Job(), ids); math.Abs(r.Height()-25.4)+math.Abs(r.Width()-30) > 1e-9 {
		t.Errorf("%v", r)
	}
	angle := s.field("ui-angle", 0)
	s.enter(angle, "90")
	if r = job.BoundsOf(s.session.Job(), ids); math.Abs(r.Width()-25.4) > 1e-9 || angle.Text != "90" {
		t.Errorf("turned: %v, the panel says %s", r, angle.Text)
	}
	s.toggleLock()
	if !s.field("ui-x", 0).Disabled() || !s.commands.Get("lock").IsOn() {
		t.Error("what is locked can be moved by number")
	}
}

// Places are measured from where the rulers begin.
func TestChosen_PlacesAreFromTheCornerOfTheBlank(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	ids := s.pickAll("Hull")
	at := job.BoundsOf(s.session.Job(), ids).Min
	if err := s.session.Do("blank", func(j job.Job) (job.Job, error) {
		return job.SetBlankShape(j, &job.Blank{Name: "Tile", WidthMM: 200, HeightMM: 100, At: geometry.Pt(at.X+90, at.Y+45)})
	}); err != nil {
		t.Fatal(err)
	}
	s.settle()
	if x, y := s.field("ui-x", 0).Text, s.field("ui-y", 0).Text; x != "10" || y != "5" {
		t.Errorf("it says %s from the left, %s from the top", x, y)
	}
	s.enter(s.field("ui-x", 0), "30")
	s.enter(s.field("ui-y", 0), "4")
	if r := job.BoundsOf(s.session.Job(), ids); r.Min.Sub(at.Add(geometry.Pt(20, -1))).Len() > 1e-9 {
		t.Errorf("it lies at %v, was at %v", r.Min, at)
	}
}

func TestSelection_DuplicateArrangeUseAndSteps(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	start := s.session.Job()
	s.pickAll("Sails")
	s.run("duplicate")
	if n := len(s.session.Job().Items[0].Layers); n != 4 || len(s.session.Selection()) != 1 {
		t.Fatalf("%d layers", n)
	}
	s.arrange(job.ToTop)
	if l := s.session.Job().Items[0].Layers; l[3].ID != s.session.Selection()[0] {
		t.Error("it is not at the top")
	}
	s.run("use-drawn")
	s.settle()
	if rows := layers.RowsOf(s.session.Job(), nil); rows[0].Use != "Pen lines" {
		t.Errorf("the list says %q", rows[0].Use)
	}
	s.selectAll()
	if len(s.session.Selection()) != 4 {
		t.Error("not all")
	}
	for _, id := range []string{"align-left", "spread-down", "centre", "flip-sides"} {
		s.run(id)
	}
	labels, done := s.session.Steps()
	if len(labels) != 7 || done != 7 {
		t.Errorf("steps %v, %d done", labels, done)
	}
	end := s.session.Job()
	s.session.GoTo(0)
	if !reflect.DeepEqual(s.session.Job(), start) {
		t.Error("the start is another")
	}
	s.session.GoTo(7)
	if !reflect.DeepEqual(s.session.Job(), end) {
		t.Error("the end is another")
	}
	s.settle()
}

func TestDrop_SeveralLieBesideEachOther(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	dir := t.TempDir()
	var uris []fyne.URI
	for _, name := range []string{"leaf", "pot"} {
		file := filepath.Join(dir, name+".svg")
		svg := `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20"><rect x="4" y="2" width="32" height="16" fill="#284"/></svg>`
		if err := os.WriteFile(file, []byte(svg), 0o600); err != nil {
			t.Fatal(err)
		}
		uris = append(uris, storage.NewFileURI(file))
	}
	s.dropped(fyne.Position{}, uris)
	s.settle()
	plan, _ := s.session.Plan()
	if len(s.session.Job().Items) != 2 || plan == nil || math.Abs(plan.Extent.Width()-82) > 1e-6 || plan.Stacked.AreaMM2 != 0 {
		t.Fatalf("%+v", plan)
	}
	s.dropped(fyne.Position{}, uris)
	s.settle()
	if len(s.session.Job().Items) != 4 || len(s.session.Selection()) != 2 {
		t.Errorf("%d items, %d selected", len(s.session.Job().Items), len(s.session.Selection()))
	}
	s.session.Resize(91, 0)
	s.settle()
	if plan, _ = s.session.Plan(); math.Abs(plan.Extent.Width()-91) > 1e-3 {
		t.Errorf("all are %g mm wide", plan.Extent.Width())
	}
	s.run("undo")
	s.run("undo")
	s.settle()
	if len(s.session.Job().Items) != 2 {
		t.Error("undo leaves what was added")
	}
}

func TestUnits_Inches(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.demo("pair")
	s.ask.SetUnits(job.Inches)
	s.settle()
	if got := s.field("ui-details-width", 0).Text; got != "3.307" {
		t.Errorf("the width is %s", got)
	}
	s.enter(s.field("ui-details-width", 0), "3")
	if plan, _ := s.session.Plan(); math.Abs(plan.Extent.Width()-76.2) > 1e-3 {
		t.Errorf("%g mm", plan.Extent.Width())
	}
	s.session.Close()
	s.demo("nested")
	if s.session.Job().Settings.Units != job.Inches || s.session.CanUndo() {
		t.Error("the next picture is not in inches")
	}
}
